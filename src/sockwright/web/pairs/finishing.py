"""What is asked about a finished pair, in friendly words, and what it taught."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from starlette.datastructures import FormData

from sockwright.i18n.messages import Message, _, listed
from sockwright.order.finished import ANSWERS
from sockwright.order.model import State
from sockwright.plan.make import SockPlan
from sockwright.web.context import RequestContext
from sockwright.web.forms.documents import written
from sockwright.web.preferences import Formats
from sockwright.web.received import texts
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.finished import COUNTED
from sockwright.workshop.lessons import Lessons
from sockwright.workshop.measured import LENGTHS, MEASURED, SECOND

PREFIX = "measured."

STATES = {
    State.WASHED: _("washed and dry"),
    State.RESTED: _("rested, not washed"),
    State.ON_MACHINE: _("on the machine"),
}
"""What state a sock is measured in, the best first."""

QUESTIONS = {
    "length": _("How long is the foot?"),
    "round": _("How does it sit round the foot?"),
    "heel": _("How deep is the heel?"),
    "putting_on": _("How does it go on?"),
    "stays_up": _("Does the top stay up?"),
}
"""The questions about how a pair fits, by their keys in an order."""

WORDS = {
    ("length", "short"): _("too short"),
    ("length", "right"): _("just right"),
    ("length", "long"): _("too long"),
    ("round", "tight"): _("too tight"),
    ("round", "right"): _("just right"),
    ("round", "loose"): _("too loose"),
    ("heel", "shallow"): _("too shallow"),
    ("heel", "right"): _("just right"),
    ("heel", "deep"): _("too deep"),
    ("putting_on", "easily"): _("easily"),
    ("putting_on", "with a tug"): _("with a tug"),
    ("putting_on", "hardly"): _("hardly"),
    ("putting_on", "not"): _("not at all"),
    ("stays_up", "yes"): _("yes"),
    ("stays_up", "slips"): _("it slips"),
}
"""What is answered, in the words of a maker."""

LABELS = {
    "measured.state": _("State of the sock"),
    "measured.foot": _("Foot, heel to toe"),
    "measured.leg": _("Leg alone, cuff to heel"),
    "measured.height": _("Height from the floor"),
    "measured.flat_width": _("Foot, width laid flat"),
    "measured.leg_flat_width": _("Leg, width laid flat"),
    "measured.cuff": _("Cuff, visible part"),
    "measured.mass": _("Weight of this sock"),
    "measured.date": _("Finished on"),
    "measured.washes": _("Washed how often before measuring"),
    "measured.hem_rounds": _("Rounds of the cuff"),
    "measured.leg_rounds": _("Rounds of the leg"),
    "measured.foot_rounds": _("Rounds of the foot"),
    "measured.heel_rows": _("Rows of the heel"),
    "measured.toe_rows": _("Rows of the toe"),
    "measured.cam": _("Cam setting of the foot"),
    "measured.confirmed": _("An odd measure was looked at again and is right"),
    "measured.worn": _("How it wears"),
    "measured.second.foot": _("Other sock: foot, heel to toe"),
    "measured.second.leg": _("Other sock: leg alone"),
    "measured.second.flat_width": _("Other sock: foot, width laid flat"),
    "measured.second.leg_flat_width": _("Other sock: leg, width laid flat"),
    "measured.second.mass": _("Other sock: weight"),
}
"""What each field is called, by its place."""

FIRST_SIZES = ("foot", "leg", "flat_width", "leg_flat_width", "mass")
"""The sizes that teach most, asked for first."""

SECOND_SIZES = tuple(f"second.{key.name}" for key in SECOND.keys)
MORE_SIZES = ("height", "cuff", "washes")


@dataclass(frozen=True)
class Question:
    """A question with its answers to choose from, by their words in an order."""

    key: str
    words: str
    choices: Mapping[str, str]


def questions() -> tuple[Question, ...]:
    """The questions about how a pair fits, as an order knows their answers."""
    return tuple(
        Question(
            key.name,
            QUESTIONS[key.name],
            {word: WORDS[key.name, word] for word in getattr(key.kind, "words", ())},
        )
        for key in ANSWERS.keys
    )


def measures(form: FormData) -> dict[str, Any]:
    """What a finished pair measures and how it fits; nothing where only state and day are told."""
    said = {
        name.removeprefix(PREFIX): text for name, text in texts(form) if name.startswith(PREFIX)
    }
    found = written(MEASURED, said, {}).document
    return found if found.keys() - {"state", "date"} else {}


def stored(measured: Mapping[str, Any] | None) -> dict[str, str]:
    """What stands in the fields, by their names."""
    return dict(_texts(measured or {}, PREFIX))


def _texts(table: Mapping[str, Any], prefix: str) -> Iterator[tuple[str, str]]:
    for name, value in table.items():
        if isinstance(value, Mapping):
            yield from _texts(value, f"{prefix}{name}.")
        else:
            yield f"{prefix}{name}", "true" if value is True else str(value)


def planned_counts(outcome: Planned | Problems | Refused) -> dict[str, Message]:
    """What was planned of the rounds and rows, for the fields that ask for those knitted; nothing
    where two plans differ."""
    if not isinstance(outcome, Planned) or outcome.pair.second is not None:
        return {}
    plan: SockPlan = outcome.pair.first
    sizing = plan.sizing
    planned = (
        sizing.cuff.rounds,
        sizing.leg_rounds,
        sizing.foot_rounds,
        sizing.heel.rows,
        sizing.toe.rows,
    )
    return {
        f"{PREFIX}{name}": _("planned: {n}", n=int(count))
        for name, count in zip(COUNTED, planned, strict=True)
    }


@dataclass(frozen=True)
class Told:
    """Something that was said of a finished pair: what it is called, and what was said."""

    label: str
    text: str


def told_of(measured: Mapping[str, Any] | None, formats: Formats) -> tuple[Told, ...]:
    """All that was said of a finished pair beside the lengths that its plan has too."""
    given = stored(measured)
    found = []
    for one in questions():
        said = given.get(f"{PREFIX}answers.{one.key}", "")
        if said:
            found.append(Told(one.words, one.choices.get(_word(said), said)))
    for name, label in LABELS.items():
        key = name.removeprefix(PREFIX)
        if name not in given or key in (*LENGTHS, "state", "worn"):
            continue
        text = given[name]
        if key == "confirmed":
            if text == "true":
                found.append(Told(label, _("yes")))
        elif key == "date":
            found.append(Told(label, formats.date(text)))
        elif key.rpartition(".")[2] in LENGTHS:
            found.append(Told(label, formats.typed_length(text)))
        else:
            found.append(Told(label, formats.sign(text)))
    return tuple(found)


def _word(said: str) -> str:
    return " ".join(said.casefold().replace("_", " ").split())


NARROW = "\u00a0"
"""What keeps a number and its sign on one line."""
TOO_LITTLE = 0.005
"""A difference that is none worth a word."""

DIFFERENCES = {
    ("course", True): _("{percent} longer"),
    ("course", False): _("{percent} shorter"),
    ("wale", True): _("{percent} wider"),
    ("wale", False): _("{percent} narrower"),
    ("loop", True): _("{percent} more yarn in a loop"),
    ("loop", False): _("{percent} less yarn in a loop"),
}

AS_FORETOLD = {
    "course": _("as long as foretold"),
    "wale": _("as wide as foretold"),
    "loop": _("with as much yarn in a loop as foretold"),
}


def taught(context: RequestContext, lessons: Lessons) -> tuple[Message, ...]:
    """What a finished pair taught, in sentences."""
    percent = context.formats.percent
    parts: Sequence[Message] = [
        AS_FORETOLD[name]
        if abs(shift) < TOO_LITTLE
        else _(DIFFERENCES[name, shift > 0], percent=percent(abs(shift)).replace(" ", NARROW))
        for name, shift in lessons.shifts.items()
    ]
    found = []
    if parts:
        found.append(
            _(
                "This pair taught: against what its swatches foretold it came out {parts}. The "
                "next plans on this machine take it into account.",
                parts=listed(parts),
            )
        )
    elif lessons.not_washed:
        found.append(
            _(
                "Only a sock that is washed and dry teaches by its measures: measure it again "
                "after the wash."
            )
        )
    if lessons.answers:
        found.append(_("Its answers count for the next pair of {person}.", person=lessons.person))
    return tuple(found)
