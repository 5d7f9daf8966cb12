"""A published 84-needle pattern, built, run dry and counted."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from builders import Knitted, gauge_per_inch, knit, loops_on, loops_per_row, size, sock
from sockwright import steps as op
from sockwright.errors import CannotMake
from sockwright.needlebed.execute import dry_run
from sockwright.order.model import LegGiven, Widening
from sockwright.sock.cup import default_kept

PATTERN: dict[str, Any] = tomllib.loads(
    (Path(__file__).parent / "authorities" / "pattern_84.toml").read_text(encoding="utf-8")
)
DERIVED = PATTERN["derived"]
FOOT = op.Section.FOOT


def sole_of(knitted: Knitted) -> int:
    """Courses of the middle wale from the fold of the heel to the graft, counted on the loops: half
    the heel's rows, the foot and the toe's cup up to its fold and back."""
    table = knitted.run.loops
    sections = np.array(table.course_sections())
    on_wale = sections[table.course[loops_on(table, knitted.sizing.heel_needles // 2)]]
    heel, foot, toe = (int((on_wale == name).sum()) for name in ("heel", "foot", "toe"))
    return heel // 2 + foot + toe // 2


@pytest.fixture(scope="module", params=list(Widening), ids=lambda family: family.name.lower())
def pattern(request: pytest.FixtureRequest) -> Knitted:
    """The pattern with its 40 foot rounds, in one of the ways to widen."""
    design = sock(kept=PATTERN["kept"][0], widening=request.param, leg=LegGiven(rounds=75))
    sizing = size(PATTERN["needles"], design, fabric=gauge_per_inch(8, 10))
    return knit(replace(sizing, foot_rounds=PATTERN["foot_rounds"]))


def with_rounds_after_the_toe(program: op.Program, count: int) -> op.Program:
    """The pattern's rounds between the toe and the waste, put where the yarn is cut."""
    place = max(k for k, step in enumerate(program.steps) if isinstance(step, op.TakeOff))
    cut = max(
        k
        for k, step in enumerate(program.steps[:place])
        if isinstance(step, op.CutYarn) and not isinstance(program.steps[k - 1], op.Rounds)
    )
    steps = program.steps
    return replace(program, steps=(*steps[:cut], op.Rounds(FOOT, count), *steps[cut:]))


def test_runs_clean(pattern: Knitted) -> None:
    assert pattern.run.errors == ()
    if pattern.sizing.heel.cup.widening is not Widening.PLAIN:
        assert pattern.run.findings == ()


def test_heel_and_toe_have_the_rows(pattern: Knitted) -> None:
    heel = loops_per_row(pattern.run.loops, "heel")
    toe = loops_per_row(pattern.run.loops, "toe")
    assert len(heel) == len(toe) == DERIVED["heel_rows"]
    assert (min(heel), max(heel)) == (PATTERN["kept"][0], PATTERN["heel_needles"])
    assert heel == toe


def test_sole_counts_as_the_pattern_with_its_rounds_after_the_toe(pattern: Knitted) -> None:
    more = PATTERN["rounds_after_the_toe"]
    program = with_rounds_after_the_toe(pattern.program, more)
    longer = Knitted(pattern.sizing, program, dry_run(program))
    assert longer.run.errors == ()
    assert sole_of(longer) == DERIVED["sole_courses"]
    assert sole_of(pattern) == DERIVED["sole_courses"] - more
    for per_inch, inches in zip((9.5, 10), DERIVED["inches_at_9_5_and_10"], strict=True):
        assert sole_of(longer) / per_inch == pytest.approx(inches, abs=0.06)


def test_both_kept_counts_are_near_a_third() -> None:
    half = PATTERN["heel_needles"]
    for kept, share in zip(PATTERN["kept"], DERIVED["share"], strict=True):
        assert kept / half == pytest.approx(share, abs=0.001)
    assert default_kept(half) / half == pytest.approx(PATTERN["narrowing"]["share"], abs=0.001)


def test_thirteen_would_leave_the_carrier_on_the_wrong_side() -> None:
    """With 13 of 42 kept the raised needles are odd: one side has one more, and the carrier ends
    where a forward round cannot begin. The nearest that work are offered, and they do work."""
    with pytest.raises(CannotMake) as refused:
        size(PATTERN["needles"], sock(kept=PATTERN["kept"][1]))
    assert "even number" in refused.value.reason
    offered = [int(str(offer.change).split()[1]) for offer in refused.value.offers]
    assert offered == [12, 14]
    for kept, offer in zip(offered, refused.value.offers, strict=True):
        knitted = knit(size(PATTERN["needles"], sock(kept=kept)))
        assert knitted.run.findings == ()
        assert offer.effect == f"{len(loops_per_row(knitted.run.loops, 'heel'))} rows"


def test_thirteen_knitted_all_the_same_is_found_out() -> None:
    """Widening one row less, as 13 of 42 needs, leaves a needle raised: the dry run says so."""
    steps = list(knit(size(PATTERN["needles"], sock(kept=12))).program.steps)
    rows = [k for k, step in enumerate(steps) if isinstance(step, op.Row)]
    last = rows[DERIVED["heel_rows"] - 1]
    damaged = steps[: last - 2] + steps[last + 1 :]
    assert dry_run(op.Program(PATTERN["needles"], (), tuple(damaged))).errors
