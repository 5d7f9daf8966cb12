"""The server among clients who say nothing, drip, or never read: it answers the others."""

from __future__ import annotations

import asyncio
import errno
import logging
import select
import socket
import ssl
import sys
import threading
from asyncio import sslproto
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from starlette.types import ASGIApp, Receive, Scope, Send

from served import PATIENCE_S
from sockwright.web.access.kept_certificates import secure
from sockwright.web.access.network import listen
from sockwright.web.connections import Connection, Limits
from sockwright.web.front import LimitedServer, _left_in
from sockwright.web.serving import FILES, make_front, most_connections

LONG = Limits(handshake_s=900, header_s=900, idle_s=900, pace_s=900, look_s=0.02, fresh_s=0.1)
"""So long that only a lack of room closes anything, s; a test makes short what it waits for."""

SOON = 0.1
"""So short that a test need not wait, s."""

ASKING = b"GET / HTTP/1.1\r\nhost: hut\r\n\r\n"
SENDING = b"POST / HTTP/1.1\r\nhost: hut\r\ncontent-length: 1000000\r\n\r\n"
LARGE = 20_000_000
"""More bytes than any system holds for a client that does not read."""

many_addresses = pytest.mark.skipif(
    sys.platform != "linux", reason="only here all of 127.0.0.0/8 are addresses of this computer"
)


async def site(scope: Scope, receive: Receive, send: Send) -> None:
    """Reads what is sent, then answers: "/large" with LARGE bytes, "/fault" not at all."""
    more = True
    while more:
        message = await receive()
        more = message.get("more_body", False)
    if scope["path"] == "/fault":
        raise RuntimeError("a needle broke")
    body = b"x" * (LARGE if scope["path"] == "/large" else 5)
    length = (b"content-length", str(len(body)).encode())
    await send({"type": "http.response.start", "status": 200, "headers": [length]})
    await send({"type": "http.response.body", "body": body})


class Running:
    """A server in a thread; `gone` is set whenever a connection has gone."""

    def __init__(self, front: LimitedServer, port: int, context: ssl.SSLContext | None) -> None:
        self.front, self.port, self.context = front, port, context
        self.gone = threading.Event()
        told = front.connections.gone

        def tell(connection: Connection) -> None:
            told(connection)
            self.gone.set()

        front.connections.gone = tell  # type: ignore[method-assign]

    def plain(self, address: str = "127.0.0.1") -> socket.socket:
        """A connection from this address that says nothing."""
        return socket.create_connection(("127.0.0.1", self.port), PATIENCE_S, (address, 0))

    def begun(self, address: str = "127.0.0.1") -> socket.socket:
        """The same, ready for a request."""
        plain = self.plain(address)
        return self.context.wrap_socket(plain) if self.context else plain

    def answer(self, address: str = "127.0.0.1", asking: bytes = ASKING) -> bytes:
        """What a client gets that asks at once."""
        with closing(self.begun(address)) as one:
            one.sendall(asking)
            return received(one)


def received(one: socket.socket) -> bytes:
    """One answer of five bytes, or all until the end."""
    got = one.recv(1000)
    while got and not got.endswith(b"\r\n\r\nxxxxx") and (more := one.recv(1000)):
        got += more
    return got


@contextmanager
def running(
    limits: Limits, certificate: Path | None = None, proxied: bool = False, app: ASGIApp = site
) -> Iterator[Running]:
    """`app` served on a free port."""
    sockets = listen(0, to_network=True)
    front = make_front(app, limits, proxied, certificate)
    context = None
    if certificate:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    started = threading.Event()
    begin = front.startup

    async def startup(sockets: list[socket.socket] | None = None) -> None:
        await begin(sockets)
        started.set()

    front.startup = startup  # type: ignore[method-assign]
    thread = threading.Thread(target=front.run, args=(sockets,))
    thread.start()
    try:
        assert started.wait(PATIENCE_S)
        yield Running(front, sockets[0].getsockname()[1], context)
    finally:
        front.should_exit = True
        thread.join(PATIENCE_S)
        assert not thread.is_alive()


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A server's certificate."""
    folder = tmp_path_factory.mktemp("certificates")
    return secure(folder, ("127.0.0.1",), datetime.now(UTC)).file


@pytest.fixture(params=["plain", "tls"])
def with_tls(request: pytest.FixtureRequest, certificate: Path) -> Path | None:
    """The certificate of a server that encrypts, none of one that does not."""
    return certificate if request.param == "tls" else None


