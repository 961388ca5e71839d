"""The guard in front of the server, asked directly as an ASGI program: what it lets in, and how much."""

from __future__ import annotations

from typing import Any

import pytest

from casewright.faces.web.security import (
    COOKIE,
    LARGEST_BODY,
    LARGEST_MESSAGE,
    PASS_TIME,
    Gate,
    Guard,
    Message,
    Receive,
    Scope,
    Send,
    allowed_hosts,
    is_loopback,
)

HOST = "127.0.0.1:8123"
HOSTS = allowed_hosts("127.0.0.1", 8123)


async def reading(scope: Scope, receive: Receive, send: Send) -> None:
    """A program that reads all it is sent and says how much it was."""
    if scope["type"] == "websocket":
        assert (await receive())["type"] == "websocket.connect"
        await send({"type": "websocket.accept"})
        while True:
            message = await receive()
            if message["type"] == "websocket.disconnect":
                return
            await send({"type": "websocket.send", "text": "heard"})
    count, more = 0, True
    while more:
        message = await receive()
        count += len(message.get("body", b""))
        more = message.get("more_body", False)
    start = {"type": "http.response.start", "status": 200, "headers": [(b"x-frame-options", b"no")]}
    await send(start)
    await send({"type": "http.response.body", "body": str(count).encode()})


class Answer:
    """What came back."""

    def __init__(self, sent: list[Message]) -> None:
        self.sent = sent
        start = next(m for m in sent if m["type"] == "http.response.start")
        self.status: int = start["status"]
        self.headers = {name.decode(): value.decode() for name, value in start["headers"]}
        self.body = b"".join(m.get("body", b"") for m in sent)


async def ask(
    guard: Guard,
    headers: dict[str, str] | None = None,
    *,
    method: str = "GET",
    body: tuple[bytes, ...] = (b"",),
    path: str = "/",
    query: bytes = b"",
    client: str = "",
) -> Answer:
    told = {"host": HOST, **(headers or {})}
    scope: dict[str, Any] = {
        "type": "http",
        "method": method,
        "path": path,
        "query_string": query,
        "client": (client, 50000) if client else None,
        "headers": [(k.encode(), v.encode("latin-1")) for k, v in told.items()],
    }
    parts = list(body)
    sent: list[Message] = []

    async def receive() -> Message:
        part = parts.pop(0)
        return {"type": "http.request", "body": part, "more_body": bool(parts)}

    async def send(message: Message) -> None:
        sent.append(message)

    await guard(scope, receive, send)
    return Answer(sent)


async def connect(guard: Guard, headers: dict[str, str], *messages: Message) -> list[Message]:
    scope: dict[str, Any] = {
        "type": "websocket",
        "path": "/",
        "headers": [(k.encode(), v.encode()) for k, v in headers.items()],
    }
    coming = [{"type": "websocket.connect"}, *messages, {"type": "websocket.disconnect"}]
    sent: list[Message] = []

    async def receive() -> Message:
        return coming.pop(0)

    async def send(message: Message) -> None:
        sent.append(message)

    await guard(scope, receive, send)
    return sent


@pytest.fixture
def guard() -> Guard:
    return Guard(reading, HOSTS)


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:8123",
        "127.0.0.1",
        "127.0.0.1:8124",
        "127.0.0.1:8123.evil.example",
        "localhost.:8123",
        "localhost:08123",
        "me@127.0.0.1:8123",
        "127.0.0.1:8123 ",
        "127.0.0.1:8123,evil.example",
        "127.1:8123",
        "[::ffff:127.0.0.1]:8123",
        "",
    ],
)
async def test_a_foreign_host_is_refused(guard: Guard, host: str) -> None:
    """RFC 9110, 15.5.20: 421 is the answer to a request for a server that this one is not."""
    assert (await ask(guard, {"host": host})).status == 421
    sent = await connect(guard, {"host": host})
    assert [message["type"] for message in sent] == ["websocket.close"]


@pytest.mark.parametrize("host", [HOST, "localhost:8123", "LOCALHOST:8123", "[::1]:8123"])
async def test_own_names_are_let_in(guard: Guard, host: str) -> None:
    assert (await ask(guard, {"host": host})).status == 200


@pytest.mark.parametrize(
    "origin",
    [
        "http://evil.example",
        "https://127.0.0.1:8123",
        "http://127.0.0.1:1",
        "http://127.0.0.1:81234",
        "http://127.0.0.1:8123.evil.example",
        "http://127.0.0.1:8123/",
        "file://",
        "null",
        "",
    ],
)
async def test_a_foreign_origin_is_refused(guard: Guard, origin: str) -> None:
    """RFC 6455, 10.2: a server that is for its own pages only looks at the Origin."""
    assert (await ask(guard, {"origin": origin}, method="POST")).status == 403
    sent = await connect(guard, {"host": HOST, "origin": origin})
    assert [message["type"] for message in sent] == ["websocket.close"]


