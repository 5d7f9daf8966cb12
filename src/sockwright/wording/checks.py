"""The short checks at the changes where most losses happen, for this machine and this moment."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sockwright import steps as op
from sockwright.i18n import N_
from sockwright.i18n.locale import Sentence
from sockwright.i18n.messages import capital
from sockwright.needlebed.bed import State
from sockwright.wording.counts import SectionCounter
from sockwright.wording.nouns import Terms


@dataclass(frozen=True)
class Moment:
    """What a check looks at: the words, the machine as it stands, the count, the dial's slots (in
    needle numbers), whether there is a ribber, and the steps that follow."""

    terms: Terms
    at: State
    tally: SectionCounter
    dial: tuple[float, ...]
    ribber: bool
    ahead: Sequence[op.Step]

    def sentence(self, text: str, /, **values: object) -> Sentence:
        """One item of the check."""
        return self.terms.sentence(text, **values)


WAITS = N_("Ribber still disconnected (pin out), its needles free.")


class Checklist(NamedTuple):
    """A check's title, and its items."""

    title: Sentence
    items: tuple[Sentence, ...]


def checklist(change: op.Change, moment: Moment) -> Checklist:
    """What is to be looked at before a change."""
    title, items = CHECKS[change]
    found = tuple(one for one in items(moment) if one is not None)
    return Checklist(moment.sentence(title), found)


def _place(moment: Moment) -> Sentence:
    return moment.terms.carrier(moment.at)


def _counted(moment: Moment) -> Sentence | None:
    """Rounds of the section just worked, whole or parted; nothing where only waste was knitted."""
    worked = moment.tally.last_section()
    if not worked.of.value:
        return None
    section = capital(moment.terms.render(worked.section.value))
    if worked.half:
        return moment.sentence(
            "{section}: {done} whole rounds, and a part of round {half}.",
            done=worked.whole,
            half=worked.done,
            section=section,
        )
    return moment.sentence(
        "{section}: {done} of {of} rounds.", done=worked.done, of=worked.of, section=section
    )


def _counter(moment: Moment) -> Sentence:
    return moment.tally.shows()


def _latches(moment: Moment, needles: Sequence[int] | None = None) -> Sentence:
    needles = moment.at.working() if needles is None else needles
    return moment.sentence(
        "Latches open on {needles}.", needles=moment.terms.needles_plain(needles)
    )


def _one_loop(moment: Moment) -> Sentence:
    needles = moment.terms.in_work(moment.at)
    return moment.sentence("Each with its loop: {needles}.", needles=needles)


def _ribber_off(moment: Moment) -> Sentence | None:
    return _ribber_now(moment, N_("Ribber: pin out next; it runs forward only."))


def _ribber_now(
    moment: Moment, connected: str = N_("Ribber connected again (pin in).")
) -> Sentence | None:
    if not moment.ribber:
        return None
    if not moment.at.mounted:
        return moment.sentence("Ribber off the machine.")
    return moment.sentence(connected if moment.at.ribber else WAITS)


def _into_rib(moment: Moment) -> list[Sentence | None]:
    terms, dial = moment.terms, moment.dial
    over = {"first": terms.dial_place(dial[0]), "last": terms.dial_place(dial[-1])}
    return [
        _place(moment),
        _counted(moment),
        _one_loop(moment),
        _latches(moment),
        moment.sentence("Dial slot 1 {first}, slot {slots} {last}.", slots=len(dial), **over),
        moment.sentence(WAITS),
        moment.sentence("Main weight on, clear of the floor."),
    ]


def _into_hem(moment: Moment) -> list[Sentence | None]:
    return [
        _place(moment),
        _counted(moment),
        _counter(moment),
        _one_loop(moment),
        _latches(moment),
        _ribber_now(moment),
        moment.sentence("Main weight: comes off next; hold the work."),
    ]


def _into_rows(moment: Moment) -> list[Sentence | None]:
    held = next((step.needles for step in moment.ahead if isinstance(step, op.Raise)), ())
    working = [n for n in moment.at.working() if n not in set(held)]
    return [
        _place(moment),
        _counted(moment),
        _counter(moment),
        moment.sentence(
            "Raised next, with their loops: {held}.", held=moment.terms.needles_plain(held)
        ),
        _latches(moment, working),
        _ribber_off(moment),
        moment.sentence("Heel weights at hand."),
        moment.sentence("Main weight on, clear of the floor."),
        moment.sentence("Heel spring free."),
    ]


def _whole_again(moment: Moment) -> list[Sentence | None]:
    """Rounds on all needles, after rows."""
    in_work = moment.terms.in_work(moment.at)
    return [
        _place(moment),
        moment.sentence("In work: {needles}; none raised.", needles=in_work),
        _latches(moment),
        moment.sentence("Yarn out of the heel spring."),
        moment.sentence("Heel weights off."),
    ]


def _into_foot(moment: Moment) -> list[Sentence | None]:
    terms = moment.terms
    corners = (1, terms.half, terms.half + 1, terms.count)
    return [
        *_whole_again(moment),
        _ribber_now(moment),
        moment.sentence("Main weight: moves higher next."),
        moment.sentence(
            "Crank the first round slowly and watch the corners: {corners}.",
            corners=terms.needles_plain(corners),
        ),
    ]


def _off(moment: Moment) -> list[Sentence | None]:
    return [
        _counted(moment),
        moment.sentence(
            "Only waste yarn on {needles}.",
            needles=moment.terms.needles_plain(moment.at.in_slots()),
        ),
        moment.sentence("The sock's tail inside the tube, not knitted in."),
        _ribber_now(moment),
    ]


CHECKS: dict[op.Change, tuple[str, Callable[[Moment], list[Sentence | None]]]] = {
    op.Change.INTO_RIB: (N_("Check before the rib:"), _into_rib),
    op.Change.INTO_HEM: (N_("Check before the hem:"), _into_hem),
    op.Change.INTO_HEEL: (N_("Check before the heel:"), _into_rows),
    op.Change.INTO_TOE: (N_("Check before the toe:"), _into_rows),
    op.Change.INTO_FOOT: (N_("Check before the foot:"), _into_foot),
    op.Change.INTO_CLOSING: (N_("Check before the closing rounds:"), _whole_again),
    op.Change.OFF: (N_("Check before the work comes off:"), _off),
}
"""The title of each check, and its items."""
