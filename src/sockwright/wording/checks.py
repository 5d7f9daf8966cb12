"""The short checks at the changes where most losses happen, for this machine and this moment."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sockwright import steps as op
from sockwright.needlebed.state import State
from sockwright.wording.counts import Tally
from sockwright.wording.nouns import Talk
from sockwright.words.said import capital
from sockwright.words.sentences import Sentence


@dataclass(frozen=True)
class Moment:
    """What a check looks at: the words, the machine as it stands, the count, the dial's slots (in
    needle numbers), whether there is a ribber, and the steps that follow."""

    talk: Talk
    at: State
    tally: Tally
    dial: tuple[float, ...]
    ribber: bool
    ahead: Sequence[op.Step]

    def item(self, name: str, **values: object) -> Sentence:
        """One item of the check."""
        return self.talk.phrases.sentence(f"check.{name}", **values)


class Checklist(NamedTuple):
    """A check's title, and its items."""

    title: Sentence
    items: tuple[Sentence, ...]


def checklist(change: op.Change, moment: Moment) -> Checklist:
    """What is to be looked at before a change."""
    title = moment.item(change.value.replace(" ", "_"))
    return Checklist(title, tuple(item for item in CHECKS[change](moment) if item is not None))


def _place(moment: Moment) -> Sentence:
    return moment.item("place", place=moment.talk.place(moment.at))


def _counted(moment: Moment) -> Sentence | None:
    """Rounds of the section just worked, whole or parted; nothing where only waste was knitted."""
    worked = moment.tally.last_section()
    if not worked.of.value:
        return None
    section = capital(moment.talk.say(f"section.{worked.section.value}"))
    if worked.half:
        return moment.item("counted_half", done=worked.whole, half=worked.done, section=section)
    return moment.item("counted", done=worked.done, of=worked.of, section=section)


def _counter(moment: Moment) -> Sentence:
    return moment.tally.shows()


def _latches(moment: Moment, needles: Sequence[int] | None = None) -> Sentence:
    needles = moment.at.working() if needles is None else needles
    return moment.item("latches", needles=moment.talk.needles_plain(needles))


def _in_work(moment: Moment, name: str) -> Sentence:
    return moment.item(name, needles=moment.talk.in_work(moment.at))


def _ribber_off(moment: Moment) -> Sentence | None:
    return _ribber_now(moment, connected="ribber_off_next")


def _ribber_now(moment: Moment, connected: str = "ribber_on") -> Sentence | None:
    if not moment.ribber:
        return None
    if not moment.at.mounted:
        return moment.item("ribber_away")
    return moment.item(connected if moment.at.ribber else "ribber_waits")


def _into_rib(moment: Moment) -> list[Sentence | None]:
    talk, dial = moment.talk, moment.dial
    over = {"first": talk.dial_place(dial[0]), "last": talk.dial_place(dial[-1])}
    return [
        _place(moment),
        _counted(moment),
        _in_work(moment, "one_loop"),
        _latches(moment),
        moment.item("dial_over", slots=len(dial), **over),
        moment.item("ribber_waits"),
        moment.item("main_weight"),
    ]


def _into_hem(moment: Moment) -> list[Sentence | None]:
    return [
        _place(moment),
        _counted(moment),
        _counter(moment),
        _in_work(moment, "one_loop"),
        _latches(moment),
        _ribber_now(moment),
        moment.item("main_weight_comes_off"),
    ]


def _into_rows(moment: Moment) -> list[Sentence | None]:
    held = next((step.needles for step in moment.ahead if isinstance(step, op.Raise)), ())
    working = [n for n in moment.at.working() if n not in set(held)]
    return [
        _place(moment),
        _counted(moment),
        _counter(moment),
        moment.item("come_out", held=moment.talk.needles_plain(held)),
        _latches(moment, working),
        _ribber_off(moment),
        moment.item("heel_weights_ready"),
        moment.item("main_weight"),
        moment.item("spring_ready"),
    ]


def _whole_again(moment: Moment) -> list[Sentence | None]:
    """Rounds on all needles, after rows."""
    return [
        _place(moment),
        _in_work(moment, "whole_again"),
        _latches(moment),
        moment.item("spring_off"),
        moment.item("heel_weights_off"),
    ]


def _into_foot(moment: Moment) -> list[Sentence | None]:
    talk = moment.talk
    corners = (1, talk.half, talk.half + 1, talk.count)
    return [
        *_whole_again(moment),
        _ribber_now(moment),
        moment.item("main_weight_next"),
        moment.item("slow_round", corners=talk.needles_plain(corners)),
    ]


def _off(moment: Moment) -> list[Sentence | None]:
    return [
        _counted(moment),
        moment.item("waste_knitted", needles=moment.talk.needles_plain(moment.at.in_slots())),
        moment.item("tail"),
        _ribber_now(moment),
    ]


CHECKS: dict[op.Change, Callable[[Moment], list[Sentence | None]]] = {
    op.Change.INTO_RIB: _into_rib,
    op.Change.INTO_HEM: _into_hem,
    op.Change.INTO_HEEL: _into_rows,
    op.Change.INTO_TOE: _into_rows,
    op.Change.INTO_FOOT: _into_foot,
    op.Change.INTO_CLOSING: _whole_again,
    op.Change.OFF: _off,
}
