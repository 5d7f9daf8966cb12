"""What is damaged, as pages and data tell of it: which thing, what of it, and the ways back."""

from __future__ import annotations

from collections.abc import Iterable

from fastapi.responses import HTMLResponse
from pydantic import BaseModel, Field

from sockwright.store.damage import Damage
from sockwright.store.items import ItemKind
from sockwright.web.context import Visit
from sockwright.web.pairs_kept import damage_address, list_address
from sockwright.words.said import said

DAMAGED = (
    said("Damaged"),
    said(
        "A part of what is stored here can no longer be read. Everything else is unchanged, and "
        "nothing was written."
    ),
)
"""Heading and explanation where one thing does not read."""


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


def damages_data(visit: Visit, kinds: Iterable[ItemKind] = tuple(ItemKind)) -> list[DamageData]:
    """All that is damaged of these kinds."""
    return [damage_data(visit, one) for one in visit.shop.damages(kinds)]


def damage_data(visit: Visit, damage: Damage) -> DamageData:
    """One damaged thing."""
    tell = visit.tongue.tell
    return DamageData(
        kind=str(damage.kind),
        id=damage.id,
        name=damage.name,
        address=damage_address(damage),
        problems=[WrongData(path=one.path, wrong=tell(one.wrong)) for one in damage.wrong],
    )


def damaged_page(visit: Visit, damage: Damage, refused: str = "") -> HTMLResponse:
    """What is wrong with a thing, and what it was before as far as that reads.

    `refused` says why a way back that was tried is none.
    """
    earlier = visit.shop.earlier(damage.id) if damage.id else {}
    heading, explanation = DAMAGED
    return visit.page(
        "damaged.html",
        409,
        heading=heading,
        explanation=explanation,
        damage=damage,
        refused=refused,
        earlier=dict(reversed(earlier.items())),
        folder=list_address(damage.kind),
    )
