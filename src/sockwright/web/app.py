"""The app: every page and every piece of data over one workshop, behind the guard."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fastapi import APIRouter, FastAPI
from fastapi.responses import Response
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Receive, Scope, Send

from sockwright import __version__
from sockwright.web import entrance, errors, exchange, home
from sockwright.web.access.guard import Guard
from sockwright.web.access.kept_certificates import NO_REACH, Reach
from sockwright.web.access.sessions import LoginSessions
from sockwright.web.bench import data as bench_data
from sockwright.web.bench import view as bench
from sockwright.web.context import AppState, make_app_state, static_folder, static_version
from sockwright.web.entrance import AuthMiddleware
from sockwright.web.errors import REFUSALS
from sockwright.web.kept import damage, gauge
from sockwright.web.kept import data as kept_data
from sockwright.web.kept import pages as kept
from sockwright.web.pairs import data as pairs_data
from sockwright.web.pairs import files as pairs_files
from sockwright.web.pairs import pages as pairs
from sockwright.web.plan import data as plan_data
from sockwright.web.plan import pages as plan
from sockwright.workshop.workshop import Workshop

OPENAPI = "/data/openapi.json"

LOOPBACK = ("localhost", "127.0.0.1", "[::1]")
"""The names a workshop goes by on its own computer."""

own_router = APIRouter()
"""Files that browsers look for at an address of their own choice, or that must lie at the top."""


@own_router.get("/worker.js")
def keeper() -> Response:
    """The script that keeps the pages beside the machine, from where it may speak for them all."""
    text = (static_folder() / "bench" / "worker.js").read_text(encoding="utf-8")
    return Response(text, media_type="text/javascript", headers={"cache-control": "no-cache"})


@own_router.get("/favicon.ico")
def icon() -> Response:
    """The icon, for what asks for it by its old name."""
    return Response(
        (static_folder() / "icon.svg").read_bytes(),
        media_type="image/svg+xml",
        headers={"cache-control": "max-age=86400"},
    )


PAGE_ROUTERS = (
    entrance.page_router,
    own_router,
    home.page_router,
    plan.router,
    pairs.router,
    pairs_files.router,
    bench.router,
    exchange.page_router,
    *kept.ROUTERS,
    damage.router,
    gauge.page_router,
)
"""The pages. Of two that answer one address the first does: a file of the bench is asked for before
its page."""

DATA_ROUTERS = (
    entrance.data_router,
    home.data_router,
    plan_data.router,
    pairs_data.router,
    bench_data.proofs,
    bench_data.router,
    exchange.data_router,
    *kept_data.ROUTERS,
    gauge.data_router,
)
"""The same as data."""


@cache
def make_app() -> FastAPI:
    """Pages and data, unguarded; it holds nothing of a workshop, and so there is one a process.

    Whose workshop a request is about stands in its state: `make_site` puts it there.
    """
    app = FastAPI(
        title="Sockwright workshop",
        version=__version__,
        summary="What a sock workshop keeps and plans, as data.",
        openapi_url=OPENAPI,
        docs_url=None,
        redoc_url=None,
    )
    for router in PAGE_ROUTERS:
        app.include_router(router, include_in_schema=False)
    for router in DATA_ROUTERS:
        app.include_router(router, prefix="/data", responses=REFUSALS)
    app.mount(
        f"/static/{static_version()}",
        # Pages themselves go out as they are: packed beside what a stranger sends, the length of
        # an answer would tell of the secrets in it. These files hold none.
        GZipMiddleware(_Kept(directory=static_folder())),
        name="static",
    )
    errors.handle(app)
    damage.handle(app)
    return app


def make_site(
    shop: Workshop,
    hosts: Iterable[str] = LOOPBACK,
    logins: LoginSessions | None = None,
    reach: Reach = NO_REACH,
    app_state: AppState | None = None,
) -> ASGIApp:
    """The whole site as it is served; `hosts` are the names it may be asked for.

    With `logins` nothing kept is shown to who has not logged in. `app_state` is made where not
    given.
    """
    app: ASGIApp = make_app()
    inner = app if logins is None else AuthMiddleware(app, logins)
    return _WithAppState(
        Guard(inner, hosts, errors.answer), app_state or make_app_state(shop, logins, reach)
    )


class _WithAppState:
    """Hands the state of one workshop to every request, in its state."""

    def __init__(self, app: ASGIApp, app_state: AppState) -> None:
        self.app = app
        self.app_state = app_state

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on."""
        scope.setdefault("state", {})["app_state"] = self.app_state
        await self.app(scope, receive, send)


class _Kept(StaticFiles):
    """Files that a browser may keep, for their address tells their state."""

    def file_response(self, *args, **kwargs):  # type: ignore[no-untyped-def]
        """The file, to be kept for a year."""
        response = super().file_response(*args, **kwargs)
        response.headers["cache-control"] = "private, max-age=31536000, immutable"
        return response
