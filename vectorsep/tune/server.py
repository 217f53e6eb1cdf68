"""The light table's page over HTTP, for a browser on this machine alone: it reads, and never writes anything."""

from __future__ import annotations

import json
import secrets
import select
import socket
import socketserver
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from threading import Event, Lock
from typing import Any, TypeAlias
from urllib.parse import parse_qsl, urlsplit

from vectorsep.errors import CalledOff, SettingsError, VectorsepError, unforeseen
from vectorsep.paper.pages import page_environment
from vectorsep.tune.apart import ASKED_AGAIN_S, done_apart
from vectorsep.tune.light_table import FILLING, LightTable

HOST = "127.0.0.1"
"""No other machine is answered."""
KIND = {
    "html": "text/html; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "svg": "image/svg+xml",
}
SCRIPTS = ("view.js", "edges.js", "hand.js", "ask.js", "check.js", "steps.js", "tune.js")
"""The page's scripts, in the order in which it loads them: they share their names, and the last one starts it."""
STYLE, ICON = "tune.css", "icon.svg"
JSON = "application/json"
HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "default-src 'self'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
}


Question: TypeAlias = Callable[[Mapping[str, str]], dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Answer:
    """One response: what it is and how it went."""

    kind: str
    body: bytes
    status: HTTPStatus = HTTPStatus.OK


def answer(table: LightTable, name: str, query: str, is_wanted: Callable[[], bool]) -> Answer:
    """What the page asks for by name: itself, its scripts, style and icon, the map, a look at the plates, or through
    the loupe, and a check, which takes seconds and is done apart. Raises CalledOff when it is no longer wanted."""
    if name == "":
        return Answer(KIND["html"], _page(table).encode())
    if name in (*SCRIPTS, STYLE, ICON):
        kind = KIND[name.rpartition(".")[2]]
        return Answer(kind, files("vectorsep.tune").joinpath("templates", name).read_bytes())
    questions: dict[str, Question] = {
        "map": lambda _: table.map(),
        "look": lambda asked: table.look(asked, is_wanted),
        "loupe": table.loupe,
        "check": lambda asked: done_apart(table.check(asked), is_wanted),
    }
    if name not in questions:
        return _json({"problems": [f"nothing here is called {name!r}"]}, HTTPStatus.NOT_FOUND)
    return _answered(questions[name], query)


def _page(table: LightTable) -> str:
    template = page_environment("vectorsep.tune").get_template("tune.html.j2")
    assets = {"scripts": SCRIPTS, "style": STYLE, "icon": ICON}
    return template.render(name=table.name, keys=table.tuned(), filling=FILLING, **assets)


def _answered(question: Question, query: str) -> Answer:
    try:
        return _json(question(dict(parse_qsl(query, keep_blank_values=True))))
    except SettingsError as error:
        return _json({"problems": error.problems}, HTTPStatus.BAD_REQUEST)
    except VectorsepError as error:
        return _json({"problems": [str(error)]}, HTTPStatus.BAD_REQUEST)


def _json(value: dict[str, Any], status: HTTPStatus = HTTPStatus.OK) -> Answer:
    return Answer(JSON, json.dumps(value, allow_nan=False).encode(), status)


class TuneServer(ThreadingHTTPServer):
    """Serves one light table. Its address holds a secret, so that no other page or user of the machine finds the art;
    a browser is told another, which leads there until the page is shown: what a program is started with, all users of
    a machine can read.

    Each connection has a thread, since browsers open some that they do not use. Looks are made one after the other, and
    so are those through the loupe, and checks; but none waits for one of another kind.
    """

    daemon_threads = True
    allow_reuse_address = sys.platform != "win32"  # there it would share a port that another program serves

    def __init__(self, table: LightTable, port: int = 0) -> None:
        """`port` 0 takes any that is free. Raises OSError where the port cannot be had."""
        self.table, self.secret = table, secrets.token_urlsafe(12)
        self.opening: str | None = secrets.token_urlsafe(12)
        self.turns = {name: Lock() for name in ("look", "loupe", "check")}
        self.ended = Event()
        super().__init__((HOST, port), _Handler)

    def server_bind(self) -> None:
        """Take the port without asking for this machine's name, which may take seconds, or fail on odd letters."""
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = HOST, self.server_address[1]

    @property
    def address(self) -> str:
        """What to open in a browser."""
        return f"http://{HOST}:{self.server_port}/{self.secret}/"

    @property
    def address_to_open(self) -> str:
        """What a browser is started with. It leads to the page until that asks for its map, and not just once: some
        desktops look at an address before they start a browser for it."""
        return f"http://{HOST}:{self.server_port}/{self.opening}/"

    def handle_error(self, request: socket.socket | tuple[bytes, socket.socket], client_address: object) -> None:
        """Say nothing of a page that hung up."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)

    def server_close(self) -> None:
        """End what is still at work too."""
        self.ended.set()
        super().server_close()

    def answer_to(self, target: str, is_awaited: Callable[[], bool] = lambda: True) -> Answer:
        """The answer to a request's target, such as `/secret/look?window=0,0,10,10`.

        Raises CalledOff when it is no longer awaited, or the server has ended.
        """
        secret, name, query = _parted(target)
        if not name and self.opening and secrets.compare_digest(secret.encode(), self.opening.encode()):
            return Answer(KIND["html"], f'<meta http-equiv="refresh" content="0; url=/{self.secret}/">\n'.encode())
        if not secrets.compare_digest(secret.encode(), self.secret.encode()):
            return _json({"problems": ["open the address that was printed"]}, HTTPStatus.NOT_FOUND)

        if name == "map":
            self.opening = None

        def is_wanted() -> bool:
            return is_awaited() and not self.ended.is_set()

        with self._turn(name, is_wanted):
            return answer(self.table, name, query, is_wanted)

    @contextmanager
    def _turn(self, name: str, is_wanted: Callable[[], bool]) -> Iterator[None]:
        """One at a time of those with this name. What was called off while it waited is never begun."""
        turn = self.turns.get(name)
        while turn and not turn.acquire(timeout=ASKED_AGAIN_S):
            if not is_wanted():
                raise CalledOff
        try:
            yield
        finally:
            if turn:
                turn.release()


def _parted(target: str) -> tuple[str, str, str]:
    """The secret, the name and the query of a request's target, without a secret where it is none of the page's."""
    try:
        parts = urlsplit(target)
        nothing, secret, name = parts.path.split("/")
    except ValueError:
        return "", "", ""
    return ("" if nothing else secret), name, parts.query


class _Handler(BaseHTTPRequestHandler):
    server: TuneServer
    protocol_version = "HTTP/1.1"
    server_version = "vectorsep"
    sys_version = ""

    def do_GET(self) -> None:
        try:
            answered = self.server.answer_to(self.path, self._is_awaited)
        except CalledOff:
            self.close_connection = True
            return
        except Exception as error:  # the page says so, and goes on
            told = unforeseen(error)
            print(f"vectorsep: {told}", file=sys.stderr)
            answered = _json({"problems": [told]}, HTTPStatus.INTERNAL_SERVER_ERROR)
        with suppress(ConnectionError):  # the page hung up
            self._send(answered)

    def _is_awaited(self) -> bool:
        """Whether the page still waits: it hangs up on what it no longer wants, and asks nothing before it is told."""
        try:
            readable, _, _ = select.select([self.connection], [], [], 0)
            return not readable or bool(self.connection.recv(1, socket.MSG_PEEK))
        except OSError:
            return False

    def _send(self, answered: Answer) -> None:
        self.send_response(answered.status)
        for name, value in {
            **HEADERS,
            "Content-Type": answered.kind,
            "Content-Length": str(len(answered.body)),
        }.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(answered.body)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing of single requests."""
