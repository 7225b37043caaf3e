"""A wire between browser and house that can be cut: before a request is passed on, after it, or within its answer.

The browser's own switch for "no network" does not reach a service worker's requests in every version; a wire does.
"""

import http.client
import threading
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import urlsplit

OPEN, BEFORE, AFTER, MIDDLE = "open", "before", "after", "middle"
HOP = {"connection", "keep-alive", "transfer-encoding", "te", "trailer", "upgrade", "content-length"}


class Wire:
    """cut: how every request fares. rule: decides one request by its method and path instead; None leaves it to cut.

    A number instead of a word is what something between browser and house answers, such as 413 or 502. meanwhile: what
    happens while a request is under way to the house. cookie: whose a request is taken for instead.
    door: how large a request may be, in bytes; a larger one is answered 413.
    """

    def __init__(self, house: str) -> None:
        self.house = urlsplit(house).netloc
        self.cut = OPEN
        self.rule: Callable[[str, str], str | int | None] = lambda method, path: None
        self.cookie: Callable[[str], str | None] = lambda path: None
        self.meanwhile: Callable[[str, str], None] = lambda method, path: None
        self.door: int | None = None
        self.passed: list[tuple[str, str]] = []
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), type("OfWire", (Passing,), {"wire": self}))
        self.server.daemon_threads = True
        self.url = f"http://127.0.0.1:{self.server.server_address[1]}"
        self.thread = threading.Thread(target=self.server.serve_forever, daemon=True)
        self.thread.start()

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()

    def ask(self, method: str, path: str, headers, body: bytes) -> tuple[int, list[tuple[str, str]], bytes]:
        house = http.client.HTTPConnection(self.house, timeout=60)
        try:
            sent = {name: value for name, value in headers.items() if name.lower() not in HOP}
            if cookie := self.cookie(path):
                sent["Cookie"] = cookie
            house.request(method, path, body=body or None, headers={**sent, "Connection": "close"})
            answer = house.getresponse()
            return answer.status, answer.getheaders(), answer.read()
        finally:
            house.close()


class Passing(BaseHTTPRequestHandler):
    """One request on a wire."""

    protocol_version = "HTTP/1.1"
    wire: Wire

    def log_message(self, *args: object) -> None:
        pass

    def pass_on(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        how = self.wire.rule(self.command, self.path) or self.wire.cut
        if self.wire.door is not None and len(body) > self.wire.door:
            how = 413
        self.close_connection = True
        if isinstance(how, int):
            self.answer(how, [], b"", 0)
        elif how != BEFORE:
            self.wire.meanwhile(self.command, self.path)
            status, headers, content = self.wire.ask(self.command, self.path, self.headers, body)
            self.wire.passed.append((self.command, self.path))
            if how != AFTER:
                self.answer(status, headers, content if how == OPEN else content[: len(content) // 2], len(content))

    def answer(self, status: int, headers: list[tuple[str, str]], content: bytes, length: int) -> None:
        self.send_response_only(status)
        for name, value in headers:
            if name.lower() not in HOP:
                self.send_header(name, value)
        self.send_header("Content-Length", str(length))
        self.send_header("Connection", "close")
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content)

    do_GET = do_POST = do_HEAD = pass_on  # noqa: N815
