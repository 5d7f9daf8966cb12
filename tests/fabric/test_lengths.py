"""Fabric: courses and wales of the finished sock, counted again by walking down its wales."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from builders import INCH_MM, gauge, gauge_per_inch, knit, rib, size, sock
from sockwright import steps as op
from sockwright.estimates import Estimate
from sockwright.fabric.lengths import measure_fabric
from sockwright.machine import DialKind
from sockwright.needlebed.execute import dry_run
from sockwright.needlebed.loops import LoopTable
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    HeelKind,
    LegGiven,
    RibEnd,
    SockGiven,
    ToeHalf,
    Widening,
)
from sockwright.program.build import build_program
from sockwright.sock.sizing import Sizing, gather_loss

FABRIC = gauge()


def wale(table: LoopTable, needle: int) -> Counter[str]:
    """Loops of one wale by section, from its last staying loop down, each through the one below."""
    sections = table.course_sections()
    mine = [
        n
        for n in range(len(table))
        if table.needle[n] == needle
        and table.bed[n] == 0
        and table.kind[n] <= 1
        and not table.removable[table.yarn[n]]
    ]
    loop, seen = mine[-1], Counter[str]()
    while loop >= 0 and not table.removable[table.yarn[loop]]:
        seen[sections[table.course[loop]]] += 1
        loop = int(table.parent[loop])
    return seen


ROUND_HEELS = {
    "plain": (size(30), 30),
    "odd number of needles": (size(31), 31),
    "odd half": (size(54), 54),
    "first rows doubled": (size(32, sock(first_raise=2)), 32),
    "few kept": (size(36, sock(kept=4)), 36),
    "two down, one up": (size(36, sock(widening=Widening.TWO_DOWN_ONE_UP)), 36),
    "picot, beside its eyelets": (size(44, sock(cuff=CuffGiven(CuffKind.PICOT_HEM))), 44),
}


@pytest.mark.parametrize("name", ROUND_HEELS)
def test_courses_counted_by_walking_down_the_middle_wales(name: str) -> None:
    sizing, needles = ROUND_HEELS[name]
    table = knit(sizing).run.loops
    found = measure_fabric(table, FABRIC)
    half = needles // 2
    heel, instep = wale(table, half // 2), wale(table, half + (needles - half) // 2)
    assert heel["heel"] > 0
    assert instep["heel"] == 0
    sole = heel["heel"] / 2 + heel["foot"] + heel["toe"] / 2
    assert found.sole_courses.value == sole
    assert found.instep_courses.value == instep["foot"] + heel["toe"] / 2 + instep["toe"]
    assert found.leg_courses.value == heel["heel"] / 2 + heel["leg"] + (heel["cuff"] - 1) / 2


def test_a_toe_on_the_instep_half_turns_the_counts_about() -> None:
    sizing = size(36, sock(toe_half=ToeHalf.INSTEP))
    table = knit(sizing).run.loops
    heel, instep = wale(table, 9), wale(table, 27)
    assert heel["toe"] == 0
    found = measure_fabric(table, FABRIC)
    assert found.sole_courses.value == heel["heel"] / 2 + heel["foot"] + instep["toe"] / 2


def test_the_sock_worked_out_by_hand_is_104_courses_long() -> None:
    """72 needles, 12 kept, 10 in foot at 11 rounds to the inch, 5 % shorter: 24 + 56 + 24."""
    sizing = size(
        72,
        sock(kept=12, length_ease=0.05),
        fabric=gauge_per_inch(8, 11),
        foot_mm=10 * INCH_MM,
    )
    found = measure_fabric(knit(sizing).run.loops, gauge_per_inch(8, 11))
    assert found.sole_courses.value == 104
    assert found.short_rows == 4 * 24
    assert found.foot_length.value == pytest.approx(104 / 11 * INCH_MM)
    assert found.girth.value == pytest.approx(9.0 * INCH_MM)


DESIGNS: dict[str, tuple[SockGiven, DialKind | None]] = {
    "hung hem": (sock(), None),
    "picot hem": (sock(cuff=CuffGiven(CuffKind.PICOT_HEM)), None),
    "mock-rib hem": (sock(cuff=CuffGiven(CuffKind.MOCK_RIB_HEM)), None),
    "rolled edge": (sock(cuff=CuffGiven(CuffKind.ROLLED_EDGE)), None),
    "1x1 cuff": (sock(cuff=rib(1, 1)), DialKind.HALF),
    "3x1 to the heel": (sock(cuff=rib(3, 1, RibEnd.LEG)), DialKind.HALF),
    "3x1 on the instep": (sock(cuff=rib(3, 1, RibEnd.INSTEP)), DialKind.HALF),
    "2x2, paired, on the instep": (sock(cuff=rib(2, 2, RibEnd.INSTEP)), DialKind.TWO_THIRDS),
    "deep heel": (sock(kept=8, deep_kept=14, wedge_rounds=3), None),
    "afterthought": (sock(heel=HeelKind.AFTERTHOUGHT), None),
    "gathered": (sock(closing=Closing.GATHER), None),
    "gathered afterthought": (sock(heel=HeelKind.AFTERTHOUGHT, closing=Closing.GATHER), None),
    "tube": (sock(heel=HeelKind.NONE), None),
    "gathered tube": (sock(heel=HeelKind.NONE, closing=Closing.GATHER), None),
    "tube, ribbed instep": (
        sock(cuff=rib(3, 1, RibEnd.INSTEP), heel=HeelKind.NONE),
        DialKind.HALF,
    ),
    "tube, toe on the instep half": (sock(heel=HeelKind.NONE, toe_half=ToeHalf.INSTEP), None),
    "rows doubled": (sock(first_raise=2), None),
    "toe on the instep half": (sock(toe_half=ToeHalf.INSTEP), None),
    "long leg": (sock(leg=LegGiven(rounds=160)), None),
}


def as_long_as_sized(sizing: Sizing) -> None:
    lost = gather_loss(sizing.needles, FABRIC) if sizing.toe.cup is None else None
    run = knit(sizing).run
    assert run.ok, run.errors
    found = measure_fabric(run.loops, FABRIC, lost, sizing.heel.corner)
    half = FABRIC.course.value / 2
    assert abs(found.foot_length.value - sizing.foot_length.value) <= half
    assert abs(found.leg_length.value - sizing.leg_height.value) <= half
    assert found.girth.value == pytest.approx(sizing.needles * FABRIC.wale.value)
    assert abs(found.foot_length.value - sizing.length_wish_mm) <= 1.01 * half


@pytest.mark.parametrize("needles", [48, 72])
@pytest.mark.parametrize("name", DESIGNS)
def test_the_fabric_is_as_long_as_it_was_sized(name: str, needles: int) -> None:
    design, dial = DESIGNS[name]
    as_long_as_sized(size(needles, design, dial=dial))


@pytest.mark.parametrize("needles", [53, 54, 61, 66, 67])
@pytest.mark.parametrize(
    "name", ["hung hem", "deep heel", "afterthought", "tube", "gathered", "toe on the instep half"]
)
def test_odd_numbers_and_odd_halves_too(name: str, needles: int) -> None:
    design, _ = DESIGNS[name]
    if name == "deep heel":
        kept = 12 + needles // 2 % 2
        design = sock(kept=kept, deep_kept=kept + 4, wedge_rounds=1)
    as_long_as_sized(size(needles, design))


@pytest.mark.parametrize("leg", [40, 150, 300])
def test_a_loop_longer_by_a_tenth_makes_a_course_higher_by_a_tenth(leg: int) -> None:
    """However long the leg: heights go by the swatch's setting, not by the commonest one."""
    sizing = size(60, sock(leg=LegGiven(rounds=leg)))
    plain = build_program(sizing)
    steps = plain.steps
    first = next(n for n, step in enumerate(steps) if step.section is op.Section.LEG)
    part = next(n for n, step in enumerate(steps) if isinstance(step, op.PartRound))
    loose = [
        *steps[:first],
        op.SetCam(op.Section.LEG, 1.1),
        *steps[first:part],
        op.SetCam(op.Section.LEG, 1.0),
        *steps[part:],
    ]
    lengths = []
    for program in (plain, op.Program(60, (), tuple(loose))):
        found = measure_fabric(dry_run(program, 12.8).loops, FABRIC)
        lengths.append(found.leg_courses.value)
    assert lengths[1] - lengths[0] == pytest.approx(0.1 * (leg - 1))


def test_errors_of_lengths_grow_with_the_courses() -> None:
    unsure = replace(gauge(), wale=Estimate(3.1, 0.031, "mm"), course=Estimate(2.35, 0.0235, "mm"))
    found = measure_fabric(knit(size(60)).run.loops, unsure)
    for length in (found.foot_length, found.leg_length, found.girth):
        assert length.sd == pytest.approx(0.01 * length.value)


def test_a_gathered_end_makes_the_length_less_sure() -> None:
    table = knit(size(60, sock(closing=Closing.GATHER))).run.loops
    lost = Estimate(6.0, 3.0, "course")
    drawn, open_end = measure_fabric(table, FABRIC, lost), measure_fabric(table, FABRIC)
    course = FABRIC.course.value
    assert open_end.foot_length.value - drawn.foot_length.value == pytest.approx(6 * course)
    assert (open_end.foot_length.sd, drawn.foot_length.sd) == (0.0, pytest.approx(3 * course))
