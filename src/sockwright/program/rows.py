"""The sentences of one row: what the hands do before it, the crank, and what it leaves."""

from __future__ import annotations

from collections.abc import Sequence

from sockwright.program import steps as op
from sockwright.program.found_cups import FoundCup
from sockwright.program.sentences import sentence
from sockwright.program.standing import Standing
from sockwright.program.talk import Talk


def row_sentences(
    talk: Talk, steps: Sequence[op.Step], at: Standing, *, wrap_told: bool
) -> list[str]:
    """Sentences for the steps of one row, the last of which is the row; moves `at` on.

    `wrap_told` is whether the section has said before how a wrap is laid."""
    said = []
    for step in steps[:-1]:
        said.append(_preparing(talk, step, at, wrap_told))
        at.take(step)
    row = steps[-1]
    assert isinstance(row, op.Row)
    needles, count = talk.in_work(at), at.needle.count(1)
    at.take(row)
    key = "step.row_forward" if row.way is op.Way.FORWARD else "step.row_reverse"
    said.append(talk.say(key, place=talk.place(at), needles=needles, count=count))
    return said


def brief_row(talk: Talk, steps: Sequence[op.Step], at: Standing) -> str:
    """The same row in as few words as a row of a printed list has room for: "Lower 21, wrap 22;
    reverse past 11." `at` is where the machine stands before it, and is left alone."""
    now, deeds = at, []
    for step in steps[:-1]:
        deeds.append(_briefly(talk, step, now))
        now = now.after(step)
    row = steps[-1]
    assert isinstance(row, op.Row)
    key = "brief.forward" if row.way is op.Way.FORWARD else "brief.reverse"
    crank = talk.say(key, needle=now.after(row).passed())
    if not deeds:
        return talk.say("brief.row", crank=_capital(crank))
    done = talk.say("list.comma").join(deeds)
    return talk.say("brief.prepared_row", deeds=_capital(done), crank=crank)


def _briefly(talk: Talk, step: op.Step, at: Standing) -> str:
    comma = talk.say("list.comma")
    if isinstance(step, op.Raise):
        return talk.say("brief.raise", needles=comma.join(map(str, sorted(step.needles))))
    if isinstance(step, op.Lower):
        key = "brief.lower" if _carrier_side(at, step.needles) else "brief.lower_far"
        return talk.say(key, needles=comma.join(map(str, sorted(step.needles))))
    if isinstance(step, op.Wrap):
        return talk.say("brief.wrap", needle=step.needle)
    return talk.say("brief.weights")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _preparing(talk: Talk, step: op.Step, at: Standing, wrap_told: bool) -> str:
    if isinstance(step, op.Raise | op.Lower):
        verb = "raise" if isinstance(step, op.Raise) else "lower"
        side = "here" if _carrier_side(at, step.needles) else "far"
        return talk.say(f"step.{verb}_{side}", needles=talk.needles(sorted(step.needles)))
    if isinstance(step, op.Wrap):
        key = "step.wrap_again" if wrap_told else "step.wrap"
        return talk.say(key, needle=talk.needles((step.needle,)))
    return sentence(talk, step, at)


def _carrier_side(at: Standing, needles: Sequence[int]) -> bool:
    """Whether `needles` lie at the carrier's end of the working ones."""
    low, high = at.span()
    return (2 * needles[0] > low + high) == at.carrier_high()


def narrowest(talk: Talk, cup: FoundCup) -> str:
    """What stays in work when the narrowing ends."""
    said = {
        "needles": talk.run(cup.low, cup.high),
        "count": cup.high - cup.low + 1,
        "limits": talk.needles_plain(cup.limits),
    }
    if cup.role is None:
        return talk.say("step.kept", **said)
    return talk.say("step.kept_marked", name=talk.mark(cup.role), **said)
