"""The page of this machine: renewed on save, closed to everyone else."""

from __future__ import annotations

import http.client
import json
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from diagram.cli.watch import Watched
from diagram.writing.live import Live, LivePage
from diagram.writing.sentence import Head, exercise_text, read_sentence

HEAD = Head("<b>Line</b>", "To be seen.", "2'", "40 x 80 m", "horse")


@pytest.fixture
def live() -> Iterator[Live]:
    shown = LivePage()
    shown.put(title="<script>x</script>", drawing=b"<svg/>", said="placed & clean")
    server = Live(shown)
    yield server
    server.close()


def asked(live: Live, path: str, **headers: str) -> tuple[int, bytes, dict[str, str]]:
    connection = http.client.HTTPConnection("127.0.0.1", live.port, timeout=30)
    connection.request("GET", path, headers=headers)
    answer = connection.getresponse()
    found = answer.status, answer.read(), dict(answer.getheaders())
    connection.close()
    return found


def test_the_page_and_its_parts(live: Live) -> None:
    code, page, headers = asked(live, f"/{live.token}/")
    assert code == 200
    assert b"&lt;script&gt;x&lt;/script&gt;" in page
    assert b"placed &amp; clean" in page
    assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert headers["Referrer-Policy"] == "no-referrer"
    assert asked(live, f"/{live.token}/drawing.svg")[1] == b"<svg/>"
    for name in ("live.js", "live.css", "news?after=5"):
        assert asked(live, f"/{live.token}/{name}")[0] == 200
    assert asked(live, f"/{live.token}/../etc/passwd")[0] == 404


@pytest.mark.parametrize("path", ["/", "/wrong/", "//", "/wrong/drawing.svg", "/%C3%A9/"])
def test_without_the_token_there_is_nothing(live: Live, path: str) -> None:
    assert asked(live, path)[:2] == (404, b"")


def test_other_hosts_and_other_sites_are_refused(live: Live) -> None:
    path = f"/{live.token}/"
    assert asked(live, path, Host="evil.example")[0] == 403
    assert asked(live, path, Host=f"evil.example:{live.port}")[0] == 403
    assert asked(live, path, Host="127.0.0.1")[0] == 403
    assert asked(live, path, **{"Sec-Fetch-Site": "cross-site"})[0] == 403
    assert asked(live, path, **{"Sec-Fetch-Site": "same-origin"})[0] == 200
    assert asked(live, path, Host=f"localhost:{live.port}")[0] == 200


def test_a_save_is_news_with_what_changed(tmp_path: Path) -> None:
    file = tmp_path / "line.yaml"
    text = exercise_text(HEAD, read_sentence("vertical, 5 strides, oxer"))
    file.write_text(text, encoding="utf-8")
    watched = Watched(file, "A4", "feet")
    assert watched.look()
    assert not watched.look()
    server = Live(watched.shown)
    got: list[bytes] = []
    waiting = threading.Thread(
        target=lambda: got.append(asked(server, f"/{server.token}/news?after=1")[1])
    )
    waiting.start()
    file.write_text(text.replace("5 strides", "4 strides"), encoding="utf-8")
    assert watched.look()
    waiting.join(30)
    news = json.loads(got[0])
    assert news["fresh"]
    assert any(told.startswith("alder to birch: ") for told in news["changes"])
    drawn = watched.shown.drawing
    file.write_text("tapeline: 1\n", encoding="utf-8")
    assert watched.look()
    # What cannot be read leaves the last drawing there, and says so.
    assert not watched.shown.fresh
    assert watched.shown.drawing == drawn
    assert '"title" is missing' in watched.shown.said
    server.close()
