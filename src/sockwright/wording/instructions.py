"""What belongs together in a program: the steps of one instruction, and the rows of one cup."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from sockwright import steps as op
from sockwright.i18n.locale import Sentence
from sockwright.needlebed.execute import Execution

Step = op.Step

Group = tuple[int, int]
"""Places of the first step of a group and of the first after it, from 0."""


@dataclass(frozen=True)
class FoundCup:
    """A cup whose first and last rows are the steps at places `first` and `last` (from 0).

    `low`..`high` are the needles kept at the narrowest, first reached in the row at place
    `narrowest`; `role` is the mark role of its turn limits, the two needles beside the kept ones,
    or None where another cup's marks stand there.
    """

    first: int
    last: int
    narrowest: int
    low: int
    high: int
    name: str
    role: str | None

    @property
    def limits(self) -> tuple[int, int]:
        """The turn limits: the last needle raised on each side, just outside the kept ones."""
        return self.low - 1, self.high + 1


class _RowSpan(NamedTuple):
    """The step that knits a row, and the first and last needle in work in it."""

    place: int
    low: int
    high: int


def find_cups(run: Execution) -> tuple[FoundCup, ...]:
    """Every cup of a program in order; rows without anything raised for them are none."""
    rows: list[_RowSpan] = []
    stretches: list[list[_RowSpan]] = []
    for place, step in enumerate(run.program.steps):
        if isinstance(step, op.Row):
            rows.append(_RowSpan(place, *run.states[place].span()))
        elif rows and isinstance(step, op.Rounds | op.PartRound):
            stretches.append(rows)
            rows = []
    found = [_narrowest(stretch, run.program) for stretch in [*stretches, rows] if stretch]
    return _named([cup for cup in found if cup is not None])


def _narrowest(rows: list[_RowSpan], program: op.Program) -> FoundCup | None:
    place, low, high = min(rows, key=lambda row: row.high - row.low)
    if all((row.low, row.high) == (low, high) for row in rows):
        return None
    name = program.steps[place].section.value
    role = "instep limits" if low > program.needles // 2 else "heel limits"
    return FoundCup(rows[0].place, rows[-1].place, place, low, high, name, role)


def _named(cups: list[FoundCup]) -> tuple[FoundCup, ...]:
    """Call a heel's first, shallow cup by its name, and take the role from cups that do not narrow
    to the marks of the heel."""
    heels = [cup for cup in cups if cup.name == op.Section.HEEL.value]
    deepest = min(heels, key=lambda cup: cup.high - cup.low, default=None)
    return tuple(_with_role(cup, deepest) for cup in cups)


def _with_role(cup: FoundCup, deepest: FoundCup | None) -> FoundCup:
    if deepest is None or cup is deepest:
        return cup
    name, role = cup.name, cup.role
    if name == op.Section.HEEL.value:
        name, role = "shallow", "deep limits"
    elif cup.high - cup.low != deepest.high - deepest.low:
        role = None
    return FoundCup(cup.first, cup.last, cup.narrowest, cup.low, cup.high, name, role)


@dataclass(frozen=True)
class Count:
    """How far an instruction has brought the work.

    `kind` is "round" or "row"; `first`..`last` of `of` are counted within the section for rounds
    and within the cup for rows; `total` of `total_of` over the whole program, in whole rounds or
    in rows; `complete` is False for the first part of a parted round, and for rows in waste, which
    are none of the sock's. `counter` is what the user's own counter then shows, None where it does
    not count.
    """

    kind: str
    first: int
    last: int
    of: int
    total: int
    total_of: int
    complete: bool = True
    counter: float | None = None


class HandAction(StrEnum):
    """What hands do before a row."""

    RAISE = "raise"
    LOWER = "lower"
    WRAP = "wrap"
    WEIGHTS = "weights"


@dataclass(frozen=True)
class Hand:
    """One thing that hands do before a row, at `needles`; `far` from the carrier's end of the
    working needles."""

    deed: HandAction
    needles: tuple[int, ...] = ()
    far: bool = False


@dataclass(frozen=True)
class RowCrank:
    """The crank of a row: its way, the needle past which it ends, how many needles are in work,
    and whether it stops half way."""

    way: op.Way
    past: int
    working: int
    stops: bool = False


@dataclass(frozen=True)
class Instruction:
    """One thing the hands do: its number (from 1), the numbers (from 1) of the steps it covers,
    what is said of it sentence by sentence, and the count where it knits.

    A check has `items` after its one sentence. `deed` are the sentences that say what to do without
    the count, of a row in the fewest words; `short` is the crank of a round in a few words. Of a
    row, `hands` is what is done before it, `across` its crank, `turn` what is said where the
    narrowing ends. `yarn` is the one in the carrier when it is done.
    """

    number: int
    section: op.Section
    steps: tuple[int, ...]
    sentences: tuple[Sentence, ...]
    deed: tuple[Sentence, ...]
    items: tuple[Sentence, ...] = ()
    count: Count | None = None
    hands: tuple[Hand, ...] = ()
    across: RowCrank | None = None
    short: Sentence | None = None
    turn: Sentence | None = None
    yarn: str | None = None

    @property
    def text(self) -> str:
        """All that is said; of a check, a line for each item."""
        return _joined(self.sentences, self.items)

    @property
    def brief(self) -> str:
        """What to do, without the count."""
        return _joined(self.deed, self.items)


def _joined(sentences: Sequence[Sentence], items: Sequence[Sentence]) -> str:
    lines = [f"{number}. {item}" for number, item in enumerate(items, 1)]
    return "\n".join([" ".join(map(str, sentences)), *lines])


def group_steps(steps: tuple[Step, ...]) -> list[Group]:
    """The program's steps in groups, each step once and in order."""
    groups: list[Group] = []
    start = 0
    while start < len(steps):
        end = _row_end(steps, start) or _run_end(steps, start)
        groups.append((start, end))
        start = end
    return groups


