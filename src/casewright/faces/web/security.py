"""Who may talk to the local server, and how much: one raw ASGI middleware in front of everything.

A page of a stranger's site can make the maker's browser send requests to this server. So every request and every
websocket must name this server in its Host header, and where the browser tells which page it comes from, that page must
be one of ours. Sizes are counted here, since limits in the page bind nobody.
"""

from __future__ import annotations

import hmac
import ipaddress
import logging
import re
import secrets
import socket
import time
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from contextlib import suppress
from dataclasses import dataclass, field
from html import escape
from importlib.resources import files
from typing import Any, Final
from urllib.parse import parse_qs, quote

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST_BODY: Final = 2_000_000
"""Largest body of a request. [bytes]"""
LARGEST_MESSAGE: Final = 2_500_000
"""Largest message on a websocket: a project's text fits. [bytes]"""
COOKIE: Final = "casewright-pass"
_ALPHABET: Final = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
PASS_TIME: Final = 12 * 3600
"""How long a browser keeps its pass: a day in the shop, closed and opened again. [s]"""
_WAIT: Final = 1.0
"""Between two tries of a code. [s]"""
_TRIES: Final = 5


def is_loopback(host: str) -> bool:
    """Whether a host to listen on can be reached from this computer only."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def lan_address() -> str:
    """This computer's own address on the network that leads out; "" where there is none."""
    with (
        socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe,
        suppress(OSError),
    ):  # no network
        probe.connect(("192.0.2.1", 9))  # sends nothing: asks which address leads out
        return str(probe.getsockname()[0])
    return ""


def allowed_hosts(host: str, port: int) -> frozenset[str]:
    """Values of the Host header that mean this server: `host:port`, exactly.

    Listening on all addresses, it is known by each of the computer's own names and addresses.
    """
    names = {"127.0.0.1", "localhost", "[::1]"}
    if host in ("0.0.0.0", "::"):
        own = socket.gethostname()
        names |= {own, f"{own}.local"}
        with suppress(OSError):  # a name that nobody resolves
            names |= {str(info[4][0]) for info in socket.getaddrinfo(own, None)}
        names |= {lan_address()} - {""}
    elif not is_loopback(host):
        names.add(host)
    names |= {f"[{name}]" for name in names if ":" in name and not name.startswith("[")}
    hosts = {f"{name}:{port}".lower() for name in names}
    if port == 80:
        hosts |= {name.lower() for name in names}
    return frozenset(hosts)


def content_policy(hosts: Iterable[str]) -> str:
    """The content security policy: all from this server, nothing framed elsewhere, no forms sent away."""
    sockets = " ".join(f"ws://{host}" for host in sorted(hosts) if not host.startswith("["))
    return "; ".join(
        (
            "default-src 'self'",
            # NiceGUI compiles its templates in the page.
            "script-src 'self' 'unsafe-inline' 'unsafe-eval'",
            "style-src 'self' 'unsafe-inline'",
            "img-src 'self' data: blob:",
            "font-src 'self' data:",
            f"connect-src 'self' {sockets}",
            "frame-src 'self' blob:",
            "object-src 'none'",
            "frame-ancestors 'self'",
            "base-uri 'none'",
            "form-action 'self'",
        )
    )


def security_headers(hosts: Iterable[str]) -> tuple[tuple[bytes, bytes], ...]:
    """Headers of every answer."""
    return (
        (b"content-security-policy", content_policy(hosts).encode("ascii")),
        (b"x-content-type-options", b"nosniff"),
        (b"x-frame-options", b"SAMEORIGIN"),
        (b"referrer-policy", b"no-referrer"),
        (b"cross-origin-opener-policy", b"same-origin"),
        (b"cross-origin-resource-policy", b"same-origin"),
        (b"permissions-policy", b"camera=(), microphone=(), geolocation=(), usb=()"),
    )


MOST_LOGGED: Final = 300
"""Characters of a line of the server's log."""


def plain_record(record: logging.LogRecord) -> bool:
    """Make a line of a log one line that a terminal only shows: addresses that are asked for may hold anything.

    For `logging.Logger.addFilter`; every record passes.
    """
    text = record.getMessage()[:MOST_LOGGED]
    record.msg = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)
    record.args = ()
    return True


