"""No command asks for anything from elsewhere: each is run where a socket is the end of it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
EXERCISE = str(ROOT / "exercises" / "circle-of-four.yaml")

WITHOUT_SOCKETS = """
import os, socket, sys

def refused(*_args, **_more):
    sys.stderr.write("a socket was asked for\\n")
    os._exit(99)

socket.create_connection = socket.getaddrinfo = refused

class Refused(socket.socket):
    connect = connect_ex = bind = sendto = refused

socket.socket = Refused
from diagram.cli import run
run()
"""


@pytest.mark.parametrize(
    "words",
    [
        ("check", EXERCISE),
        ("card", EXERCISE, "--to", "card.pdf"),
        ("draw", EXERCISE, "--to", "drawing.svg"),
        ("draw", EXERCISE, "--as", "pdf", "--to", "drawing.pdf"),
        ("set-out", EXERCISE, "--to", "leaf.pdf"),
        ("measure", EXERCISE, "--json"),
        ("schema",),
    ],
    ids=lambda words: " ".join(word for word in words if not word.startswith("/")),
)
def test_it_needs_no_network(words: tuple[str, ...], tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_SOCKETS, *words], cwd=tmp_path, capture_output=True,
        timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr.decode()


def test_the_trap_snaps(tmp_path: Path) -> None:
    program = WITHOUT_SOCKETS.replace("run()", "socket.create_connection(('localhost', 1))")
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=tmp_path, capture_output=True, check=False
    )
    assert done.returncode == 99
