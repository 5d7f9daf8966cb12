"""The short checks at the changes where most losses happen, for this machine and this moment."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sockwright import steps as op
from sockwright.needlebed.state import State
from sockwright.wording.counts import Tally, figure
from sockwright.wording.nouns import Talk


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

    def item(self, name: str, **values: object) -> str:
        """One item of the check."""
        return self.talk.say(f"check.{name}", **values)


def checklist(change: op.Change, moment: Moment) -> str:
    """The check as a title and numbered lines."""
    say = moment.talk.say
    items = [item for item in CHECKS[change](moment) if item]
    lines = [
        say("list.item", number=number, text=text) for number, text in enumerate(items, start=1)
    ]
    return "\n".join([say("check." + change.value.replace(" ", "_")), *lines])


def _place(moment: Moment) -> str:
    return moment.item("place", place=moment.talk.place(moment.at))


def _counted(moment: Moment) -> str:
    """Rounds of the section just worked, whole or parted; nothing where only waste was knitted."""
    begun, of, done, half = moment.tally.last_section()
    if not of:
        return ""
    section = moment.talk.say(f"section.{begun.value}")
    if half:
        return moment.item("counted_half", done=done - 1, half=done, section=section)
    return moment.item("counted", done=done, of=of, section=section)


def _counter(moment: Moment) -> str:
    return moment.item("counter", reading=figure(moment.tally.value))


def _latches(moment: Moment, needles: Sequence[int] | None = None) -> str:
    needles = moment.at.working() if needles is None else needles
    return moment.item("latches", needles=moment.talk.needles_plain(needles))


def _in_work(moment: Moment, name: str) -> str:
    return moment.item(name, needles=moment.talk.in_work(moment.at))


def _ribber_off(moment: Moment) -> str:
    if not moment.ribber:
        return ""
    return moment.item("ribber_off_next" if moment.at.ribber else "ribber_off_rows")


def _ribber_now(moment: Moment) -> str:
    if not moment.ribber:
        return ""
    return moment.item("ribber_on" if moment.at.ribber else "ribber_off")


def _into_rib(moment: Moment) -> list[str]:
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


def _into_hem(moment: Moment) -> list[str]:
    return [
        _place(moment),
        _counted(moment),
        _counter(moment),
        _in_work(moment, "one_loop"),
        _latches(moment),
        _ribber_now(moment),
        moment.item("main_weight_comes_off"),
    ]


def _into_rows(moment: Moment) -> list[str]:
    held = next((step.needles for step in moment.ahead if isinstance(step, op.Raise)), ())
    working = [n for n in moment.at.working() if n not in set(held)]
    names = {"held": moment.talk.needles_plain(held), "working": moment.talk.needles_plain(working)}
    return [
        _place(moment),
        _counted(moment),
        _counter(moment),
        moment.item("come_out", **names),
        _latches(moment, working),
        _ribber_off(moment),
        moment.item("heel_weights_ready", working=names["working"]),
        moment.item("main_weight"),
        moment.item("spring_ready"),
    ]


def _into_foot(moment: Moment) -> list[str]:
    talk = moment.talk
    corners = (1, talk.half, talk.half + 1, talk.count)
    return [
        _place(moment),
        _in_work(moment, "whole_again"),
        _latches(moment),
        moment.item("spring_off"),
        moment.item("heel_weights_off"),
        _ribber_now(moment),
        moment.item("main_weight_next"),
        moment.item("slow_round", corners=talk.needles_plain(corners)),
    ]


def _off(moment: Moment) -> list[str]:
    return [
        _counted(moment),
        moment.item("waste_knitted", needles=moment.talk.needles_plain(moment.at.in_slots())),
        moment.item("tail"),
        _ribber_now(moment),
    ]


CHECKS: dict[op.Change, Callable[[Moment], list[str]]] = {
    op.Change.INTO_RIB: _into_rib,
    op.Change.INTO_HEM: _into_hem,
    op.Change.INTO_HEEL: _into_rows,
    op.Change.INTO_TOE: _into_rows,
    op.Change.INTO_FOOT: _into_foot,
    op.Change.OFF: _off,
}
