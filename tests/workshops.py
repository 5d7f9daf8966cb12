"""Small workshops to test with: documents of the station's crew, a clock that only goes on."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import count
from typing import Any

from sockwright.store.database import Database, open_database
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop import Choice, Problems, Workshop
from sockwright.workshop.planning import Plans

START = datetime(2025, 11, 3, 7, 15, tzinfo=UTC)

PERSON: dict[str, Any] = {
    "wearer": {"name": "winch operator", "sex": "woman"},
    "foot": {"length": "24.5 cm", "ball_girth": "22 cm", "heel_girth": "30.2 cm"},
}
UNLIKE_FEET: dict[str, Any] = {
    "wearer": {"name": "dog handler"},
    "foot": {
        "ball_girth": "22 cm",
        "heel_girth": "30 cm",
        "left": {"length": "24 cm"},
        "right": {"length": "25.5 cm"},
    },
}
YARN: dict[str, Any] = {
    "name": "grey boot-sock wool",
    "fineness": "100 g / 360 m",
    "fibres": {"wool": "80 %", "nylon": "20 %"},
    "on_hand": "150 g",
}
MACHINE: dict[str, Any] = {
    "name": "the bench machine",
    "turns": "carrier",
    "cylinders": [54, {"needles": 60, "diameter": "10.8 cm"}],
}
SWATCH: dict[str, Any] = {
    "name": "grey, washed",
    "state": "washed",
    "needles": 60,
    "cam": 14,
    "date": "2025-10-11",
    "wales": ["30.5 in 10 cm", "30 in 10 cm"],
    "courses": "39.5 in 10 cm",
}
DESIGN: dict[str, Any] = {"cuff": {"depth": "3 cm"}, "leg": {"height": "22 cm"}}

FINE_NEEDLES = 100
"""The finest cylinder that pages are measured with."""

PLANS = Plans()
"""The plans of all small workshops: what one has planned, no other plans anew."""


class Clock:
    """Each look at it is a minute after the last."""

    def __init__(self, start: datetime = START) -> None:
        self._minutes = count()
        self._start = start

    def __call__(self) -> datetime:
        return self._start + timedelta(minutes=next(self._minutes))


def workshop(url: str, start: datetime = START) -> Workshop:
    """A workshop on the database at `url`."""
    return over(open_database(url), start)


def over(database: Database, start: datetime = START) -> Workshop:
    """A workshop over an open database, with the plans that others made at hand."""
    one = Workshop(database, Clock(start))
    one.plans = PLANS
    return one


def database_of(one: Workshop) -> Database:
    """The database below a workshop."""
    return one._database


def kept(answer: Thing | Problems | object) -> Thing:
    """The thing, for a test that expects one."""
    assert isinstance(answer, Thing), answer
    return answer


def problems(answer: object) -> dict[str, str]:
    """The problems by path, for a test that expects some."""
    assert isinstance(answer, Problems), answer
    return {problem.path: problem.wrong for problem in answer.problems}


def furnish(one: Workshop) -> Choice:
    """Keep all that a pair needs, and choose it."""
    person = kept(one.keep(ItemKind.PERSON, PERSON))
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    machine = kept(one.keep(ItemKind.MACHINE, MACHINE))
    design = kept(one.keep(ItemKind.DESIGN, DESIGN, "plain boot sock"))
    fields = {"yarn_id": yarn.id, "machine_id": machine.id}
    swatch = kept(one.keep(ItemKind.SWATCH, SWATCH, fields=fields))
    return Choice(person.id, machine.id, {"main": yarn.id}, design.id, (swatch.id,), 60)


def furnished(url: str) -> None:
    """Make a workshop that holds all that a pair needs, kept two days before."""
    one = workshop(url, START - timedelta(days=2))
    furnish(one)
    database_of(one).close()


def chosen(one: Workshop) -> Choice:
    """The choice of all that a furnished workshop holds."""
    kinds = (ItemKind.PERSON, ItemKind.MACHINE, ItemKind.YARN, ItemKind.DESIGN, ItemKind.SWATCH)
    person, machine, yarn, design, swatch = (one.things(kind)[0].id for kind in kinds)
    return Choice(person, machine, {"main": yarn}, design, (swatch,), 60)


def with_a_pair(url: str) -> None:
    """Make a workshop that holds a planned pair as well, planned the day before."""
    furnished(url)
    one = workshop(url, START - timedelta(days=1))
    kept(one.plan_sock(chosen(one)))
    database_of(one).close()


def with_the_example(url: str) -> None:
    """Make a workshop that holds the example station."""
    one = workshop(url)
    one.add_example()
    database_of(one).close()


def fine_pair(one: Workshop) -> Thing:
    """A pair on a fine cylinder."""
    foot = {"length": "24.5 cm", "ball_girth": "23 cm", "heel_girth": "31 cm"}
    yarn = {"name": "fine sock yarn", "fineness": "100 g / 700 m"}
    machine = {"name": "a fine machine", "turns": "cylinder", "cylinders": [FINE_NEEDLES]}
    choice = Choice(
        kept(one.keep(ItemKind.PERSON, {"wearer": {"name": "winch operator"}, "foot": foot})).id,
        kept(one.keep(ItemKind.MACHINE, machine)).id,
        {"main": kept(one.keep(ItemKind.YARN, yarn)).id},
        needles=FINE_NEEDLES,
    )
    return kept(one.plan_sock(choice))


def note(one: Workshop, about: Thing, text: str) -> Thing:
    """Attach a note."""
    fields = {"about_kind": str(about.kind), "about_id": about.id}
    return kept(one.keep(ItemKind.NOTE, {"text": text}, fields=fields))


def everything(one: Workshop) -> dict[str, Thing]:
    """All things by id, deleted ones too."""
    return {thing.id: thing for kind in ItemKind for thing in one.things(kind, None)}