async def test_own_origin_is_let_in(guard: Guard) -> None:
    assert (await ask(guard, {"origin": f"http://{HOST}"}, method="POST")).status == 200
    sent = await connect(guard, {"host": HOST, "origin": f"http://{HOST}"})
    assert sent[0]["type"] == "websocket.accept"


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
async def test_what_another_page_embeds_is_refused_but_a_link_may_be_followed(
    guard: Guard, site: str
) -> None:
    """Fetch Metadata (W3C): "same-site" is what another port of this computer counts as."""
    other = {"sec-fetch-site": site}
    followed = {**other, "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert (await ask(guard, followed)).status == 200
    for mode, dest in (
        ("no-cors", "image"),
        ("no-cors", "script"),
        ("cors", "empty"),
        ("navigate", "iframe"),
        ("navigate", "frame"),
        ("navigate", "embed"),
        ("navigate", "object"),
    ):
        asked = {**other, "sec-fetch-mode": mode, "sec-fetch-dest": dest}
        assert (await ask(guard, asked)).status == 403, (mode, dest)


async def test_our_own_pages_may_show_our_papers_in_a_frame(guard: Guard) -> None:
    own = {
        "sec-fetch-site": "same-origin",
        "sec-fetch-mode": "navigate",
        "sec-fetch-dest": "iframe",
    }
    shown = await ask(guard, own)
    assert shown.status == 200
    rules = dict(r.split(" ", 1) for r in shown.headers["content-security-policy"].split("; "))
    assert (
        rules["frame-ancestors"] == "'self'"
    )  # CSP level 3, 6.4.2: same scheme, host and port only


async def test_a_host_named_twice_is_refused(guard: Guard) -> None:
    """RFC 9112, 3.2: more than one Host line makes a bad request."""
    scope: dict[str, Any] = {
        "type": "http",
        "method": "GET",
        "path": "/",
        "headers": [(b"host", HOST.encode()), (b"Host", b"evil.example")],
    }
    sent: list[Message] = []

    async def send(message: Message) -> None:
        sent.append(message)

    async def receive() -> Message:
        raise AssertionError("nothing is read of what is refused")

    await guard(scope, receive, send)
    assert Answer(sent).status == 421


@pytest.mark.parametrize("length", [str(LARGEST_BODY + 1), "-1", "many"])
async def test_a_stated_length_over_the_limit_is_refused(guard: Guard, length: str) -> None:
    assert (await ask(guard, {"content-length": length}, method="POST")).status == 413


async def test_a_body_is_counted_whatever_its_headers_say(guard: Guard) -> None:
    half = b"x" * (LARGEST_BODY // 2)
    exact = await ask(guard, method="POST", body=(half, half))
    assert (exact.status, exact.body) == (200, str(LARGEST_BODY).encode())
    assert (await ask(guard, method="POST", body=(half, half, b"x"))).status == 413


async def test_a_long_message_ends_the_websocket(guard: Guard) -> None:
    fits = {"type": "websocket.receive", "text": "x" * LARGEST_MESSAGE}
    long = {"type": "websocket.receive", "bytes": b"x" * (LARGEST_MESSAGE + 1)}
    sent = await connect(guard, {"host": HOST}, fits, long, fits)
    assert [message["type"] for message in sent] == [
        "websocket.accept",
        "websocket.send",
        "websocket.close",
    ]
    assert sent[-1]["code"] == 1009  # RFC 6455, 7.4.1: too big to process


async def test_a_message_is_measured_in_bytes(guard: Guard) -> None:
    """Three bytes to the sign in UTF-8 (RFC 3629): a third of the limit and one more is too long."""
    long = {"type": "websocket.receive", "text": "⌀" * (LARGEST_MESSAGE // 3 + 1)}
    sent = await connect(guard, {"host": HOST}, long)
    assert (sent[-1]["type"], sent[-1]["code"]) == ("websocket.close", 1009)


async def test_every_answer_has_the_headers(guard: Guard) -> None:
    for answer in (await ask(guard), await ask(guard, {"host": "evil.example"})):
        policy = answer.headers["content-security-policy"]
        rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
        assert rules["default-src"] == "'self'"
        assert rules["object-src"] == rules["base-uri"] == "'none'"
        assert "evil" not in policy and "*" not in policy and "https:" not in policy
        assert f"ws://{HOST}" in rules["connect-src"].split()
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["x-frame-options"] == "SAMEORIGIN"  # not what the program said


def test_loopback() -> None:
    assert all(is_loopback(host) for host in ("127.0.0.1", "127.8.9.1", "::1", "localhost"))
    assert not any(is_loopback(host) for host in ("0.0.0.0", "::", "192.0.2.7", "example.org"))


# ---- beyond this computer ----


class Clock:
    now = 100.0

    def __call__(self) -> float:
        return self.now


async def test_a_code_lets_one_browser_in() -> None:
    shown: list[str] = []
    clock = Clock()
    gate = Gate(shown.append, clock)
    guard = Guard(reading, HOSTS, gate)
    asked = await ask(guard)
    assert asked.status == 401
    assert b'name="code"' in asked.body and shown[0].encode() not in asked.body
    assert await connect(guard, {"host": HOST}) == [{"type": "websocket.close", "code": 1008}]

    typed = f"code={shown[0][:4].lower()}+{shown[0][4:]}".encode()
    let_in = await ask(guard, method="POST", body=(typed,))
    assert let_in.status == 303
    cookie = let_in.headers["set-cookie"]
    assert {"HttpOnly", "SameSite=Strict"} <= {part.strip() for part in cookie.split(";")}
    with_pass = {"cookie": f"other=1; {cookie.split(';')[0]}"}
    assert (await ask(guard, with_pass)).status == 200
    assert (await connect(guard, {"host": HOST, **with_pass}))[0]["type"] == "websocket.accept"

    assert len(shown) == 2 and shown[1] != shown[0]
    again = await ask(guard, method="POST", body=(typed,))
    assert again.status == 401  # used up
    assert (await ask(guard, {"cookie": f"{COOKIE}=guessed"})).status == 401


async def test_codes_cannot_be_guessed_fast() -> None:
    shown: list[str] = []
    clock = Clock()
    gate = Gate(shown.append, clock)
    assert gate.enter("WRONG") is None
    assert gate.enter(shown[0]) is None  # too soon after a wrong one
    clock.now += 1.5
    assert gate.enter("ünicode ☃") is None
    for _ in range(3):
        clock.now += 1.5
        assert gate.enter("WRONG") is None
    assert len(shown) == 2  # after five wrong ones the code is another
    clock.now += 1.5
    assert gate.enter(shown[0]) is None
    clock.now += 1.5
    assert gate.enter(shown[1]) is not None


async def test_a_code_page_takes_no_long_body() -> None:
    guard = Guard(reading, HOSTS, Gate(lambda code: None))
    assert (await ask(guard, method="POST", body=(b"code=" + b"x" * 2000,))).status == 413


@pytest.mark.parametrize(
    ("path", "query", "where"),
    [
        ("/b/duel/deck", b"of=12AB-34CD", "/b/duel/deck?of=12AB-34CD"),
        ("/desk/1/step/cut.ply9+1", b"", "/desk/1/step/cut.ply9%2B1"),
        ("//evil.example/x", b"", "/evil.example/x"),
        ("/\\evil.example", b"", "/evil.example"),
        ("/a\r\nset-cookie: x", b"", "/a%0D%0Aset-cookie%3A%20x"),
        ("/a", b"x\r\ny", "/a"),
        ("/ü", b"", "/%C3%BC"),
    ],
)
async def test_the_code_leads_on_to_the_page_that_was_asked_for(
    path: str, query: bytes, where: str
) -> None:
    """RFC 9110, 10.2.2, and RFC 3986, 4.2: what begins with two slashes would be another server."""
    shown: list[str] = []
    guard = Guard(reading, HOSTS, Gate(shown.append, Clock()))
    body = (f"code={shown[0]}".encode(),)
    let_in = await ask(guard, method="POST", body=body, path=path, query=query)
    assert (let_in.status, let_in.headers["location"]) == (303, where)


async def test_the_form_for_the_code_names_its_origin() -> None:
    """Fetch, 3.2: under "no-referrer" a form's origin is "null", which is a stranger's."""
    guard = Guard(reading, HOSTS, Gate(lambda _: None, Clock()))
    assert (await ask(guard)).headers["referrer-policy"] == "same-origin"
    assert (await ask(guard, {"origin": "null"}, method="POST")).status == 403
    assert (await ask(guard, {"origin": f"http://{HOST}"}, method="POST")).status == 401


async def test_a_pass_is_kept_for_a_day_in_the_shop() -> None:
    shown: list[str] = []
    guard = Guard(reading, HOSTS, Gate(shown.append, Clock()))
    let_in = await ask(guard, method="POST", body=(f"code={shown[0]}".encode(),))
    assert f"Max-Age={PASS_TIME}" in let_in.headers["set-cookie"]


async def test_browsers_on_this_computer_may_be_let_in_without_a_code() -> None:
    """Both must be of this computer, the one who asks and the name it asks for."""
    hosts = HOSTS | {"192.0.2.7:8123"}
    open_here = Guard(reading, hosts, Gate(lambda _: None), asks_own=False)
    lan = {"host": "192.0.2.7:8123"}
    assert (await ask(open_here, client="127.0.0.1")).status == 200
    assert (await ask(open_here, {"host": "[::1]:8123"}, client="::1")).status == 200
    assert (await ask(open_here, client="192.0.2.9")).status == 401
    assert (await ask(open_here, lan, client="127.0.0.1")).status == 401
    assert (await ask(open_here, lan, client="192.0.2.9")).status == 401
    assert (await ask(open_here)).status == 401  # nobody knows who asks
    asks_all = Guard(reading, hosts, Gate(lambda _: None))
    assert (await ask(asks_all, client="127.0.0.1")).status == 401
