"""The sentences of one row: what the hands do before it, the crank, and what it leaves."""

from __future__ import annotations

from collections.abc import Sequence

from sockwright import steps as op
from sockwright.needlebed.execute import Executed
from sockwright.needlebed.state import State
from sockwright.wording.cups import FoundCup
from sockwright.wording.hands import sentence
from sockwright.wording.instructions import Across, Deed, Hand
from sockwright.wording.nouns import Talk
from sockwright.words.said import capital


def row_sentences(talk: Talk, done: Sequence[Executed], *, wrap_told: bool) -> list[str]:
    """Sentences for the steps of one row, the last of which is the row.

    `wrap_told` is whether the section has said before how a wrap is laid."""
    said = [_preparing(talk, one, wrap_told) for one in done[:-1]]
    row = done[-1]
    assert isinstance(row.step, op.Row)
    place, count = talk.past(row.after), len(row.before.working())
    forward = row.step.way is op.Way.FORWARD
    key = f"step.row_{'forward' if forward else 'reverse'}"
    if row.step.last is None:
        return [*said, talk.say(key, place=place, needles=talk.in_work(row.before), count=count)]
    knit, rest = _parted(row.before.working(), row.step.last, forward=forward)
    named = {"needles": talk.needles_plain(knit), "rest": talk.needles_plain(rest)}
    return [*said, talk.say(f"{key}_stop", place=place, count=count, **named)]


def _parted(working: Sequence[int], last: int, *, forward: bool) -> tuple[list[int], list[int]]:
    """The needles of a row that knit when it stops past needle `last`, and the others."""
    knit = [n for n in working if (n <= last if forward else n >= last)]
    return knit, [n for n in working if n not in knit]


def hands_of(done: Sequence[Executed]) -> tuple[Hand, ...]:
    """What is done before a row, the last of the steps."""
    return tuple(_hand(one) for one in done[:-1])


def across(done: Executed) -> Across:
    """The crank of a row."""
    step = done.step
    assert isinstance(step, op.Row)
    working = len(done.before.working())
    return Across(step.way, done.after.passed(), working, step.last is not None)


def _hand(done: Executed) -> Hand:
    step = done.step
    if isinstance(step, op.Raise | op.Lower):
        deed = Deed.RAISE if isinstance(step, op.Raise) else Deed.LOWER
        needles = tuple(sorted(step.needles))
        return Hand(deed, needles, not _carrier_side(done.before, step.needles))
    if isinstance(step, op.Wrap):
        return Hand(Deed.WRAP, (step.needle,))
    return Hand(Deed.WEIGHTS)


def brief_row(talk: Talk, done: Sequence[Executed], hands: Sequence[Hand]) -> str:
    """A row in as few words as a row of a printed list has room for: "Lower 21, wrap 22;
    reverse past 11."."""
    row = done[-1]
    assert isinstance(row.step, op.Row)
    way = "forward" if row.step.way is op.Way.FORWARD else "reverse"
    key = f"brief.{way}" if row.step.last is None else f"brief.{way}_stop"
    crank = talk.say(key, needle=row.after.passed())
    if not hands:
        return talk.say("brief.row", crank=capital(crank))
    told = talk.say("list.comma").join(_briefly(talk, hand) for hand in hands)
    return talk.say("brief.prepared_row", deeds=capital(told), crank=crank)


def _briefly(talk: Talk, hand: Hand) -> str:
    far = hand.deed is Deed.LOWER and hand.far
    needles = talk.say("list.comma").join(map(str, hand.needles))
    key = f"brief.{hand.deed.value}{'_far' if far else ''}"
    return talk.say(key, needles=needles, needle=needles)


def _preparing(talk: Talk, done: Executed, wrap_told: bool) -> str:
    step = done.step
    if isinstance(step, op.Raise | op.Lower):
        verb = "raise" if isinstance(step, op.Raise) else "lower"
        side = "here" if _carrier_side(done.before, step.needles) else "far"
        return talk.say(f"step.{verb}_{side}", needles=talk.needles(sorted(step.needles)))
    if isinstance(step, op.Wrap):
        key = "step.wrap_again" if wrap_told else "step.wrap"
        return talk.say(key, needle=talk.needles((step.needle,)))
    return sentence(talk, done)


def _carrier_side(at: State, needles: Sequence[int]) -> bool:
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
