"""Serving a workshop until it is told to stop: the edge, which knows the clock and the signals."""

from __future__ import annotations

import logging
import signal
import socket
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Final

from sqlalchemy.engine import URL
from starlette.requests import ClientDisconnect
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from sockwright.i18n.locale import locale_of
from sockwright.store.copies import keep_copy
from sockwright.store.database import open_database, sqlite_file
from sockwright.store.items import StoreError
from sockwright.web.access.kept_certificates import NO_REACH, Reach, Secured, secure
from sockwright.web.access.network import as_host, is_loopback
from sockwright.web.access.sessions import LoginSessions
from sockwright.web.app import LOOPBACK, make_site
from sockwright.web.connections import USUAL, Connections, Limits
from sockwright.web.context import make_app_state
from sockwright.web.errors import told, told_gone
from sockwright.web.logbook import logged
from sockwright.workshop.workshop import Workshop

if TYPE_CHECKING:
    from sockwright.web.front import LimitedServer

ENDS_WITHIN_S: Final = 15
"""How long answers under way are waited for at the end, s: longer than a write may wait."""

FILES: Final = 4096
"""Open at once, if the system lets us: each connection is one."""

SPARE_FILES: Final = 100
"""For the database, the pages and what they need."""

LOOKS_AFTER_S: Final = 600.0
"""How long after a look whether a day has begun the next one comes, s."""

STOPS: Final = (signal.SIGINT, signal.SIGTERM)

_log = logging.getLogger("sockwright.web")


@dataclass(frozen=True)
class OpenWorkshop:
    """An open workshop; `place` is where it is kept, `new` whether it was made just now."""

    shop: Workshop
    place: str
    new: bool


@contextmanager
def opened_workshop(url: str, language: str = "en") -> Iterator[OpenWorkshop]:
    """The workshop in the database at `url`, closed at the end; a new one holds the example in a
    language.

    A copy of an SQLite file is kept each day.

    Raises CannotOpen.
    """
    with closing(open_database(url)) as database:
        shop = Workshop(database, lambda: datetime.now(UTC))
        if database.new:
            shop.add_example(locale_of(language))
        with copied_daily(sqlite_file(url), lambda: datetime.now(UTC).date()):
            yield OpenWorkshop(shop, _place(database.engine.url), database.new)


def _place(address: URL) -> str:
    if address.get_backend_name() == "sqlite":
        return str(Path(str(address.database)).absolute())
    return address.render_as_string(hide_password=True)


@contextmanager
def copied_daily(
    file: Path | None, today: Callable[[], date], looks_after_s: float = LOOKS_AFTER_S
) -> Iterator[None]:
    """Keep a copy of each day on which the block runs; a database without a `file` has none.

    Where a copy cannot be made, that is told once a day, and the workshop goes on.
    """
    if file is None:
        yield
        return
    ended, told = threading.Event(), set[date]()
    copy_today(file, today(), told)

    def look() -> None:
        while not ended.wait(looks_after_s):
            copy_today(file, today(), told)

    watch = threading.Thread(target=look, name="daily copy", daemon=True)
    watch.start()
    try:
        yield
    finally:
        ended.set()
        watch.join()


def copy_today(file: Path, day: date, told: set[date]) -> None:
    """Keep the copy of a day, if there is none; `told` are the days of which a failure is told."""
    try:
        keep_copy(file, day.isoformat())
    except StoreError as error:
        if day not in told:
            told.add(day)
            _log.warning("%s", error)


@contextmanager
def guarded_site(
    shop: Workshop,
    others: Iterable[str],
    logins: LoginSessions | None,
    reach: Reach = NO_REACH,
    workers: int = 0,
) -> Iterator[ASGIApp]:
    """The site by its loopback names and those of `others`, behind `logins` if there is one.

    So many processes plan for it, 0 being none besides this one; they end with the context.
    """
    app_state = make_app_state(shop, logins, reach, workers)
    with closing(app_state.workers):
        yield make_site(shop, (*LOOPBACK, *map(as_host, others)), logins, reach, app_state)


