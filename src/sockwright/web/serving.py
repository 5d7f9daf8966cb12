"""Serving a workshop until it is told to stop: the edge, which knows the clock and the signals."""

from __future__ import annotations

import signal
import socket
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType
from typing import Final

from sqlalchemy.engine import URL
from starlette.types import ASGIApp

from sockwright.store.database import open_database, sqlite_file
from sockwright.web.app import LOOPBACK, make_site
from sockwright.web.daily_copy import copied_daily
from sockwright.web.door import Door
from sockwright.web.kept_certificate import Secured, secure
from sockwright.web.network import as_host
from sockwright.web.reach import NO_REACH, Reach
from sockwright.workshop.workshop import Workshop

ENDS_WITHIN_S: Final = 15
"""How long answers under way are waited for at the end, s: longer than a write may wait."""

MOST_CONNECTIONS: Final = 250
"""At once; who comes then is told to come again."""

IDLE_S: Final = 15
"""How long an idle connection is kept, s."""

MOST_HEADER_BYTES: Final = 65_536
"""Of a request's line and headers together."""

STOPS: Final = (signal.SIGINT, signal.SIGTERM)


@dataclass(frozen=True)
class Opened:
    """An open workshop; `place` is where it is kept, `new` whether it was made just now."""

    shop: Workshop
    place: str
    new: bool


@contextmanager
def opened_workshop(url: str) -> Iterator[Opened]:
    """The workshop in the database at `url`, closed at the end; a new one holds the example.

    A copy of an SQLite file is kept each day.

    Raises CannotOpen.
    """
    with closing(open_database(url)) as database:
        shop = Workshop(database, lambda: datetime.now(UTC))
        if database.new:
            shop.add_example()
        with copied_daily(sqlite_file(url), lambda: datetime.now(UTC).date()):
            yield Opened(shop, _place(database.engine.url), database.new)


def _place(address: URL) -> str:
    if address.get_backend_name() == "sqlite":
        return str(Path(str(address.database)).absolute())
    return address.render_as_string(hide_password=True)


def guarded_site(
    shop: Workshop, others: Iterable[str], door: Door | None, reach: Reach = NO_REACH
) -> ASGIApp:
    """The site by its loopback names and those of `others`, behind `door` if there is one."""
    return make_site(shop, (*LOOPBACK, *map(as_host, others)), door, reach)


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
) -> None:
    """Answer on the sockets until SIGINT or SIGTERM, then wait for what is under way.

    `opened` is called once a signal ends it in order. `behind_proxy` believes a proxy on this
    computer about who asks, and how. With a `certificate` (its key and chain in one PEM file) all
    is encrypted. A second SIGINT waits for nothing.
    """
    import uvicorn

    config = uvicorn.Config(
        site,
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
        limit_concurrency=MOST_CONNECTIONS,
        timeout_keep_alive=IDLE_S,
        timeout_graceful_shutdown=ENDS_WITHIN_S,
        h11_max_incomplete_event_size=MOST_HEADER_BYTES,
        ssl_certfile=certificate,
    )
    server = uvicorn.Server(config)
    with _stopping(server.handle_exit):
        opened()
        server.run(list(sockets))


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
