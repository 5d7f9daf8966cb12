"""Yarn, rows and time of dry-run socks against what makers and a textbook report of real ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from builders import INCH_MM, gauge, gauge_per_inch, loops_per_row, size, sock
from foot_sources import authority
from sockwright import steps as op
from sockwright.estimates import Estimate
from sockwright.fabric.use import minutes, yarn_use
from sockwright.measure.yarn import yarn_from
from sockwright.needlebed.execute import DryRun, dry_run
from sockwright.order.file import load_order
from sockwright.order.model import CuffGiven, LegGiven, Widening, YarnGiven
from sockwright.plan.make import make_plan
from sockwright.program.build import build_program
from sockwright.program.draft import YarnPlan
from sockwright.sock.sizing import Sizing

TOLD: dict[str, Any] = authority("yarn_use")
EXAMPLE = Path(__file__).parents[2] / "examples" / "winch-operator.toml"
SOCK_YARN_TEX = 1e5 / 415
CUPS = [row for block in TOLD["cup"] for row in block["rows"]]
PAIRS = [(row, block) for block in TOLD["pair"] for row in block["rows"]]


def knit(sizing: Sizing, loop_mm: float) -> DryRun:
    """A sock whose heel and toe are in yarns of their own, so that they can be weighed."""
    return dry_run(build_program(sizing, YarnPlan(heel="heel", toe="toe")), loop_mm)


def grams(run: DryRun, loop_mm: float, tex: float) -> dict[str, float]:
    """Mass of each yarn of the sock, g."""
    roles = ("main", "heel", "toe")
    yarns = {role: yarn_from(YarnGiven(role, role, tex)) for role in roles}
    use = yarn_use(run.loops, gauge(loop_mm=loop_mm), yarns)
    return {role: use[role].mass.value for role in roles}


def rows_of(run: DryRun, yarn: str) -> list[int]:
    """Loops of each row in `yarn`, in order; the rows of its section are all it knits."""
    table = run.loops
    rows = loops_per_row(table, yarn)
    assert sum(rows) == (table.is_loop & (table.yarn == table.yarns.index(yarn))).sum()
    return rows


def test_a_heel_weighs_about_three_grams() -> None:
    told = TOLD["cup_mass"]
    run = knit(size(told["needles"], sock(kept=told["kept"])), told["loop_mm"])
    heel = grams(run, told["loop_mm"], told["tex"])["heel"]
    assert told["least_g"] < heel < told["most_g"]
    assert heel == pytest.approx(told["expected_g"], rel=0.15)


def test_a_cup_of_1128_loops_and_a_row_that_is_counted_wider() -> None:
    told = TOLD["cup_loops"]
    rows = rows_of(knit(size(told["needles"], sock(kept=told["kept"])), 12.0), "heel")
    assert len(rows) == told["rows"]
    assert sum(rows) == told["loops"] + told["lowered_first"]


@pytest.mark.parametrize("row", CUPS, ids=lambda row: f"{row['needles']}-{row['kept']}")
@pytest.mark.parametrize("widening", [Widening.WRAPPED_NEAR, Widening.WRAPPED_FAR])
def test_rows_and_loops_of_a_cup(row: dict[str, int], widening: Widening) -> None:
    rows = rows_of(knit(size(row["needles"], sock(kept=row["kept"], widening=widening)), 1), "heel")
    assert len(rows) == row["courses"]
    assert sum(rows) == row["loops"]


@pytest.mark.parametrize("row", CUPS, ids=lambda row: f"{row['needles']}-{row['kept']}")
def test_rows_of_a_cup_with_the_first_two_doubled(row: dict[str, int]) -> None:
    run = knit(size(row["needles"], sock(kept=row["kept"], first_raise=2)), 1)
    assert len(rows_of(run, "heel")) == row["doubled"]


def test_yarn_of_rounds_as_knitted() -> None:
    told = TOLD["round_yarn"]
    lengths = []
    for rounds in (80, 80 + told["rounds"]):
        program = build_program(size(told["needles"], sock(leg=LegGiven(rounds=rounds))))
        table = dry_run(program, told["loop_mm"]).loops
        lengths.append(table.used_mm[table.yarns.index("main")])
    more = lengths[1] - lengths[0]
    assert more / told["rounds"] == pytest.approx(told["metres"] * 1000, abs=0.01)
    mass = yarn_from(YarnGiven("main", "grey", told["tex"])).mass_of(Estimate(more, 0.0, "mm"))
    assert mass.value == pytest.approx(told["grams"], abs=0.01)


@pytest.mark.parametrize(("row", "block"), PAIRS, ids=lambda x: f"{x.get('needles', '')}")
def test_a_round_a_cup_and_a_pair(row: dict[str, Any], block: dict[str, Any]) -> None:
    loop_mm = 4.2 / (row["per_inch"] / INCH_MM)
    assert row["needles"] * loop_mm / 1000 == pytest.approx(
        row["metres"], abs=block["metres_tolerance"]
    )
    assumed = row["assumed"]
    design = sock(
        kept=assumed["kept"],
        cuff=CuffGiven(rounds=row.get("cuff_rounds")),
        leg=LegGiven(height_mm=assumed["height_in"] * INCH_MM),
    )
    fabric = gauge_per_inch(row["per_inch"], assumed["rounds_per_inch"])
    sizing = size(row["needles"], design, fabric=fabric, foot_mm=assumed["foot_in"] * INCH_MM)
    mass = grams(knit(sizing, loop_mm), loop_mm, SOCK_YARN_TEX)
    wraps = sizing.heel.cup.rows * 0.5 * loop_mm * SOCK_YARN_TEX / 1e6
    assert mass["heel"] - wraps == pytest.approx(row["cup_g"], abs=block["cup_tolerance_g"])
    pair = 2 * sum(mass.values())
    assert pair == pytest.approx(row["pair_g"], rel=block["pair_tolerance"])


def test_a_station_pair_weighs_what_pairs_weigh() -> None:
    weighed = TOLD["pairs_weighed"]["grams"]
    use = make_plan(load_order(EXAMPLE)).first.pair_use["main"].mass
    assert min(weighed) < use.value < max(weighed)


def test_over_a_third_of_the_courses_are_knitted_to_and_fro() -> None:
    told = TOLD["to_and_fro"]
    fabric = gauge_per_inch(8, 11)
    sizing = size(
        told["needles"],
        sock(leg=LegGiven(height_mm=8.5 * INCH_MM)),
        fabric=fabric,
        foot_mm=10 * INCH_MM,
    )
    assert sizing.heel.cup.kept == told["needles"] / 2 / 3
    table = knit(sizing, 12.0).loops
    knitted = [run for run in table.runs if not table.removable[run.yarn]]
    rows = sum(run.rounds for run in knitted if run.shape == "row")
    share = rows / sum(run.rounds for run in knitted)
    assert told["more_than"] < share < told["less_than"]


def test_a_pair_takes_as_long_as_makers_say() -> None:
    plan = make_plan(load_order(EXAMPLE)).first
    assert TOLD["minutes"]["pair_least"] < 2 * plan.minutes.value < TOLD["minutes"]["pair_most"]


def more_time(*steps: op.Step) -> float:
    """Minutes that these steps add to a program."""
    empty = minutes(op.Program(72, (), ())).value
    return minutes(op.Program(72, (), steps)).value - empty


def test_cranking_time() -> None:
    told = TOLD["cranking"]
    rounds = more_time(op.Rounds(op.Section.LEG, told["rounds"]))
    assert told["least_minutes"] <= rounds <= told["most_minutes"]


def test_a_heel_takes_longer_than_the_skilled_and_less_than_learners() -> None:
    told = TOLD["heel_rows"]
    rows = more_time(*[op.Row(op.Section.HEEL, op.Way.FORWARD)] * told["rows"])
    assert told["skilled_minutes"][1] < rows < told["learner_minutes"][0]
