"""One request: the workshop, who asks, and the ways to answer with a page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from functools import cache
from hashlib import sha256
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any, Final, TypeVar
from urllib.parse import parse_qsl, urlencode

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from jinja2 import Environment, PackageLoader, StrictUndefined

from sockwright.grammar.values import LONGEST_NOTE, LONGEST_TEXT
from sockwright.i18n.locale import Locale
from sockwright.i18n.messages import FINISHES, capital
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.store.damage import Damage
from sockwright.store.items import ItemKind, Thing
from sockwright.web.access.kept_certificates import NO_REACH, Reach
from sockwright.web.access.sessions import LoginSessions
from sockwright.web.preferences import PREFERENCES_COOKIE, Formats, Preferences, read_preferences
from sockwright.web.received import MOST_LOG_BYTES
from sockwright.web.workers import InProcess, Job, Tools, WorkerPool, Workers
from sockwright.workshop.kinds import TYPES
from sockwright.workshop.planning import Plans
from sockwright.workshop.printing import Press
from sockwright.workshop.workshop import Workshop

ID = r"^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$"
"""What the id of a kept thing looks like."""


def list_address(kind: ItemKind) -> str:
    """Where all of a kind are listed."""
    return f"/{TYPES[kind].plural}"


def address(thing: Thing) -> str:
    """The page of a kept thing."""
    return f"{list_address(thing.kind)}/{thing.id}"


def damage_address(damage: Damage) -> str:
    """The page that says how a damaged thing comes back, "" for one without an id that reads."""
    return f"{list_address(damage.kind)}/{damage.id}" if damage.id else ""


SECURE_PREFIX: Final = "__Host-"
"""Has browsers take the cookie from nobody but this host, and over TLS only (RFC 6265bis)."""

MOST_AGE_S: Final = 400 * 24 * 3600
"""How long a browser keeps our cookies, s: as long as browsers allow."""


def cookie_name(request: Request, name: str) -> str:
    """What a cookie is called where a request came by its scheme."""
    return f"{SECURE_PREFIX}{name}" if _is_secure(request) else name


def read_cookie(request: Request, name: str) -> str | None:
    """What a request's browser keeps by a name; None if nothing."""
    return request.cookies.get(cookie_name(request, name))


def keep_cookie(request: Request, answer: Response, name: str, value: str) -> None:
    """Have the browser keep a cookie, which no script may read."""
    answer.set_cookie(cookie_name(request, name), value, max_age=MOST_AGE_S, **_attributes(request))


def forget_cookie(request: Request, answer: Response, name: str) -> None:
    """Have the browser forget a cookie."""
    answer.delete_cookie(cookie_name(request, name), **_attributes(request))


def _attributes(request: Request) -> dict[str, Any]:
    return {"path": "/", "httponly": True, "samesite": "strict", "secure": _is_secure(request)}


def _is_secure(request: Request) -> bool:
    return request.url.scheme == "https"


FLASH_COOKIE: Final = "sockwright_flash"

LONGEST = 500


@dataclass(frozen=True)
class Flash:
    """The words, the address that undoes it ("" if none does), and the version it is to see."""

    words: str
    undo: str = ""
    seen: int = 0

    def as_cookie(self) -> str:
        """The cookie's text."""
        return urlencode(asdict(self))


def read_flash(cookie: str | None) -> Flash | None:
    """What the cookie tells; None if nothing, or nothing of ours."""
    given = dict(parse_qsl(cookie or ""))
    words, undo, seen = given.get("words", ""), given.get("undo", ""), given.get("seen", "0")
    if not words or not seen.isdecimal() or len(seen) > 9:
        return None
    ours = undo if undo.startswith("/") and not undo.startswith("//") else ""
    return Flash(words[:LONGEST], ours, int(seen))


@dataclass(frozen=True)
class AppState:
    """The workshop, the templates, the version of the static files, who does the work, the logins
    of a workshop that others can reach, and how they do."""

    shop: Workshop
    templates: Environment
    static_version: str
    workers: Workers
    logins: LoginSessions | None = None
    reach: Reach = NO_REACH


def static_folder() -> Path:
    """Where the style, scripts and faces lie."""
    return Path(str(files("sockwright.web").joinpath("static")))


def make_app_state(
    shop: Workshop, logins: LoginSessions | None = None, reach: Reach = NO_REACH, count: int = 0
) -> AppState:
    """The parts of an app over `shop`, behind `logins` if there is one.

    `count` other processes do the work, 0 being none.
    """
    version = static_version()
    templates = _templates(version)
    own = InProcess(Tools(shop.plans, templates, shop.press))
    workers: Workers = WorkerPool(count, own) if count else own
    return AppState(shop, templates, version, workers, logins, reach)


def make_tools() -> Tools:
    """Tools for a process that has none of the parts."""
    return Tools(Plans(), _templates(static_version()), Press())


