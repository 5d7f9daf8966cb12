"""The cups of a program, read off its rows: where each begins, narrows most and ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from sockwright import steps as op
from sockwright.needlebed.execute import Execution


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