@dataclass
class Gate:
    """A one-time code for browsers on other computers: each code lets one browser in.

    Args:
        announce: Told of every new code, to show it in the terminal.
    """

    announce: Callable[[str], None]
    clock: Callable[[], float] = time.monotonic
    code: str = ""
    _passes: set[str] = field(default_factory=set)
    _next_try: float = 0.0
    _wrong: int = 0

    def __post_init__(self) -> None:
        self._renew()

    def lets(self, cookies: str) -> bool:
        """Whether a Cookie header holds a pass."""
        for part in cookies.split(";"):
            name, _, value = part.strip().partition("=")
            if name == COOKIE and any(
                hmac.compare_digest(value.encode(), p.encode()) for p in self._passes
            ):
                return True
        return False

    def enter(self, code: str) -> str | None:
        """A new pass for the right code, which is used up by it; None for a wrong one or one tried too soon."""
        now = self.clock()
        if now < self._next_try:
            return None
        given = "".join(code.upper().split())
        if not hmac.compare_digest(given.encode("utf-8", "replace"), self.code.encode()):
            self._next_try = now + _WAIT
            self._wrong += 1
            if self._wrong >= _TRIES:
                self._renew()
            return None
        ticket = secrets.token_urlsafe(32)
        self._passes.add(ticket)
        self._renew()
        return ticket

    def _renew(self) -> None:
        self.code = "".join(secrets.choice(_ALPHABET) for _ in range(8))
        self._wrong = 0
        self.announce(self.code)


class _TooLargeError(Exception):
    """The body went over the limit while it was read."""


