"""A headless browser for tests, driven over its DevTools protocol: it looks, types and clicks as we do.

Needs the program `chromium` of Debian; tests are skipped where it is missing.
"""

import base64
import json
import re
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from urllib.request import urlopen

import pytest
from websockets.sync.client import ClientConnection, connect

PROGRAM = shutil.which("chromium") or shutil.which("chromium-browser")
needs_chromium = pytest.mark.skipif(PROGRAM is None, reason="the program chromium is not installed")
PHONE = (360, 740)
INCHES = {"a4": (8.27, 11.69), "letter": (8.5, 11.0)}
PATIENCE_S = 20.0


class Page:
    """One page of the browser, with scripts switched off."""

    def __init__(self, socket: ClientConnection) -> None:
        self._socket = socket
        self._number = 0
        self._events: list[dict[str, Any]] = []
        for domain in ("Page", "DOM", "Network"):
            self.ask(f"{domain}.enable")
        self.ask("Emulation.setScriptExecutionDisabled", value=True)
        self.size(*PHONE)

    def ask(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Send a command and return its answer."""
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": parameters}))
        while True:
            message = json.loads(self._socket.recv(timeout=PATIENCE_S))
            if message.get("id") == self._number:
                assert "error" not in message, (method, message["error"])
                return dict(message["result"])
            self._events.append(message)

    def wait(self, method: str) -> None:
        """Wait until the browser has told an event since the last step."""
        while not any(event.get("method") == method for event in self._events):
            self._events.append(json.loads(self._socket.recv(timeout=PATIENCE_S)))

    def size(self, width: int, height: int) -> None:
        self.ask(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=True
        )

    def go(self, url: str) -> None:
        self._events.clear()
        self.ask("Page.navigate", url=url)
        self.wait("Page.loadEventFired")

    def back(self) -> None:
        """Go back as by the button of the browser."""
        history = self.ask("Page.getNavigationHistory")
        self._events.clear()
        entry = history["entries"][history["currentIndex"] - 1]
        self.ask("Page.navigateToHistoryEntry", entryId=entry["id"])
        self.wait("Page.frameNavigated")
        time.sleep(0.3)

    def find(self, selector: str) -> int:
        root = self.ask("DOM.getDocument", depth=0)["root"]["nodeId"]
        found = int(self.ask("DOM.querySelector", nodeId=root, selector=selector)["nodeId"])
        assert found, f"nothing is there: {selector}"
        return found

    def words(self, selector: str = "main") -> str:
        """Return the words of a part of the page."""
        html = self.ask("DOM.getOuterHTML", nodeId=self.find(selector))["outerHTML"]
        return " ".join(re.sub(r"<[^>]+>", " ", html).split())

    def value(self, selector: str) -> str:
        """Return what stands in a field now."""
        node = self.ask("DOM.resolveNode", nodeId=self.find(selector))["object"]["objectId"]
        told = self.ask(
            "Runtime.callFunctionOn",
            objectId=node,
            functionDeclaration="function() { return this.value }",
            returnByValue=True,
        )
        return str(told["result"]["value"])

    def run(self, expression: str) -> Any:
        """Return what an expression comes to; the page's own scripts stay switched off."""
        told = self.ask("Runtime.evaluate", expression=expression, returnByValue=True)
        assert "exceptionDetails" not in told, told
        return told["result"].get("value")

    def type(self, selector: str, text: str) -> None:
        """Type into a field, in place of what was there."""
        self.ask("DOM.focus", nodeId=self.find(selector))
        self._key("a", modifiers=2)
        self.ask("Input.insertText", text=text)

    def keys(self, selector: str, keys: str) -> None:
        """Press keys one by one, for fields that have parts or a list."""
        self.ask("DOM.focus", nodeId=self.find(selector))
        for key in keys:
            self._key(key, text=key)

    def _key(self, key: str, **more: Any) -> None:
        if more.get("modifiers"):
            more["commands"] = ["selectAll"]
        self.ask("Input.dispatchKeyEvent", type="keyDown", key=key, **more)
        self.ask("Input.dispatchKeyEvent", type="keyUp", key=key)

    def click(self, selector: str, *, loads: bool = True) -> None:
        """Click in the middle of what a selector finds; wait for the page that follows."""
        node = self.find(selector)
        self.ask("DOM.scrollIntoViewIfNeeded", nodeId=node)
        corners = self.ask("DOM.getBoxModel", nodeId=node)["model"]["content"]
        at = {"x": (corners[0] + corners[4]) / 2, "y": (corners[1] + corners[5]) / 2}
        self._events.clear()
        for kind in ("mousePressed", "mouseReleased"):
            self.ask("Input.dispatchMouseEvent", type=kind, button="left", clickCount=1, **at)
        if loads:
            self.wait("Page.loadEventFired")

    def width(self) -> float:
        """Return how wide the content is [CSS pixels]; wider than the window, it has to be pushed about."""
        return float(self.ask("Page.getLayoutMetrics")["cssContentSize"]["width"])

    def picture(self, *, whole: bool = True) -> bytes:
        shot = self.ask("Page.captureScreenshot", captureBeyondViewport=whole)
        return base64.b64decode(shot["data"])

    def printed(self, paper: str) -> bytes:
        """Print the page; return the PDF."""
        width, height = INCHES[paper]
        told = self.ask("Page.printToPDF", paperWidth=width, paperHeight=height, printBackground=True)
        return base64.b64decode(told["data"])


def pages_of(pdf: bytes) -> int:
    """Return how many pages a PDF has."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


@contextmanager
def browser() -> Iterator[Page]:
    """Start the browser with an empty profile, give one page, and end it."""
    assert PROGRAM is not None
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        options = ("--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--lang=en-US")
        quiet = ("--disable-extensions", "--disable-background-networking", "--disable-dev-shm-usage")
        command = [PROGRAM, *options, *quiet, "--remote-debugging-port=0", f"--user-data-dir={profile}"]
        running = subprocess.Popen(
            [*command, "about:blank"], stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True
        )
        try:
            assert running.stderr is not None
            told = next(line for line in running.stderr if "DevTools listening on" in line)
            port = re.search(r":(\d+)/", told)
            assert port is not None
            with urlopen(f"http://127.0.0.1:{port[1]}/json") as answer:
                target = next(one for one in json.load(answer) if one["type"] == "page")
            with connect(target["webSocketDebuggerUrl"], max_size=None) as socket:
                yield Page(socket)
        finally:
            running.terminate()
            running.wait(timeout=PATIENCE_S)
