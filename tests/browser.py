"""A browser without a window, driven over its own protocol: pages as people meet them."""

from __future__ import annotations

import base64
import contextlib
import json
import os
import re
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path
from types import TracebackType
from typing import Any

NAMES = ("chromium-headless-shell", "chromium", "google-chrome")
CHROMIUM = next((found for name in NAMES if (found := shutil.which(name))), None)
AXE = Path(os.environ.get("TAPELINE_AXE", "/nowhere"))
"""The file axe.min.js of axe-core, which the gate fetches; without it those tests are skipped."""
PATIENCE_S = 30
"""Seconds that an answer may take on a machine that does other things as well."""


class Browser:
    """One page. `told` are console messages and errors, `asked` the addresses it asked for."""

    def __init__(self) -> None:
        assert CHROMIUM is not None
        self._profile = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        self._process = subprocess.Popen(
            [
                CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
                "--remote-debugging-port=0", f"--user-data-dir={self._profile.name}",
                "about:blank",
            ],
            stderr=subprocess.PIPE, text=True, start_new_session=True,
        )  # fmt: skip
        self.told: list[str] = []
        self.asked: list[str] = []
        self._open = contextlib.ExitStack()
        self._number = 0
        self._loaded = False

    def __enter__(self) -> Browser:
        try:
            self._connect()
        except BaseException:
            self._end()
            raise
        return self

    def _connect(self) -> None:
        import urllib.request

        from websockets.sync.client import connect

        assert self._process.stderr is not None
        for line in self._process.stderr:
            if found := re.search(r"ws://([^/]+)/", line):
                break
        else:
            raise RuntimeError("the browser did not start")
        with urllib.request.urlopen(f"http://{found[1]}/json") as answer:
            pages = json.loads(answer.read())
        address = next(page["webSocketDebuggerUrl"] for page in pages if page["type"] == "page")
        self._socket = self._open.enter_context(connect(address, max_size=None))
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.send(f"{domain}.enable")

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:  # fmt: skip
        self._end()

    def _end(self) -> None:
        self._open.close()
        # What is started may be a script that starts the browser: all that came of it ends.
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGTERM)
        self._process.wait(PATIENCE_S)
        assert self._process.stderr is not None
        self._process.stderr.close()
        self._profile.cleanup()

    def send(self, method: str, **params: Any) -> dict[str, Any]:
        """One command and its answer; what happens meanwhile is noted."""
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": params}))
        while True:
            message = json.loads(self._socket.recv(PATIENCE_S))
            if message.get("id") == self._number:
                assert "error" not in message, message
                result: dict[str, Any] = message["result"]
                return result
            self._note(message)

    def _note(self, message: dict[str, Any]) -> None:
        params = message.get("params", {})
        match message.get("method"):
            case "Runtime.consoleAPICalled":
                self.told.append(str([arg.get("value") for arg in params["args"]]))
            case "Runtime.exceptionThrown":
                self.told.append(str(params["exceptionDetails"]))
            case "Log.entryAdded":
                self.told.append(params["entry"]["text"])
            case "Network.requestWillBeSent":
                self.asked.append(params["request"]["url"])
            case "Page.loadEventFired":
                self._loaded = True

    def open(self, address: str) -> None:
        """Go to an address and wait until it is there."""
        self._loaded = False
        self.send("Page.navigate", url=address)
        while not self._loaded:
            self._note(json.loads(self._socket.recv(PATIENCE_S)))

    def run(self, script: str) -> Any:
        """What a script comes to, waited for where it is a promise."""
        done = self.send(
            "Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True
        )
        assert "exceptionDetails" not in done, done["exceptionDetails"]
        return done["result"].get("value")

    def leave(self, script: str) -> None:
        """Run a script that leads to another page: the answer may go down with the old one."""
        with contextlib.suppress(AssertionError):
            self.run(script)

    def until(self, script: str) -> None:
        """Wait until a script comes to something true, through whatever page comes meanwhile."""
        deadline = time.monotonic() + PATIENCE_S
        while time.monotonic() < deadline:
            with contextlib.suppress(AssertionError):
                if self.run(script):
                    return
        raise TimeoutError(script)

    def seen_as(self, width: int, height: int = 900, *, dark: bool = False) -> None:
        """The size of the screen in pixels, and whether it is wanted dark."""
        self.send(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1,
            mobile=False,
        )  # fmt: skip
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.send("Emulation.setEmulatedMedia", features=[scheme])

    def press(self, key: str, text: str = "") -> None:
        """One key, down and up."""
        codes = {"Tab": 9, "Enter": 13, "Escape": 27, " ": 32}
        code = codes.get(key, ord(text or key[0]))
        extra = {"text": text} if text else {}
        for kind in ("keyDown", "keyUp"):
            more = extra if kind == "keyDown" else {}
            self.send(
                "Input.dispatchKeyEvent", type=kind, key=key, windowsVirtualKeyCode=code,
                code=key, **more,
            )  # fmt: skip

    def type(self, text: str) -> None:
        """A word, letter by letter."""
        for letter in text:
            self.press(letter, letter)

    def printed(self) -> bytes:
        """The page as a PDF."""
        done = self.send("Page.printToPDF", preferCSSPageSize=True, printBackground=False)
        return base64.b64decode(done["data"])

    def accessibility(self) -> list[str]:
        """What axe-core finds wrong, in one line each; none is wanted."""
        self.run(AXE.read_text(encoding="utf-8") + ";0")
        wanted = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]
        options = {"preload": False, "runOnly": wanted}
        found = self.run(f"axe.run(document, {json.dumps(options)}).then(r => r.violations)")
        return [f"{one['id']}: {one['nodes'][0]['html']}" for one in found]
