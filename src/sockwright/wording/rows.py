"""The sentences of one row: what the hands do before it, the crank, and what it leaves."""

from __future__ import annotations

from collections.abc import Sequence

from sockwright import steps as op
from sockwright.needlebed.bed import State
from sockwright.needlebed.execute import Executed
from sockwright.wording.cups import FoundCup
from sockwright.wording.hands import sentence
from sockwright.wording.instructions import Across, Deed, Hand
from sockwright.wording.nouns import Talk
from sockwright.words import phrase
from sockwright.words.said import capital

CRANKS = {
    (op.Way.FORWARD, True): phrase("forward past {needle}"),
    (op.Way.FORWARD, False): phrase("forward only past {needle}, and stop"),
    (op.Way.REVERSE, True): phrase("reverse past {needle}"),
    (op.Way.REVERSE, False): phrase("reverse only past {needle}, and stop"),
}
"""The crank of a row in short, by its way and whether it goes right across."""
PREPARED = {
    (op.Raise, True): phrase("Raise {needles}."),
    (op.Raise, False): phrase("Raise {needles}, at the far end."),
    (op.Lower, True): phrase("Lower {needles}, latch open."),
    (op.Lower, False): phrase(
        "Lower {needles}, at the far end, latch open; watch it when the yarn comes."
    ),
}
"""What is done to needles before a row, by the step and whether it is on the carrier's side."""
WRAP = phrase(
    "Wrap raised {needle} by hand: lay the yarn past it on the inside of the ring, round it on the "
    "side away from the working needles, and across it on the outside to the carrier."
)
WRAP_AGAIN = phrase("Wrap raised {needle} as before.")


def row_sentences(talk: Talk, done: Sequence[Executed], *, wrap_told: bool) -> list[str]:
    """Sentences for the steps of one row, the last of which is the row.

    `wrap_told` is whether the section has said before how a wrap is laid."""
    said = [_preparing(talk, one, wrap_told) for one in done[:-1]]
    row = done[-1]
    assert isinstance(row.step, op.Row)
    place, count = talk.past(row.after), len(row.before.working())
    forward = row.step.way is op.Way.FORWARD
    if row.step.last is None:
        text = phrase("Crank in reverse {place}; {needles} knit ({count} in work).")
        if forward:
            text = phrase("Crank forward {place}; {needles} knit ({count} in work).")
        return [*said, talk.tell(text, place=place, needles=talk.in_work(row.before), count=count)]
    knit, rest = _parted(row.before.working(), row.step.last, forward=forward)
    named = {"needles": talk.needles_plain(knit), "rest": talk.needles_plain(rest)}
    text = phrase(
        "Crank in reverse, but only {place}, and stop; {needles} knit, {rest} later ({count} in "
        "work)."
    )
    if forward:
        text = phrase(
            "Crank forward, but only {place}, and stop; {needles} knit, {rest} later ({count} in "
            "work)."
        )
    return [*said, talk.tell(text, place=place, count=count, **named)]


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
    crank = talk.tell(CRANKS[row.step.way, row.step.last is None], needle=row.after.passed())
    if not hands:
        return f"{capital(crank)}."
    told = ", ".join(_briefly(talk, hand) for hand in hands)
    return f"{capital(told)}; {crank}."


def _briefly(talk: Talk, hand: Hand) -> str:
    needles = ", ".join(map(str, hand.needles))
    if hand.deed is Deed.WEIGHTS:
        return talk.tell("heel weights higher")
    if hand.deed is Deed.WRAP:
        return talk.tell("wrap {needle}", needle=needles)
    if hand.deed is Deed.RAISE:
        return talk.tell("raise {needles}", needles=needles)
    if hand.far:
        return talk.tell("lower {needles} at the far end", needles=needles)
    return talk.tell("lower {needles}", needles=needles)


def _preparing(talk: Talk, done: Executed, wrap_told: bool) -> str:
    step = done.step
    if isinstance(step, op.Raise | op.Lower):
        side = _carrier_side(done.before, step.needles)
        text = PREPARED[type(step), side]
        return talk.tell(text, needles=talk.needles(sorted(step.needles)))
    if isinstance(step, op.Wrap):
        text = WRAP_AGAIN if wrap_told else WRAP
        return talk.tell(text, needle=talk.needles((step.needle,)))
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
        return talk.tell(
            "Narrowing ends: {needles} stay in work, {count} in number, between {limits}.", **said
        )
    return talk.tell(
        "Narrowing ends: {needles} stay in work, {count} in number, between the {name} ({limits}).",
        name=talk.mark(cup.role),
        **said,
    )
