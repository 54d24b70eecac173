"""No command asks for anything from elsewhere: each is run where a socket is the end of it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
EXERCISE = str(ROOT / "exercises" / "circle-of-four.yaml")

WITHOUT_SOCKETS = """
import json, os, socket, sys

asked_by = ["to begin with"]

def refused(*_args, **_more):
    sys.stderr.write(f"a socket was asked for by {asked_by[0]}\\n")
    os._exit(99)

socket.create_connection = socket.getaddrinfo = refused

class Refused(socket.socket):
    connect = connect_ex = bind = sendto = refused

socket.socket = Refused
from diagram.cli import main

def run():
    for words in json.loads(sys.argv[1]):
        asked_by[0] = words
        try:
            main(words)
        except SystemExit as end:
            assert not end.code, words
run()
"""
COMMANDS = (
    ("check", EXERCISE),
    ("card", EXERCISE, "--to", "card.pdf"),
    ("draw", EXERCISE, "--to", "drawing.svg"),
    ("draw", EXERCISE, "--as", "pdf", "--to", "drawing.pdf"),
    ("set-out", EXERCISE, "--to", "leaf.pdf"),
    ("measure", EXERCISE, "--json"),
    ("schema",),
)


def test_none_needs_a_network(tmp_path: Path) -> None:
    """All in one process that has no sockets from the start; it says which command asked."""
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_SOCKETS, json.dumps(COMMANDS)], cwd=tmp_path,
        capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr.decode()
    made = {words[-1] for words in COMMANDS if "--to" in words}
    assert {file.name for file in tmp_path.iterdir()} == made


def test_the_trap_snaps(tmp_path: Path) -> None:
    program = WITHOUT_SOCKETS.replace("\nrun()", "\nsocket.create_connection(('localhost', 1))")
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=tmp_path, capture_output=True, check=False
    )
    assert done.returncode == 99