def is_closed(one: socket.socket) -> bool:
    """Whether the server closes it, and says nothing."""
    try:
        return one.recv(1) == b""
    except (ConnectionResetError, ssl.SSLEOFError, BrokenPipeError):
        return True


def drip(one: socket.socket, first: bytes, drop: bytes) -> None:
    """Send `first`, then drop after drop without a pause that is too long, until it is closed."""
    one.sendall(first)
    one.settimeout(0.01)
    while True:
        try:
            one.sendall(drop)
            assert one.recv(1) == b""
        except TimeoutError:
            continue
        except OSError:
            return
        else:
            return


def test_who_says_nothing_is_closed(with_tls: Path | None) -> None:
    with (
        running(replace(LONG, header_s=SOON), with_tls) as server,
        closing(server.begun()) as silent,
    ):
        assert is_closed(silent)


def test_who_does_not_shake_hands_is_closed(certificate: Path) -> None:
    with (
        running(replace(LONG, handshake_s=SOON), certificate) as server,
        closing(server.plain()) as silent,
    ):
        assert is_closed(silent)


def test_a_header_that_drips_is_ended() -> None:
    with (
        running(replace(LONG, header_s=SOON)) as server,
        closing(server.begun()) as one,
    ):
        drip(one, b"GET / HTTP/1.1\r\nhost: hut\r\nx: ", b"a")


def test_a_body_that_drips_is_ended() -> None:
    with running(replace(LONG, pace_s=SOON)) as server, closing(server.begun()) as one:
        drip(one, SENDING, b"a")
        assert b"200 OK" in server.answer()


def test_who_is_idle_after_an_answer_is_closed() -> None:
    with running(replace(LONG, idle_s=SOON)) as server, closing(server.begun()) as one:
        one.sendall(ASKING)
        assert b"200 OK" in received(one)
        assert is_closed(one)


def test_a_further_header_that_drips_is_ended() -> None:
    with running(replace(LONG, header_s=1)) as server, closing(server.begun()) as one:
        one.sendall(ASKING)
        assert b"200 OK" in received(one)
        drip(one, b"GET / HT", b"T")


def test_who_never_reads_the_answer_is_ended(with_tls: Path | None) -> None:
    with running(replace(LONG, pace_s=SOON), with_tls) as server, closing(server.begun()) as one:
        one.sendall(ASKING.replace(b"/ ", b"/large "))
        assert server.gone.wait(PATIENCE_S)
        got = 0
        try:
            while part := one.recv(1_000_000):
                got += len(part)
        except OSError:
            pass
        assert got < LARGE
        assert b"200 OK" in server.answer()


def test_who_reads_gets_all_of_it(with_tls: Path | None) -> None:
    with running(LONG, with_tls) as server, closing(server.begun()) as one:
        one.sendall(b"GET /large HTTP/1.1\r\nhost: hut\r\nconnection: close\r\n\r\n")
        got = 0
        while part := one.recv(1_000_000):
            got += len(part)
    assert got > LARGE


def test_a_handshake_that_is_none_is_ended(certificate: Path) -> None:
    with running(LONG, certificate) as server:
        with closing(server.plain()) as one:
            one.sendall(ASKING)
            while not is_closed(one):
                pass  # an alert comes first
        assert b"200 OK" in server.answer()


@many_addresses
@pytest.mark.parametrize(
    "said", [b"", b"GET / HTTP/1.1\r\nx: ", SENDING], ids=["", "header", "body"]
)
def test_a_crowd_that_says_nothing_keeps_nobody_out(said: bytes) -> None:
    limits = replace(LONG, connections=20)
    with running(limits) as server, ExitStack() as stack:
        for n in range(100):
            one = stack.enter_context(closing(server.plain(f"127.0.1.{n + 1}")))
            one.sendall(said)
        for n in range(5):
            assert b"200 OK" in server.answer(f"127.0.2.{n + 1}")
        assert len(server.front.connections) <= limits.connections


@many_addresses
def test_handshakes_that_never_end_keep_nobody_out(certificate: Path) -> None:
    limits = replace(LONG, connections=20)
    with running(limits, certificate) as server, ExitStack() as stack:
        for n in range(60):
            stack.enter_context(closing(server.plain(f"127.0.1.{n + 1}")))
        assert b"200 OK" in server.answer("127.0.2.1")


def test_a_connection_over_tls_that_was_aborted_has_nothing_left() -> None:
    aborted = sslproto._SSLProtocolTransport(None, None)
    aborted.abort()
    assert _left_in(aborted) == 0


