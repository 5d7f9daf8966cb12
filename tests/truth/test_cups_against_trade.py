"""Cups, heel and toe, against what the trade counts: rows and loops are taken from the loops of a
whole dry run, never from a formula."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from builders import (
    INCH_MM,
    gauge_per_inch,
    knit,
    loops_on,
    loops_per_row,
    row_of_loops,
    size,
    sock,
)
from sockwright.needlebed.execute import dry_run
from sockwright.order.model import CuffGiven, CupGiven, LegGiven, Widening
from sockwright.program.build import build_program
from sockwright.sock.cup import Cup, default_kept, size_cup

TRADE: dict[str, Any] = tomllib.loads(
    (Path(__file__).parent / "authorities" / "cups.toml").read_text(encoding="utf-8")
)
WRAPPED_FAMILIES = (Widening.WRAPPED_NEAR, Widening.WRAPPED_FAR, Widening.PLAIN)


def heel_rows(needles: int, kept: int, **named: object) -> list[int]:
    """Loops of each heel row of a whole dry sock."""
    return loops_per_row(knit(size(needles, sock(kept=kept, **named))).run.loops, "heel")


@pytest.mark.parametrize(("n", "h", "kept", "rows", "doubled", "loops"), TRADE["rows"]["table"])
def test_rows_and_loops_of_a_heel(
    n: int, h: int, kept: int, rows: int, doubled: int, loops: int
) -> None:
    knitted = heel_rows(n, kept)
    assert max(knitted) == h
    assert min(knitted) == kept
    assert (len(knitted), sum(knitted)) == (rows, loops)
    assert len(heel_rows(n, kept, first_raise=2)) == doubled


@pytest.mark.parametrize("family", Widening)
@pytest.mark.parametrize(("n", "h", "kept", "rows", "doubled", "loops"), TRADE["rows"]["table"])
def test_every_way_of_widening_takes_as_many_rows(
    family: Widening, n: int, h: int, kept: int, rows: int, doubled: int, loops: int
) -> None:
    knitted = heel_rows(n, kept, widening=family)
    assert len(knitted) == rows
    assert len(heel_rows(n, kept, widening=family, first_raise=2)) == doubled
    if family in WRAPPED_FAMILIES:
        assert sum(knitted) == loops
    else:
        # A needle lowered and raised again knits in between: one loop more in all rows but the
        # last two, where nothing is left to raise again.
        assert sum(knitted) == loops + (h - kept) - 2


@pytest.mark.parametrize(("needles", "usual"), TRADE["kept"]["table"])
def test_kept_needles_by_default_are_usual_ones(needles: int, usual: list[int]) -> None:
    half = needles // 2
    assert default_kept(half) in usual
    assert (half - default_kept(half)) % 2 == 0


@pytest.mark.parametrize("other", TRADE["other_count"], ids=lambda each: each["heel_needles"])
def test_the_other_count_differs_by_one_loop_a_widening_row(other: dict[str, Any]) -> None:
    half, kept = other["heel_needles"], other["kept"]
    knitted = heel_rows(2 * half, kept)
    assert len(knitted) == other["rows"]
    narrowing, widening = knitted[: half - kept], knitted[half - kept :]
    assert narrowing == list(range(half - 1, kept - 1, -1))
    assert widening == list(range(kept + 1, half + 1))
    assert sum(narrowing) * 2 == other["loops"]
    assert sum(knitted) - other["loops"] == half - kept


def test_a_heel_takes_about_three_grams() -> None:
    case = TRADE["heel_mass"]
    program = build_program(size(2 * case["heel_needles"], sock(kept=case["kept"])))
    table = dry_run(program, case["loop_mm"]).loops
    loops_of_rows = np.flatnonzero(row_of_loops(table, "heel"))
    first, last = int(loops_of_rows[0]), int(loops_of_rows[-1])
    used_mm = table.yarn_at[last] - table.yarn_at[first - 1]
    mass_g = used_mm * case["tex"] / 1e6
    assert case["about_g"] - 1 < mass_g < case["about_g"] + 1
    loops = table.is_loop[first : last + 1].sum() - (case["heel_needles"] - case["kept"])
    other_g = loops * case["loop_mm"] * case["tex"] / 1e6
    assert other_g == pytest.approx(case["other_count_g"], abs=0.01)
    # Wraps and the loops that the other way leaves out come on top, some five per cent.
    assert 1.02 < mass_g / other_g < 1.08


F_ROWS = [
    (float(inches), column, rounds)
    for inches, row in TRADE["foot_rounds"]["by_foot_inches"].items()
    for column, rounds in zip(TRADE["foot_rounds"]["columns"], row, strict=True)
]


@pytest.mark.parametrize(("foot_inches", "column", "rounds"), F_ROWS)
def test_foot_rounds_by_foot_length(foot_inches: float, column: str, rounds: int) -> None:
    needles, per_inch = (int(word) for word in column.split("@"))
    kept = TRADE["foot_rounds"]["kept"][str(needles)]
    sizing = size(
        needles,
        sock(kept=kept, length_ease=TRADE["foot_rounds"]["ease"]),
        fabric=gauge_per_inch(8, per_inch),
        foot_mm=foot_inches * INCH_MM,
    )
    # In twentieths of a course, so that what lies midway is known exactly.
    exact = round(foot_inches * 2) * per_inch * 19 - 40 * (needles - 2 * kept)
    midway = exact % 40 == 20
    assert abs(sizing.foot_rounds - rounds) <= (1 if midway else 0)
    assert abs(sizing.foot_rounds * 40 - exact) <= 20


@pytest.mark.parametrize("row", TRADE["cup_inches"]["table"], ids=lambda row: row[0])
def test_inches_that_the_cups_take(row: list[float]) -> None:
    needles, kept, *inches = row
    rows = len(heel_rows(int(needles), int(kept)))
    for per_inch, expected in zip(TRADE["cup_inches"]["columns"][2:], inches, strict=True):
        assert rows / per_inch == pytest.approx(expected, abs=0.0501)


@pytest.mark.parametrize("case", TRADE["reported"], ids=lambda each: each["courses"])
def test_reported_socks_come_out_as_long(case: dict[str, Any]) -> None:
    length_mm = case["inches"] * INCH_MM
    sizing = size(
        case["needles"],
        sock(kept=case["kept"], length_ease=0.0),
        fabric=gauge_per_inch(8, case["rounds_per_inch"]),
        foot_mm=length_mm,
    )
    assert abs(sizing.foot_rounds - case["foot_rounds"]) <= 1
    assert abs(sizing.total_courses - case["courses"]) <= 1


def worked(**named: Any) -> Any:
    case = TRADE["worked"]
    fabric = gauge_per_inch(case["stitches_per_inch"], case["rounds_per_inch"])
    design = sock(kept=case["kept"], length_ease=case["ease"], **named)
    return size(case["needles"], design, fabric=fabric, foot_mm=case["foot_inches"] * INCH_MM)


def test_worked_foot() -> None:
    sizing = worked()
    assert sizing.foot_rounds in TRADE["worked"]["foot_rounds"]
    assert sizing.total_courses in TRADE["worked"]["courses"]


def test_worked_deep_heel() -> None:
    """Two needles more on each side: the cups are counted, and the foot is what they leave."""
    case = TRADE["worked"]
    deep = size_cup(case["deep_needles"], CupGiven(case["kept"]), "sock.heel.kept")
    toe = size_cup(case["needles"] // 2, CupGiven(case["kept"]), "sock.toe.kept")
    courses = case["foot_inches"] * (1 - case["ease"]) * case["rounds_per_inch"]
    assert round(courses - deep.share - toe.share) in case["deep_foot_rounds"]


@pytest.mark.parametrize("cuff_inches", [1.0, 2.0])
def test_worked_leg_height(cuff_inches: float) -> None:
    case = TRADE["worked"]
    height = LegGiven(height_mm=case["height_inches"] * INCH_MM)
    sizing = worked(leg=height, cuff=CuffGiven(depth_mm=cuff_inches * INCH_MM))
    assert sizing.leg_rounds + sizing.cuff.visible in case["leg_and_cuff_rounds"]
    assert sizing.cuff.rounds == 2 * sizing.cuff.visible + 1
    heel = sizing.heel.share / case["rounds_per_inch"]
    assert heel == pytest.approx(case["heel_inches"], abs=0.05)


def test_worked_girth_round_heel_and_instep() -> None:
    case = TRADE["worked"]
    cup = Cup(case["needles"] // 2, case["kept"])
    girth = cup.girth_mm(INCH_MM / case["stitches_per_inch"], INCH_MM / case["rounds_per_inch"])
    assert girth / INCH_MM == pytest.approx(case["heel_girth_inches"], abs=0.05)


def test_middle_wale_has_every_row_and_the_end_wales_two() -> None:
    """By hand: needle 1 knits the first row and the last, needle 36 the last two."""
    table = knit(size(72, sock(kept=12))).run.loops
    row_of = row_of_loops(table, "heel")
    in_heel = {
        needle: [int(row_of[loop]) for loop in loops_on(table, needle) if row_of[loop]]
        for needle in (1, 18, 36)
    }
    assert in_heel == {1: [1, 48], 18: list(range(1, 49)), 36: [47, 48]}