@cache
def _templates(version: str) -> Environment:
    """The templates, which are read once: they hold nothing of a workshop."""
    templates = Environment(
        loader=PackageLoader("sockwright.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    # Data in a page: no blanks between, and letters as they are.
    templates.policies["json.dumps_kwargs"] = {"separators": (",", ":"), "ensure_ascii": False}
    templates.globals["static"] = lambda name: f"/static/{version}/{name}"
    templates.globals["longest_text"] = LONGEST_TEXT
    templates.globals["longest_note"] = LONGEST_NOTE
    templates.globals["longest_log"] = MOST_LOG_BYTES
    templates.globals["damage_address"] = damage_address
    templates.globals["cap"] = capital
    templates.globals["sentence"] = FINISHES["sentence"]
    templates.globals["kinds"] = tuple(TYPES.values())
    return templates


@cache
def static_version() -> str:
    """A name for the state of the static files: browsers may keep them for ever under it."""
    total = sha256()
    for path in sorted(one for one in static_folder().rglob("*") if one.is_file()):
        total.update(path.name.encode() + path.read_bytes())
    return total.hexdigest()[:12]


def rendered(templates: Environment, template: str, reader: Preferences, **values: Any) -> str:
    """What a template says to a reader."""
    locale = reader.locale
    return templates.get_template(template).render(
        preferences=reader,
        formats=reader.formats,
        _=locale.render,
        ngettext=locale.render_of,
        pgettext=locale.pgettext,
        render=locale.render,
        **values,
    )


_UNITS = re.compile(r"\b(units=)(?:cm|in)\b")

Going = RedirectResponse
"""The answer that sends a browser on."""


APlan = TypeVar("APlan", SockPlan, PairPlan)


@dataclass(frozen=True)
class RequestContext:
    """A request with what its answer needs."""

    request: Request
    app_state: AppState
    preferences: Preferences

    @property
    def shop(self) -> Workshop:
        """The workshop."""
        return self.app_state.shop

    @property
    def locale(self) -> Locale:
        """The visitor's language, with her units."""
        return self.preferences.locale

    @property
    def formats(self) -> Formats:
        """The visitor's way to write numbers."""
        return self.preferences.formats

    def in_units(self, units: str) -> RequestContext:
        """The same request of somebody with other units, as an address of the data may ask."""
        return replace(self, preferences=replace(self.preferences, units=units))

    def shown(self, plan: APlan) -> APlan:
        """A plan in the visitor's units, whatever its order's are."""
        return plan.in_units(self.preferences.units)

    def named(self, words: Mapping[str, str]) -> dict[str, str]:
        """Names by what they stand for: ours told, others as they are."""
        return {key: self.locale.named(text) for key, text in words.items()}

    @property
    def is_fragment(self) -> bool:
        """Whether a page asks for a piece of itself."""
        return "hx-request" in self.request.headers

    def page(self, template: str, status: int = 200, **values: Any) -> HTMLResponse:
        """A page or a piece of one, from a template."""
        answer = HTMLResponse(self.text(template, **values), status)
        if not self.is_fragment and self.cookie(FLASH_COOKIE) is not None:
            self.forget(answer, FLASH_COOKIE)
        return answer

    def text(self, template: str, **values: Any) -> str:
        """What a template says to this visitor."""
        return rendered(
            self.app_state.templates,
            template,
            self.preferences,
            context=self,
            flash=read_flash(self.cookie(FLASH_COOKIE)),
            path=self.request.url.path,
            data_url=self.data_url,
            **values,
        )

    @property
    def client(self) -> str:
        """Who asks, as far as turns go: an address."""
        return self.request.client.host if self.request.client else ""

    async def done(self, job: Job) -> Any:
        """The answer to a job, by whoever does the work."""
        return await self.app_state.workers.done(job, self.client)

    def to(self, path: str, said: str = "", undo: tuple[str, int] | None = None) -> Going:
        """Go on to a page after a write, which tells there what was done.

        `undo` is the address that takes it back, and the version it is to see.
        """
        answer = RedirectResponse(path, 303)
        if said:
            flash = Flash(self.locale.render(said), *(undo or ("", 0)))
            self.remember(answer, FLASH_COOKIE, flash.as_cookie())
        return answer

    def cookie(self, name: str) -> str | None:
        """What the browser keeps by a name; None if nothing."""
        return read_cookie(self.request, name)

    def remember(self, answer: Response, name: str, value: str) -> None:
        """Have the browser keep a cookie, which no script may read."""
        keep_cookie(self.request, answer, name, value)

    def forget(self, answer: Response, name: str) -> None:
        """Have the browser forget a cookie."""
        forget_cookie(self.request, answer, name)

    @property
    def data_url(self) -> str:
        """Where this page's content lies as data."""
        path = self.request.url.path.rstrip("/")
        # An address may name other units than the page shows.
        query = _UNITS.sub(rf"\1{self.preferences.units}", self.request.url.query)
        return (f"/data{path}" if path else "/data/") + (f"?{query}" if query else "")


async def context_of(request: Request) -> RequestContext:
    """The same as a part of a route: it waits for nothing, and so needs no thread of its own."""
    return request_context(request)


def request_context(request: Request) -> RequestContext:
    """Whose request it is, and what answers it."""
    app_state: AppState = request.state.app_state
    accepted = request.headers.get("accept-language", "")
    preferences = read_preferences(read_cookie(request, PREFERENCES_COOKIE), accepted)
    return RequestContext(request, app_state, preferences)


Context = Annotated[RequestContext, Depends(context_of)]
"""The context of a route's request."""
