"""What is damaged, as pages and data tell of it: which thing, what of it, and the ways back."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Final

from fastapi import APIRouter, FastAPI, Path, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import BaseModel, Field

from sockwright.i18n.messages import _
from sockwright.store.damage import Damage, Damaged
from sockwright.store.items import ItemKind
from sockwright.web.context import (
    ID,
    Context,
    RequestContext,
    address,
    damage_address,
    list_address,
)
from sockwright.web.context import request_context as context_of
from sockwright.web.errors import answer, is_data
from sockwright.web.received import AVersion
from sockwright.workshop.answers import Problems

router = APIRouter(prefix="/damaged")

DAMAGED = (
    _("Damaged"),
    _(
        "Part of this entry can no longer be read. Everything else is unchanged, and nothing "
        "was saved."
    ),
)
"""Heading and explanation where one thing does not read."""

STATUS: Final = 409
"""What asking for such a thing is answered with."""


class WrongData(BaseModel):
    """One place of a thing that does not read."""

    path: str
    wrong: str


class DamageData(BaseModel):
    """A thing that does not read any more; its address says how it comes back."""

    kind: str
    id: str = Field(description="Empty where not even that reads.")
    name: str
    address: str
    problems: list[WrongData]


def damages_data(
    context: RequestContext, kinds: Iterable[ItemKind] = tuple(ItemKind)
) -> list[DamageData]:
    """All that is damaged of these kinds."""
    return [damage_data(context, one) for one in context.shop.damages(kinds)]


def damage_data(context: RequestContext, damage: Damage) -> DamageData:
    """One damaged thing."""
    render = context.locale.render
    return DamageData(
        kind=str(damage.kind),
        id=damage.id,
        name=damage.name,
        address=damage_address(damage),
        problems=[WrongData(path=one.path, wrong=render(one.wrong)) for one in damage.wrong],
    )


def damaged_page(context: RequestContext, damage: Damage, refused: str = "") -> HTMLResponse:
    """What is wrong with a thing, and what it was before as far as that reads.

    `refused` says why a way back that was tried is none.
    """
    earlier = context.shop.earlier(damage.id) if damage.id else {}
    heading, explanation = DAMAGED
    return context.page(
        "damaged.html",
        STATUS,
        heading=heading,
        explanation=explanation,
        damage=damage,
        refused=refused,
        earlier=dict(reversed(earlier.items())),
        folder=list_address(damage.kind),
    )


def handle(app: FastAPI) -> None:
    """Have the app answer with what is wrong where something asked for does not read."""
    app.add_exception_handler(Damaged, _damaged)


async def _damaged(request: Request, error: Exception) -> Response:
    assert isinstance(error, Damaged)
    context = context_of(request)
    if not is_data(request.url.path):
        return damaged_page(context, error.damage)
    found = [one.model_dump() for one in damage_data(context, error.damage).problems]
    return answer(request, STATUS, error.message, words=DAMAGED, problems=found)


@router.post("/{kind}/{id}/back/{version}")
def back(
    context: Context,
    kind: ItemKind,
    id: Annotated[str, Path(pattern=ID)],
    version: AVersion,
) -> Response:
    """Make it again what it was, and show it; one that reads by now is shown as it is."""
    try:
        thing = context.shop.thing(kind, id)
    except Damaged as damaged:
        mended = context.shop.mend(kind, id, version)
        if isinstance(mended, Problems):
            refused = context.locale.render(mended.problems[0].message)
            return damaged_page(context, damaged.damage, refused)
        words = _("“{name}” is restored.", name=mended.name)
        return context.to(address(mended), words)
    return context.to(address(thing))