@many_addresses
def test_one_address_cannot_have_more_than_its_share() -> None:
    with running(replace(LONG, of_one_device=4)) as server, ExitStack() as stack:
        other = stack.enter_context(closing(server.plain("127.0.0.2")))
        mine = [stack.enter_context(closing(server.plain())) for _ in range(6)]
        assert [is_closed(one) for one in mine[:2]] == [True, True]
        for one in (other, *mine[2:]):
            one.sendall(ASKING)
            assert b"200 OK" in received(one)


def test_a_proxy_has_as_many_as_there_are() -> None:
    with running(replace(LONG, of_one_device=4), proxied=True) as server, ExitStack() as stack:
        mine = [stack.enter_context(closing(server.plain())) for _ in range(12)]
        for one in mine:
            one.sendall(ASKING)
            assert b"200 OK" in received(one)


class Full(socket.socket):
    """A socket of a system that has no more files for a number of times."""

    times = 0

    def accept(self) -> tuple[socket.socket, Any]:
        """Take nobody, until there is room."""
        if self.times:
            self.times -= 1
            raise OSError(errno.EMFILE, "Too many open files")
        return super().accept()


@pytest.mark.parametrize("silent", [1, 0])
def test_where_the_system_has_no_more_files_one_that_is_silent_goes(
    silent: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = listen(0, to_network=True)
    listening = [Full(fileno=one.detach()) for one in made]
    monkeypatch.setattr(f"{__name__}.listen", lambda *given, **more: listening)
    with running(LONG) as server, ExitStack() as stack:
        others = [stack.enter_context(closing(server.plain())) for _ in range(silent)]
        assert b"200 OK" in server.answer(), "the silent one has been taken before"
        listening[0].times = 1
        assert b"200 OK" in server.answer()
        assert listening[0].times == 0
        assert all(map(is_closed, others))


def test_the_end_waits_for_nobody_who_is_silent(with_tls: Path | None) -> None:
    with running(LONG, with_tls) as server:
        silent = server.begun()
        assert b"200 OK" in server.answer()
        server.front.should_exit = True
        with closing(silent):
            assert is_closed(silent)


def test_as_many_files_are_asked_for_as_the_system_lets_us() -> None:
    resource = pytest.importorskip("resource")
    before = resource.getrlimit(resource.RLIMIT_NOFILE)
    try:
        resource.setrlimit(resource.RLIMIT_NOFILE, (min(256, before[1]), before[1]))
        most = most_connections()
        assert 0 < most < resource.getrlimit(resource.RLIMIT_NOFILE)[0]
        assert most >= min(before[1], FILES) // 2
    finally:
        resource.setrlimit(resource.RLIMIT_NOFILE, before)


def test_more_requests_than_can_be_answered_are_told_to_come_again() -> None:
    release = threading.Event()

    async def slow(scope: Scope, receive: Receive, send: Send) -> None:
        await asyncio.to_thread(release.wait)
        await site(scope, receive, send)

    limits = replace(LONG, requests=3)
    with running(limits, app=slow) as server, ExitStack() as stack:
        waiting = [stack.enter_context(closing(server.begun())) for _ in range(4)]
        for one in waiting:
            one.sendall(ASKING)
        refused, _, _ = select.select(waiting, [], [], 20)
        assert len(refused) == 1
        assert b" 503 " in received(refused[0])
        release.set()
        for one in set(waiting) - set(refused):
            assert b"200 OK" in received(one)


def test_bodies_on_their_way_hold_no_request_up() -> None:
    with running(replace(LONG, requests=3)) as server, ExitStack() as stack:
        for _ in range(6):
            stack.enter_context(closing(server.begun())).sendall(SENDING)
        assert b"200 OK" in server.answer()


@pytest.mark.parametrize("apart", [False, True], ids=["at once", "after the answer"])
def test_a_body_that_is_no_http_is_no_fault_of_who_refuses_it_unread(
    caplog: pytest.LogCaptureFixture, apart: bool
) -> None:
    async def refusing(scope: Scope, receive: Receive, send: Send) -> None:
        await send(
            {"type": "http.response.start", "status": 403, "headers": [(b"content-length", b"5")]}
        )
        await send({"type": "http.response.body", "body": b"xxxxx"})

    chunked = b"POST / HTTP/1.1\r\nhost: hut\r\ntransfer-encoding: chunked\r\n\r\n"
    with running(LONG, app=refusing) as server, closing(server.begun()) as one:
        one.sendall(chunked if apart else chunked + b"zz\r\n")
        assert received(one).split()[1] == (b"403" if apart else b"400")
        if apart:
            one.sendall(b"zz\r\n")
        while one.recv(1000):
            pass
    assert [record for record in caplog.records if record.levelno >= logging.ERROR] == []
