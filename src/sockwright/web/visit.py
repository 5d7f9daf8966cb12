"""One request: the workshop, who asks, and the ways to answer with a page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from sockwright.plan import Plan
from sockwright.web.cookies import forget_cookie, keep_cookie, read_cookie
from sockwright.web.flash import COOKIE as FLASH
from sockwright.web.flash import Flash, read_flash
from sockwright.web.formats import Formats
from sockwright.web.parts import Parts
from sockwright.web.preferences import COOKIE, Preferences, read_preferences
from sockwright.web.rendering import rendered
from sockwright.web.tokens import COOKIE as BROWSER
from sockwright.web.workers import Job
from sockwright.words.tongue import Tongue
from sockwright.workshop.workshop import Workshop

_UNITS = re.compile(r"\b(units=)(?:cm|in)\b")

Going = RedirectResponse
"""The answer that sends a browser on."""


@dataclass(frozen=True)
class Visit:
    """A request with what its answer needs."""

    request: Request
    parts: Parts
    preferences: Preferences
    browser: str

    @property
    def shop(self) -> Workshop:
        """The workshop."""
        return self.parts.shop

    @property
    def tongue(self) -> Tongue:
        """The visitor's language, with her units."""
        return self.preferences.tongue

    @property
    def formats(self) -> Formats:
        """The visitor's way to write numbers."""
        return self.preferences.formats

    def in_units(self, units: str) -> Visit:
        """The same visit of somebody with other units, as an address of the data may ask."""
        return replace(self, preferences=replace(self.preferences, units=units))

    def shown(self, plan: Plan) -> Plan:
        """A plan in the visitor's units, whatever its order's are."""
        return plan.in_units(self.preferences.units)

    def named(self, words: Mapping[str, str]) -> dict[str, str]:
        """Names by what they stand for: ours told, others as they are."""
        return {key: self.tongue.named(text) for key, text in words.items()}

    @property
    def is_fragment(self) -> bool:
        """Whether a page asks for a piece of itself."""
        return "hx-request" in self.request.headers

    def page(self, template: str, status: int = 200, **context: Any) -> HTMLResponse:
        """A page or a piece of one, from a template."""
        answer = HTMLResponse(self.text(template, **context), status)
        self.known(answer)
        if not self.is_fragment and self.cookie(FLASH) is not None:
            self.forget(answer, FLASH)
        return answer

    def text(self, template: str, **context: Any) -> str:
        """What a template says to this visitor."""
        return rendered(
            self.parts.templates,
            template,
            self.preferences,
            visit=self,
            flash=read_flash(self.cookie(FLASH)),
            proof=self.proof,
            path=self.request.url.path,
            data_url=self.data_url,
            **context,
        )

    @property
    def proof(self) -> str:
        """What shows that a form is one of ours, in this browser."""
        return self.parts.proofs.proof(self.browser)

    @property
    def client(self) -> str:
        """Who asks, as far as turns go: an address."""
        return self.request.client.host if self.request.client else ""

    async def done(self, job: Job) -> Any:
        """The answer to a job, by whoever does the work."""
        return await self.parts.workers.done(job, self.client)

    def piece(self, text: str) -> HTMLResponse:
        """A piece of a page, which is there already."""
        answer = HTMLResponse(text)
        self.known(answer)
        return answer

    def to(self, path: str, said: str = "", undo: tuple[str, int] | None = None) -> Going:
        """Go on to a page after a write, which tells there what was done.

        `undo` is the address that takes it back, and the version it is to see.
        """
        answer = RedirectResponse(path, 303)
        if said:
            flash = Flash(self.tongue.tell(said), *(undo or ("", 0)))
            self.remember(answer, FLASH, flash.as_cookie())
        return answer

    def known(self, answer: Response) -> None:
        """Have a browser that has no number yet keep the one of this visit."""
        if self.cookie(BROWSER) != self.browser:
            self.remember(answer, BROWSER, self.browser)

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


async def visit_of(request: Request) -> Visit:
    """The same as a part of a route: it waits for nothing, and so needs no thread of its own."""
    return visit(request)


def visit(request: Request) -> Visit:
    """The visit of a request."""
    parts: Parts = request.state.parts
    browser = read_cookie(request, BROWSER) or parts.proofs.new_browser()
    accepted = request.headers.get("accept-language", "")
    preferences = read_preferences(read_cookie(request, COOKIE), accepted)
    return Visit(request, parts, preferences, browser)


AVisit = Annotated[Visit, Depends(visit_of)]
"""A route's visit."""