class Guard:
    """The middleware.

    Args:
        app: What stands behind it.
        hosts: Exact Host headers that are let in.
        gate: Asks browsers for a code; None where only this computer can reach the server.
        asks_own: Whether the gate asks browsers on this computer too; if not, those that call it by its loopback
            address are let in, as they are where only this computer can reach the server.
    """

    def __init__(
        self, app: App, hosts: frozenset[str], gate: Gate | None = None, *, asks_own: bool = True
    ) -> None:
        self.app = app
        self.asks_own = asks_own
        self.hosts = hosts
        self.origins = frozenset(f"http://{host}" for host in hosts)
        self.gate = gate
        self.headers = security_headers(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        headers = _headers(scope)
        status, words = self._judge(headers)
        if scope["type"] == "websocket":
            if not status and not self._lets(scope, headers):
                status = 403
            await (
                self._refuse_socket(receive, send) if status else self._socket(scope, receive, send)
            )
            return
        if status:
            await self._answer(send, status, words)
            return
        if not self._lets(scope, headers):
            await self._at_the_gate(scope, receive, send)
            return
        await self._request(scope, receive, send)

    def _lets(self, scope: Scope, headers: list[tuple[bytes, bytes]]) -> bool:
        """Whether no code is asked for, or was given."""
        if self.gate is None or self.gate.lets(_joined(headers, b"cookie")):
            return True
        peer = (scope.get("client") or ("", 0))[0]
        name, _, _ = _joined(headers, b"host").rpartition(":")
        return not self.asks_own and is_loopback(peer) and is_loopback(name.strip("[]"))

    def _judge(self, headers: list[tuple[bytes, bytes]]) -> tuple[int, str]:
        """0, or the status to refuse with."""
        hosts = [value.decode("latin-1").lower() for name, value in headers if name == b"host"]
        if len(hosts) != 1 or hosts[0] not in self.hosts:
            return 421, "This server is not known by that name."
        for name, value in headers:
            if name == b"origin" and value.decode("latin-1").lower() not in self.origins:
                return 403, "Pages of other sites may not talk to this server."
            # "same-site" is another server on this computer: it is no page of ours either.
            is_other = name == b"sec-fetch-site" and value in (b"cross-site", b"same-site")
            if is_other and not _navigates(headers):
                return 403, "Pages of other sites may not talk to this server."
            if name == b"content-length" and not (value.isdigit() and int(value) <= LARGEST_BODY):
                return 413, f"At most {LARGEST_BODY} bytes can be sent."
        return 0, ""

    async def _request(self, scope: Scope, receive: Receive, send: Send) -> None:
        started = False

        async def send_on(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                ours = {name for name, _ in self.headers}
                kept = [(n, v) for n, v in message.get("headers", ()) if n.lower() not in ours]
                message = {**message, "headers": [*kept, *self.headers]}
            await send(message)

        try:
            await self.app(scope, _counted(receive), send_on)
        except _TooLargeError:
            if not started:
                await self._answer(send, 413, f"At most {LARGEST_BODY} bytes can be sent.")

    async def _socket(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def receive_checked() -> Message:
            message = await receive()
            data = message.get("bytes") or (message.get("text") or "").encode("utf-8", "replace")
            if len(data) > LARGEST_MESSAGE:
                await send({"type": "websocket.close", "code": 1009})
                return {"type": "websocket.disconnect", "code": 1009}
            return message

        await self.app(scope, receive_checked, send)

    async def _refuse_socket(self, receive: Receive, send: Send) -> None:
        await receive()  # websocket.connect; closing before accepting is answered as 403
        await send({"type": "websocket.close", "code": 1008})

    async def _answer(
        self,
        send: Send,
        status: int,
        words: str,
        *,
        kind: bytes = b"text/plain; charset=utf-8",
        more: tuple[tuple[bytes, bytes], ...] = (),
    ) -> None:
        body = words.encode("utf-8")
        length = (b"content-length", str(len(body)).encode())
        told = {name for name, _ in more}
        headers = [
            (b"content-type", kind),
            length,
            (b"cache-control", b"no-store"),
            *more,
            *(pair for pair in self.headers if pair[0] not in told),
        ]
        await send({"type": "http.response.start", "status": status, "headers": headers})
        await send({"type": "http.response.body", "body": body})

    async def _at_the_gate(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Ask for the code, or take it."""
        assert self.gate is not None
        html = b"text/html; charset=utf-8"
        # With "no-referrer" a form names no origin (Fetch, 3.2), and would be taken for a stranger's.
        more = ((b"referrer-policy", b"same-origin"),)
        if scope["method"] != "POST":
            await self._answer(send, 401, _gate_page(""), kind=html, more=more)
            return
        try:
            body = await _read(_counted(receive, most=1000))
        except _TooLargeError:
            await self._answer(send, 413, "A code has eight signs.")
            return
        given = parse_qs(body.decode("utf-8", "replace")).get("code", [""])[0]
        ticket = self.gate.enter(given)
        if ticket is None:
            await self._answer(
                send,
                401,
                _gate_page("That was not the code. Wait a moment, look again."),
                kind=html,
                more=more,
            )
            return
        cookie = f"{COOKIE}={ticket}; HttpOnly; SameSite=Strict; Path=/; Max-Age={PASS_TIME}"
        where = _asked_for(scope)
        await self._answer(
            send, 303, "", more=((b"location", where), (b"set-cookie", cookie.encode()))
        )


def _headers(scope: Scope) -> list[tuple[bytes, bytes]]:
    return [(bytes(name).lower(), bytes(value)) for name, value in scope["headers"]]


def _joined(headers: list[tuple[bytes, bytes]], wanted: bytes) -> str:
    return "; ".join(value.decode("latin-1") for name, value in headers if name == wanted)


def _navigates(headers: list[tuple[bytes, bytes]]) -> bool:
    """A link followed in the browser: it shows our page, and the page it came from sees nothing of it.

    A frame in a page is none: a stranger could lay his own buttons over ours.
    """
    shown = [value for name, value in headers if name == b"sec-fetch-dest"]
    return (b"sec-fetch-mode", b"navigate") in headers and shown in ([], [b"document"])


def _counted(receive: Receive, *, most: int = LARGEST_BODY) -> Receive:
    """A body read through this goes no further than the limit, whatever its headers said."""
    read = 0

    async def receive_counted() -> Message:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        if read > most:
            raise _TooLargeError
        return message

    return receive_counted


async def _read(receive: Receive) -> bytes:
    body = b""
    while True:
        message = await receive()
        body += bytes(message.get("body", b""))
        if message["type"] != "http.request" or not message.get("more_body"):
            return body


def _asked_for(scope: Scope) -> bytes:
    """The page on this server that was asked for before the code was; its own start where that is none."""
    path = "/" + str(scope.get("path", "")).lstrip("/\\")
    query = bytes(scope.get("query_string", b""))
    is_plain = re.fullmatch(rb"[!-~]{0,500}", query) is not None
    return quote(path, safe="/").encode() + (b"?" + query if query and is_plain else b"")


def _gate_page(words: str) -> str:
    page = files("casewright.faces.web").joinpath("theme", "gate.html").read_text(encoding="utf-8")
    return page.replace("{words}", escape(words))


__all__ = [
    "COOKIE",
    "LARGEST_BODY",
    "LARGEST_MESSAGE",
    "MOST_LOGGED",
    "PASS_TIME",
    "Gate",
    "Guard",
    "allowed_hosts",
    "content_policy",
    "is_loopback",
    "lan_address",
    "plain_record",
    "security_headers",
]