def secured_for(folder: Path, others: Iterable[str], passing: Iterable[str] = ()) -> Secured:
    """Certificates in `folder` for the loopback names and `others`, and as far as may be for the
    addresses `passing`. Raises CannotCertify."""
    own = [one.strip("[]") for one in LOOPBACK]
    hosts = tuple(dict.fromkeys((*own, *others)))
    return secure(folder, hosts, datetime.now(UTC), tuple(passing))


def serve(
    site: ASGIApp,
    sockets: Sequence[socket.socket],
    opened: Callable[[], None],
    behind_proxy: bool = False,
    certificate: Path | None = None,
    log: Path | None = None,
) -> None:
    """Answer on the sockets until SIGINT or SIGTERM, then wait for what is under way.

    `opened` is called once a signal ends it in order. What goes wrong is written to the file `log`.
    A second SIGINT waits for nothing.
    """
    limits = replace(USUAL, connections=min(USUAL.connections, most_connections()))
    front = make_front(site, limits, behind_proxy, certificate)
    with logged(log), _stopping(front.handle_exit):
        opened()
        front.run(list(sockets))


def make_front(
    site: ASGIApp, limits: Limits, behind_proxy: bool = False, certificate: Path | None = None
) -> LimitedServer:
    """A server of the site, at which nobody takes up more than `limits`.

    `behind_proxy` believes a proxy on this computer about who asks, and how. With a `certificate`
    (its key and chain in one PEM file) all is encrypted.
    """
    import uvicorn

    from sockwright.web.front import LimitedServer

    connections = Connections(limits, time.monotonic, is_loopback if behind_proxy else _nobody)
    config = uvicorn.Config(
        Outermost(site, connections),
        loop="asyncio",
        http="h11",
        ws="none",
        lifespan="off",
        log_config=None,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=behind_proxy,
        forwarded_allow_ips="127.0.0.1,::1",
        timeout_graceful_shutdown=ENDS_WITHIN_S,
        h11_max_incomplete_event_size=limits.header_bytes,
        ssl_certfile=certificate,
    )
    return LimitedServer(config, connections)


def most_connections() -> int:
    """How many connections the system has files for, its bound for us raised as far as we may."""
    try:
        import resource
    except ImportError:  # a system that does not count them
        return FILES
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if soft == resource.RLIM_INFINITY:
        return FILES
    most = FILES if hard == resource.RLIM_INFINITY else min(hard, FILES)
    if soft < most:
        with suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))
            soft = most
    return max(soft - SPARE_FILES, soft // 2)


def _nobody(address: str) -> bool:
    return False


@contextmanager
def _stopping(stop: Callable[[int, FrameType | None], None]) -> Iterator[None]:
    """Signals to stop call `stop`, from before the server catches them until after it did: it
    raises them again at its end, when they have been heeded already."""
    before = {one: signal.signal(one, stop) for one in STOPS}
    try:
        yield
    finally:
        for one, handler in before.items():
            signal.signal(one, handler)


class Outermost:
    """Round everything: what `app` fails at ends here, and no more is begun than can be done."""

    def __init__(self, app: ASGIApp, connections: Connections) -> None:
        self.app = app
        self.connections = connections
        self._under_way = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, whatever becomes of it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        most = self.connections.limits.requests
        # Those whose bodies are still on their way hold nobody else up.
        if self._under_way >= most and self.connections.working() > most:
            await _busy(scope, receive, send)
            return
        self._under_way += 1
        try:
            await self._answer(scope, receive, send)
        finally:
            self._under_way -= 1

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        started = False

        async def sending(message: Message) -> None:
            nonlocal started
            started = True
            await send(message)

        try:
            await self.app(scope, receive, sending)
        except ClientDisconnect:
            told_gone(scope)
        except Exception as error:
            reference = told(scope, error)
            if not started:
                await _failed(reference)(scope, receive, send)


_busy = PlainTextResponse(
    "The workshop is busy. Try again in a moment.", 503, {"retry-after": "1", "connection": "close"}
)


def _failed(reference: str) -> PlainTextResponse:
    return PlainTextResponse(f"Something is wrong in the program ({reference}).", 500)
