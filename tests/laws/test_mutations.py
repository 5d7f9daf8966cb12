"""One slip in a right program: whatever comes out otherwise for it is found, nearly always as an
error."""

from __future__ import annotations

import pytest

from mutants import SLIPS, judge, socks, total

SAMPLE = 7
"""One mutant of so many is tried where there is little time."""


@pytest.mark.parametrize(
    "one_of", [SAMPLE, pytest.param(1, marks=pytest.mark.long)], ids=["sample", "all"]
)
def test_slips_are_found(one_of: int) -> None:
    made = socks()
    assert len(made) >= 10
    tallies, missed = judge(made, lambda number: number % one_of == 0)
    assert set(tallies) == set(SLIPS)
    assert all(tally.harmful for tally in tallies.values())
    whole = total(tallies.values())
    unseen = [each for each in missed if not each.findings]
    assert whole.found >= 0.99 * whole.harmful, unseen
    assert whole.errors >= 0.97 * whole.harmful, missed