def _row_end(steps: tuple[Step, ...], start: int) -> int:
    """End of a row with what the hands do just before it; 0 where none begins."""
    for place in range(start, len(steps)):
        step = steps[place]
        if isinstance(step, op.Row):
            return place + 1
        heel_weight = isinstance(step, op.Weigh) and step.kind is op.Weight.HEEL
        if not (heel_weight or isinstance(step, op.Raise | op.Lower | op.Wrap)):
            return 0
    return 0


def _run_end(steps: tuple[Step, ...], start: int) -> int:
    step = steps[start]
    if isinstance(step, op.MoveLoops):
        return _moves_end(steps, start)
    end = start + 1
    return end + (end < len(steps) and _belongs(step, steps[end]))


def _belongs(step: Step, after: Step) -> bool:
    """Whether `after` is done in one go with `step`."""
    if step.section is not after.section:
        return False
    if isinstance(step, op.CutYarn):
        return isinstance(after, op.Thread)
    if isinstance(step, op.ToCylinder):
        return isinstance(after, op.Mount)
    if isinstance(step, op.ReplaceNeedles):
        return isinstance(after, op.LiftBars) and after.needles == step.needles
    return False


def _moves_end(steps: tuple[Step, ...], start: int) -> int:
    """End of a run of moved loops, with the taking out of the emptied needles.

    A loop that would be moved twice begins a run of its own, since its order matters.
    """
    sources: set[int] = set()
    targets: set[int] = set()
    for place in range(start, len(steps)):
        step = steps[place]
        if step.section is not steps[start].section:
            return place
        if isinstance(step, op.RemoveNeedles) and set(step.needles) <= sources:
            return place + 1
        if not isinstance(step, op.MoveLoops) or not _same_kind(step, steps[start]):
            return place
        moved = {source for source, _ in step.moves}
        if moved & targets:
            return place
        sources |= moved
        targets |= {target for _, target in step.moves}
    return len(steps)


def _same_kind(step: op.MoveLoops, first: Step) -> bool:
    return isinstance(first, op.MoveLoops) and step.eyelet == first.eyelet


def merged(steps: Sequence[Step]) -> list[Step]:
    """The steps of a group with single moves of loops made one step of many."""
    moves = [step for step in steps if isinstance(step, op.MoveLoops)]
    if len(moves) < 2:
        return list(steps)
    pairs = tuple(pair for step in moves for pair in step.moves)
    rest = [step for step in steps if not isinstance(step, op.MoveLoops)]
    return [op.MoveLoops(moves[0].section, pairs, moves[0].eyelet), *rest]
