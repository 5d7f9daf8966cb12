"""The first page, its example and what somebody does first; and what this browser prefers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass

from fastapi import APIRouter
from fastapi.responses import Response
from pydantic import BaseModel, Field

from sockwright.i18n.messages import _, ngettext
from sockwright.store.items import ItemKind, Thing
from sockwright.web.context import Context
from sockwright.web.kept.damage import DamageData, damages_data
from sockwright.web.pairs.data import PairData, pair_fields
from sockwright.web.pairs_kept import by_status, not_deleted, pairs_of
from sockwright.web.plan.data import OptionData, options_data
from sockwright.web.preferences import CHOICE_WORDS, CHOICES, PREFERENCES_COOKIE
from sockwright.web.received import AForm, one
from sockwright.workshop.fields import BEING_MADE, MADE, PLANNED

page_router = APIRouter()
data_router = APIRouter(tags=["workshop"])


@dataclass(frozen=True)
class Step:
    """One of the first things to do, why, where, and whether it is done; `sheet` is the address of
    a printed sheet that helps, "" for none."""

    words: str
    why: str
    address: str
    done: bool
    sheet: str = ""


_STEPS = (
    (
        ItemKind.PERSON,
        _("Add a person"),
        _("a few foot measures are enough; even a shoe size will do"),
        "/people/new",
        "",
    ),
    (ItemKind.YARN, _("Add a yarn"), _("copy what the ball band says"), "/yarns/new", ""),
    (
        ItemKind.MACHINE,
        _("Add your machine"),
        _("its cylinders, and which way it turns"),
        "/machines/new",
        "",
    ),
    (
        ItemKind.SWATCH,
        _("Knit and measure a swatch"),
        _("without a swatch, every size is a rough guess"),
        "/swatches/new",
        "/sheets/swatch.pdf",
    ),
    (
        ItemKind.SOCK,
        _("Plan a pair"),
        _("choose a person, a yarn and a machine, check the numbers, save the pair"),
        "/plan",
        "",
    ),
)


def first_steps(things: Mapping[ItemKind, Iterable[Thing]]) -> tuple[Step, ...]:
    """The steps, while any is left to do; what belongs to the example is not one's own."""
    steps = tuple(
        Step(
            words,
            why,
            address,
            any(not thing.example for thing in things[kind]),
            sheet,
        )
        for kind, words, why, address, sheet in _STEPS
    )
    return () if all(step.done for step in steps) else steps


@page_router.get("/")
def home_page(context: Context) -> Response:
    """What is being made, what is planned, and how much of everything is kept."""
    kept = context.shop.everything(None)
    every, groups = not_deleted(kept), by_status(pairs_of(kept))
    example = any(thing.example for things in every.values() for thing in things)
    return context.page(
        "home.html",
        being_made=groups[BEING_MADE],
        planned=groups[PLANNED],
        made=len(groups[MADE]),
        steps=first_steps(every),
        counts={str(kind): len(things) for kind, things in every.items()},
        example=example,
        damages=context.shop.damages(),
    )


@page_router.post("/example/remove")
def remove_example(context: Context) -> Response:
    """Take the example station out."""
    needed = len(context.shop.remove_example().needed)
    words = _("Example removed.")
    if needed:
        words = ngettext(
            "Example removed. {n} entry stays because your own entries use it.",
            "Example removed. {n} entries stay because your own entries use them.",
            needed,
        )
    return context.to("/", words)


@page_router.post("/example/add")
def add_example(context: Context) -> Response:
    """Put the example station in again."""
    context.shop.add_example(context.locale)
    return context.to("/", _("Example added."))


@page_router.get("/settings")
def settings_page(context: Context) -> Response:
    """The settings and what may be chosen."""
    return context.page("settings.html", choices=CHOICE_WORDS)


@page_router.post("/settings")
def change_settings(context: Context, form: AForm) -> Response:
    """Keep the settings in this browser's cookie."""
    given = {key: one(form, key) for key in CHOICES}
    answer = context.to("/settings", _("Your settings are saved in this browser."))
    context.remember(
        answer, PREFERENCES_COOKIE, context.preferences.with_choices(given).as_cookie()
    )
    return answer


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


@data_router.get("/")
def home(context: Context) -> HomeData:
    """What lies on the bench, and how much of everything is kept."""
    kept = context.shop.everything(None)
    every, groups = not_deleted(kept), by_status(pairs_of(kept))
    return HomeData(
        counts={str(kind): len(things) for kind, things in every.items()},
        example=any(thing.example for things in every.values() for thing in things),
        being_made=[PairData(**pair_fields(one)) for one in groups[BEING_MADE]],
        planned=[PairData(**pair_fields(one)) for one in groups[PLANNED]],
        damaged=damages_data(context),
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


@data_router.get("/settings")
def settings(context: Context) -> SettingsData:
    """What the asking browser prefers, and what it may prefer."""
    choices = {key: options_data(context, words) for key, words in CHOICE_WORDS.items()}
    return SettingsData(**asdict(context.preferences), choices=choices)
