"""Sites to test with: one in the same process, or one served to browsers on a port of its own."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

import uvicorn
from starlette.testclient import TestClient
from starlette.types import ASGIApp, Receive, Scope, Send

import workshops
from served import PATIENCE_S
from sockwright.store.database import sqlite_url
from sockwright.web.access.sessions import LoginSessions
from sockwright.web.app import make_site
from sockwright.workshop.planning import Plans
from sockwright.workshop.workshop import Workshop
from workshops import START

HOST = "testserver"
PLANS = Plans()
"""Plans at hand for every workshop of these tests: a plan depends on its order alone."""

T = TypeVar("T")
Fields = Mapping[str, str] | Sequence[tuple[str, str]]


@cache
def _file(fill: Callable[[Workshop], T]) -> tuple[bytes, T]:
    """The file of a workshop after `fill`, and what that gave; made once."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "workshop.db"
        with opened(file) as shop:
            told = fill(shop)
        return file.read_bytes(), told


def _nothing(shop: Workshop) -> None:
    """Leave a workshop empty."""


@contextmanager
def opened(file: Path, start: datetime = START) -> Iterator[Workshop]:
    """The workshop in an SQLite file, closed at the end."""
    shop = workshops.workshop(sqlite_url(file), start)
    shop.plans = PLANS
    with closing(workshops.database_of(shop)):
        yield shop


@contextmanager
def workshop(folder: Path, example: bool = False) -> Iterator[Workshop]:
    """A fresh workshop in a folder, empty or with the example station."""
    with filled(folder, Workshop.add_example if example else _nothing) as (shop, _):
        yield shop


@contextmanager
def filled(folder: Path, fill: Callable[[Workshop], T]) -> Iterator[tuple[Workshop, T]]:
    """A fresh workshop in a folder as `fill` leaves it, an hour later, and what that gives."""
    file = folder / "workshop.db"
    content, told = _file(fill)
    file.write_bytes(content)
    with opened(file, START + timedelta(hours=1)) as shop:
        yield shop, told
    for beside in folder.glob("workshop.db*"):
        shutil.rmtree(beside) if beside.is_dir() else beside.unlink()


class Client(TestClient):
    """A browser without a screen on a page of the site: keeps cookies, and tells its origin."""

    def __init__(self, app: ASGIApp, base_url: str = f"http://{HOST}", **more: Any) -> None:
        super().__init__(app, base_url, headers={"origin": base_url}, **more)

    def post_form(self, path: str, fields: Fields = (), **more: Any) -> Any:
        """Post a form as a page of the site would."""
        data: dict[str, Any] = {}
        for name, value in fields.items() if isinstance(fields, Mapping) else fields:
            data.setdefault(name, []).append(value)
        return self.post(path, data=data, **more)


def client(shop: Workshop) -> Client:
    """A client of the whole site over a workshop."""
    return Client(make_site(shop, (HOST,)), follow_redirects=False)


class Served:
    """A site served on a port of its own, where it comes back too, or another in its place."""

    def __init__(self, app: ASGIApp | None = None) -> None:
        self.app = app
        self.port = 0
        self.server: uvicorn.Server | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """What stands here now answers."""
        assert self.app is not None
        await self.app(scope, receive, send)

    @property
    def address(self) -> str:
        """Where it is, without a slash at the end."""
        return f"http://127.0.0.1:{self.port}"

    def begin(self) -> None:
        """Answer from now on."""
        config = uvicorn.Config(
            self,
            port=self.port,
            log_config=None,
            log_level=None,
            access_log=False,
            lifespan="off",
            ws="none",
        )
        server = self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=server.run, daemon=True)
        self.thread.start()
        _wait(server, self.thread)
        self.port = server.servers[0].sockets[0].getsockname()[1]

    def end(self) -> None:
        """Be gone."""
        assert self.server is not None
        self.server.should_exit = True
        self.server.force_exit = True
        self.thread.join(PATIENCE_S)
        self.server = None
        assert not self.thread.is_alive(), "the server did not stop"


@contextmanager
def serving(shop: Workshop, logins: LoginSessions | None = None) -> Iterator[Served]:
    """Serve the whole site on a free port."""
    served = Served(make_site(shop, logins=logins))
    served.begin()
    try:
        yield served
    finally:
        served.end()


def _wait(server: uvicorn.Server, thread: threading.Thread) -> None:
    until = time.monotonic() + PATIENCE_S
    while not server.started:
        assert thread.is_alive(), "the server did not start"
        assert time.monotonic() < until, "the server took too long to start"
        time.sleep(0.01)
