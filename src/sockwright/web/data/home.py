"""The first page's content and the settings, as data."""

from __future__ import annotations

from dataclasses import asdict

from fastapi import APIRouter
from pydantic import BaseModel, Field

from sockwright.web.context import CHOICE_WORDS, AVisit
from sockwright.web.data.shown import OptionData, options_data
from sockwright.web.data.socks import PairData, pair_fields
from sockwright.web.first_steps import first_steps
from sockwright.web.kept.damage import DamageData, damages_data
from sockwright.web.pairs_kept import by_status, not_deleted, pairs_of
from sockwright.workshop.fields import BEING_MADE, PLANNED

router = APIRouter(tags=["workshop"])


class StepData(BaseModel):
    """One of the first things to do in a workshop."""

    what: str
    address: str
    done: bool
    sheet: str = Field(description="A printed sheet that helps, empty for none.")


class HomeData(BaseModel):
    """What lies on the bench, how much is kept, and whether the example is here."""

    counts: dict[str, int]
    example: bool
    being_made: list[PairData]
    planned: list[PairData]
    damaged: list[DamageData] = Field(description="All that can no longer be read.")
    first_steps: list[StepData] = Field(description="Empty once all of them are done.")


@router.get("/")
def home(visit: AVisit) -> HomeData:
    """What lies on the bench, and how much of everything is kept."""
    kept = visit.shop.everything(None)
    every, groups = not_deleted(kept), by_status(pairs_of(kept))
    return HomeData(
        counts={str(kind): len(things) for kind, things in every.items()},
        example=any(thing.example for things in every.values() for thing in things),
        being_made=[PairData(**pair_fields(one)) for one in groups[BEING_MADE]],
        planned=[PairData(**pair_fields(one)) for one in groups[PLANNED]],
        damaged=damages_data(visit),
        first_steps=[
            StepData(what=step.words, address=step.address, done=step.done, sheet=step.sheet)
            for step in first_steps(every)
        ],
    )


class SettingsData(BaseModel):
    """What the asking browser prefers, and what may be chosen of each."""

    language: str
    units: str
    theme: str
    paper: str
    choices: dict[str, list[OptionData]]


@router.get("/settings")
def settings(visit: AVisit) -> SettingsData:
    """What the asking browser prefers, and what it may prefer."""
    choices = {key: options_data(visit, words) for key, words in CHOICE_WORDS.items()}
    return SettingsData(**asdict(visit.preferences), choices=choices)
