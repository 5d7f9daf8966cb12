"""`sockwright serve` among strangers: it goes on, and its terminal stays readable."""

from __future__ import annotations

import re
import signal
import socket
import ssl
import stat
import struct
import sys
from collections.abc import Iterator
from contextlib import ExitStack, closing, suppress
from pathlib import Path

import pytest

from served import PATIENCE_S, Starter, address_in, browser
from sockwright.store.database import sqlite_url

ASKING = b"GET /enter HTTP/1.1\r\nhost: localhost\r\n\r\n"
POSTING = (
    b"POST /enter HTTP/1.1\r\nhost: localhost\r\norigin: http://localhost\r\n"
    b"content-length: 900\r\ncontent-type: %b\r\n\r\nphrase=a"
)
CHUNKED = b"transfer-encoding: chunked"
FORM, PARTS = b"application/x-www-form-urlencoded", b"multipart/form-data; boundary=b"
HELLO = bytes.fromhex("16030100050100000100")
"""The beginning of a TLS handshake that makes no sense."""

NASTY = (
    b"",
    b"\0" * 100,
    HELLO,
    b"GET / HTTP/9.9\r\n\r\n",
    b"GET /\x1b[2J HTTP/1.1\r\nhost: x\r\n\r\n",
    b"GET /%1b[2J%0aTraceback HTTP/1.1\r\nhost: localhost\r\n\r\n",
    b"GET " + b"/a" * 60_000 + b" HTTP/1.1\r\n",
    b"CONNECT evil.example:443 HTTP/1.1\r\nhost: evil.example\r\n\r\n",
    b"OPTIONS * HTTP/1.1\r\nhost: localhost\r\n\r\n",
    b"GET http://evil.example/ HTTP/1.1\r\nhost: localhost\r\n\r\n",
    ASKING.replace(b"host", b"upgrade: websocket\r\nconnection: upgrade\r\nhost"),
    ASKING.replace(b"host", b"x-forwarded-for: \xff,,[\r\nx-forwarded-proto: \xff\r\nhost"),
    ASKING.replace(b"host", b"cookie: \xff=\xff; sockwright_entry=\xff\r\nhost"),
    ASKING.replace(b"host", b"transfer-encoding: chunked\r\ncontent-length: 5\r\nhost"),
    ASKING.replace(b"host", b"expect: 100-continue\r\ncontent-length: 9\r\nhost"),
    ASKING * 20,
    POSTING % FORM,
    POSTING % PARTS,
    POSTING % PARTS + b"x" * 893,
    POSTING % b"application/x-www-form-urlencoded; charset=utf-7",
    POSTING.replace(b"content-length: 900", CHUNKED) % FORM,
    POSTING.replace(b"content-length: 900", CHUNKED) % FORM + b"zz\r\n",
    POSTING.replace(b"content-length: 900", b"content-length: -1") % FORM,
    POSTING.replace(b"origin", b"from").replace(b"content-length: 900", CHUNKED) % FORM + b"zz\r\n",
)


@pytest.fixture(scope="module")
def starter() -> Iterator[Starter]:
    """A process that starts the command quickly."""
    one = Starter()
    yield one
    one.close()


def homes(tmp_path: Path) -> dict[str, str]:
    """Folders of the user for one test."""
    names = ("HOME", "XDG_DATA_HOME", "XDG_STATE_HOME")
    return {name: str(tmp_path / name.lower()) for name in names}


def hang_up(one: socket.socket) -> None:
    """Go without a word: the other side gets a reset."""
    one.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    one.close()


def attack(port: int, said: bytes, tls: bool) -> None:
    """Say something, and go in each of three ways: at once, in order, after the answer."""
    for way in (hang_up, socket.socket.close, listen_and_close):
        one = socket.create_connection(("127.0.0.1", port), PATIENCE_S)
        with suppress(OSError):
            if tls:
                context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
                context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
                one = context.wrap_socket(one)
            one.sendall(said)
            way(one)
        one.close()


def listen_and_close(one: socket.socket) -> None:
    """Take the first of an answer, if there is one, after saying that there is no more to come."""
    one.shutdown(socket.SHUT_WR)
    one.settimeout(1)
    one.recv(100)
    one.close()


@pytest.mark.parametrize("tls", [False, True], ids=["plain", "tls"])
def test_whatever_comes_no_traceback_is_shown(starter: Starter, tmp_path: Path, tls: bool) -> None:
    url = sqlite_url(tmp_path / "w.db")
    given = ("serve", "--port", 0, "--no-open", "--network", "--database", url)
    lines = starter.begin(*given, *(["--tls"] if tls else []), **homes(tmp_path))
    address = re.search(r"://127\.0\.0\.1:(\d+)", "\n".join(lines))
    assert address is not None
    port = int(address[1])
    for said in NASTY:
        attack(port, said, tls)
        if tls:
            attack(port, said, tls=False)
    attack(port, ASKING, tls)
    status, last = starter.end(signal.SIGINT)
    assert status == 0
    assert last == ["The workshop is closed. Everything confirmed is saved."]
    for file in tmp_path.rglob("serve.log*"):
        assert "Traceback" not in file.read_text(encoding="utf-8")


def test_a_fault_is_one_line_here_and_all_of_it_in_the_log(
    starter: Starter, tmp_path: Path
) -> None:
    given = ("serve", "--port", 0, "--no-open", "--database", sqlite_url(tmp_path / "w.db"))
    lines = starter.begin(*given, BROKEN="everything", **homes(tmp_path))
    with browser(address_in(lines)) as client:
        answers = [client.get("/"), client.get("/data/"), *(client.get("/") for _ in range(40))]
    status, told = starter.end(signal.SIGINT)
    assert status == 0
    assert {one.status_code for one in answers} == {500}
    (log,) = tmp_path.rglob("serve.log")
    assert stat.S_IMODE(log.stat().st_mode) == 0o600
    assert stat.S_IMODE(log.parent.stat().st_mode) == 0o700
    written = log.read_text(encoding="utf-8")
    assert "\x1b" not in written
    for answer, line in zip(answers[:2], told, strict=False):
        (reference,) = re.findall(
            r"\b[0-9a-f]{6}\b", answer.text.partition("<main")[2] or answer.text
        )
        assert reference in line
        assert str(log) in line
        assert reference in written
    assert "a needle broke" in written
    assert "Traceback" in written
    assert "Traceback" not in "".join(told)
    assert len(told) < 10


@pytest.mark.skipif(sys.platform != "linux", reason="only here 127.0.1.1 is an address of its own")
def test_a_thousand_that_say_little_or_nothing_keep_nobody_out(
    starter: Starter, tmp_path: Path
) -> None:
    url = sqlite_url(tmp_path / "w.db")
    with (
        starter.serving("--network", "--database", url, **homes(tmp_path)) as (address, _),
        ExitStack() as stack,
    ):
        port = int(address.rpartition(":")[2])
        for n in range(1000):
            source = (f"127.0.{1 + n // 250}.{1 + n % 250}", 0)
            one = socket.create_connection(("127.0.0.1", port), PATIENCE_S, source)
            stack.enter_context(closing(one)).sendall((b"", b"GET / HT", POSTING % FORM)[n % 3])
        with browser(address) as client:
            assert client.get("/enter").status_code == 200
