"""A page of this machine only that shows a drawing and renews itself when the file is saved.

It listens on 127.0.0.1 alone. Any page in a browser can send requests there, and a name that is
made to point there could even read the answers; so every request must carry the token, name the
host exactly, and not come from another site.
"""

from __future__ import annotations

import html
import json
import secrets
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from msgspec import Struct, field

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'"
)
WAIT_S = 20.0
"""Seconds that a page waits for news before it asks again."""
SOON_S = 0.1
"""Seconds in which the server ends when it is told to."""

PAGE = """\
<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="live.css"><script defer src="live.js"></script></head>
<body><main><h1>{title}</h1><p id="said" role="status">{said}</p>
<img id="drawing" src="drawing.svg?n={number}" alt="The drawing of {title}">
<ul id="changes"></ul></main></body></html>
"""
STYLE = """\
body { font: 17px/1.4 system-ui, sans-serif; margin: 1rem; background: #fff; color: #000 }
h1 { font-size: 1.2rem; margin: 0 } img { max-width: 100%; max-height: 78vh; display: block }
.old { opacity: .35 }
#said { white-space: pre-wrap; overflow-wrap: anywhere; margin: .3rem 0; color: #3d3d3d }
"""
SCRIPT = """\
"use strict";
(function () {
  var number = -1, image = document.getElementById("drawing");
  function show(news) {
    number = news.number;
    document.title = news.title;
    document.querySelector("h1").textContent = news.title;
    image.alt = "The drawing of " + news.title;
    document.getElementById("said").textContent = news.said;
    image.className = news.fresh ? "" : "old";
    if (news.fresh) { image.src = "drawing.svg?n=" + number; }
    var list = document.getElementById("changes");
    list.textContent = "";
    news.changes.forEach(function (text) {
      var item = document.createElement("li");
      item.textContent = text;
      list.appendChild(item);
    });
  }
  function ask() {
    fetch("news?after=" + number).then(function (answer) { return answer.json(); }).then(
      function (news) { if (news.number !== number) { show(news); } ask(); },
      function () { document.getElementById("said").textContent = "The program has ended."; }
    );
  }
  ask();
})();
"""


class LivePage(Struct):
    """What the page shows; `put` tells all that wait. A drawing that cannot be made leaves the
    last one there, pale."""

    title: str = ""
    drawing: bytes = b""
    said: str = ""
    changes: tuple[str, ...] = ()
    fresh: bool = True
    number: int = 0
    _news: threading.Condition = field(default_factory=threading.Condition)

    def put(
        self, *, title: str | None = None, drawing: bytes | None = None, said: str,
        changes: tuple[str, ...] = (),
    ) -> None:  # fmt: skip
        """Show something else. Without a drawing the last one stays, as not fresh."""
        with self._news:
            self.title = title if title is not None else self.title
            self.fresh = drawing is not None
            self.drawing = drawing if drawing is not None else self.drawing
            self.said, self.changes = said, changes
            self.number += 1
            self._news.notify_all()

    def news(self, after: int, wait: float = WAIT_S) -> dict[str, Any]:
        """What is shown once it is not number `after` any more, or as it is after a while."""
        with self._news:
            self._news.wait_for(lambda: self.number != after, wait)
            return {
                "number": self.number, "title": self.title, "said": self.said,
                "changes": list(self.changes), "fresh": self.fresh,
            }  # fmt: skip


class Live:
    """The server. `address` is where the page is; `close` ends it."""

    def __init__(self, shown: LivePage, port: int = 0) -> None:
        self.token = secrets.token_urlsafe(16)
        self._server = ThreadingHTTPServer(("127.0.0.1", port), _handler(shown, self.token))
        self._server.daemon_threads = True
        self.port = int(self._server.server_address[1])
        self.address = f"http://127.0.0.1:{self.port}/{self.token}/"
        self._thread = threading.Thread(
            target=self._server.serve_forever, args=(SOON_S,), daemon=True
        )
        self._thread.start()

    def close(self) -> None:
        """End the server and let its port go."""
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()


def _handler(shown: LivePage, token: str) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        server_version, sys_version = "Tapeline", ""

        def do_GET(self) -> None:
            host, port = self.headers.get("Host", ""), self.server.server_address[1]  # type: ignore[index]
            if host not in (f"127.0.0.1:{port}", f"localhost:{port}"):
                return self._answer(403, b"", "text/plain")
            if self.headers.get("Sec-Fetch-Site", "none") not in ("same-origin", "none"):
                return self._answer(403, b"", "text/plain")
            path, _, query = self.path.partition("?")
            given, _, name = path.removeprefix("/").partition("/")
            if not secrets.compare_digest(given.encode(), token.encode()):
                return self._answer(404, b"", "text/plain")
            return self._page(name, query)

        def _page(self, name: str, query: str) -> None:
            if name == "":
                title = html.escape(shown.title)
                text = PAGE.format(title=title, said=html.escape(shown.said), number=shown.number)
                self._answer(200, text.encode(), "text/html; charset=utf-8")
            elif name == "live.js":
                self._answer(200, SCRIPT.encode(), "text/javascript; charset=utf-8")
            elif name == "live.css":
                self._answer(200, STYLE.encode(), "text/css; charset=utf-8")
            elif name == "drawing.svg":
                self._answer(200, shown.drawing, "image/svg+xml")
            elif name == "news":
                number = query.removeprefix("after=")
                after = int(number) if number.removeprefix("-").isdecimal() else -1
                data = json.dumps(shown.news(after)).encode()
                self._answer(200, data, "application/json")
            else:
                self._answer(404, b"", "text/plain")

        def _answer(self, code: int, data: bytes, kind: str) -> None:
            self.send_response(code)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(data)))
            self.send_header("Content-Security-Policy", POLICY)
            self.send_header("Referrer-Policy", "no-referrer")
            self.send_header("X-Content-Type-Options", "nosniff")
            self.send_header("Cache-Control", "no-store")
            self.end_headers()
            self.wfile.write(data)

        def log_message(self, *_: object) -> None:
            """Nothing: the terminal tells what changed."""

    return Handler
