"""Laws of the crank program: any sock is refused with a reason or proved by the dry run, its length
is what the loops say, and no damaged program gets by."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import assume, given, note
from hypothesis import strategies as st

from builders import Knitted, gauge, knit, loops_on, machine, sock
from sockwright import steps as op
from sockwright.errors import CannotMake
from sockwright.estimates import exactly
from sockwright.machine import Cylinder, DialKind
from sockwright.measure.gauge import Gauge
from sockwright.needlebed.execute import DryRun, dry_run
from sockwright.needlebed.findings import Code
from sockwright.needlebed.loops import LoopTable
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    HeelGiven,
    HeelKind,
    LegGiven,
    Remainder,
    RibEnd,
    SockGiven,
    ToeHalf,
    Widening,
)
from sockwright.program.draft import Draft
from sockwright.sock.sizing import Sizing, size_sock

SHORT_ROW, AFTERTHOUGHT = HeelKind.SHORT_ROW, HeelKind.AFTERTHOUGHT


@dataclass(frozen=True)
class Wish:
    """A sock asked for, with what it is asked of."""

    design: SockGiven
    cylinder: Cylinder
    fabric: Gauge
    foot_mm: float

    def size(self) -> Sizing:
        return size_sock(
            self.design,
            self.cylinder,
            machine(self.cylinder),
            self.fabric,
            exactly(self.foot_mm, "mm"),
        )


cuffs = st.builds(
    CuffGiven,
    kind=st.sampled_from(CuffKind),
    depth_mm=st.none() | st.floats(5, 80),
    rib=st.sampled_from([(1, 1), (2, 1), (3, 1), (2, 2), (5, 1), (4, 2)]),
    rib_to=st.sampled_from(RibEnd),
    remainder=st.sampled_from(Remainder),
    every=st.integers(2, 6),
)
legs = (
    st.builds(LegGiven, rounds=st.integers(0, 90))
    | st.builds(LegGiven, leg_mm=st.floats(1, 300))
    | st.builds(LegGiven, height_mm=st.floats(60, 450))
)


@st.composite
def wishes(draw: st.DrawFn) -> Wish:
    needles = draw(st.integers(24, 200))
    half = needles // 2
    kept = draw(st.none() | st.integers(3, half))
    design = sock(
        kept=kept,
        widening=draw(st.sampled_from(Widening)),
        first_raise=draw(st.sampled_from([1, 2])),
        cuff=draw(cuffs),
        leg=draw(legs),
        heel=draw(st.sampled_from(HeelKind)),
        wedge_rounds=draw(st.integers(1, 6)),
        toe_half=draw(st.sampled_from(ToeHalf)),
        closing=draw(st.sampled_from(Closing)),
        length_ease=draw(st.floats(0.0, 0.1)),
    )
    if design.heel.kind is SHORT_ROW and draw(st.booleans()):
        design = replace(design, heel=replace(design.heel, deep_kept=draw(st.integers(4, half))))
    dial = draw(st.sampled_from([None, *DialKind]))
    fabric = gauge(draw(st.floats(1.5, 5.0)), draw(st.floats(1.2, 4.0)))
    return Wish(design, Cylinder(needles, 110.0, dial), fabric, draw(st.floats(80, 340)))


def makeable(wish: Wish) -> Knitted:
    """The wish knitted; wishes that are refused are passed over."""
    try:
        return knit(wish.size())
    except CannotMake:
        assume(False)
        raise


@given(wishes())
def test_any_sock_is_refused_with_a_reason_or_runs_without_error(wish: Wish) -> None:
    refused = None
    try:
        sizing = wish.size()
    except CannotMake as error:
        refused = error
    if refused is not None:
        assert refused.reason
        assert refused.offers, refused.reason
        return
    knitted = knit(sizing)
    note(str(knitted.run.findings[:3]))
    assert knitted.run.errors == ()
    toe = () if sizing.toe.cup is None else (sizing.toe.cup,)
    plain = any(cup.widening is Widening.PLAIN for cup in (*sizing.heel.cups, *toe))
    allowed = {Code.NO_WRAP} if plain else set()
    assert {finding.code for finding in knitted.run.findings} <= allowed
    assert bool(knitted.run.findings) == plain or not plain


@given(st.integers(24, 200), st.integers(0, 120), st.sampled_from([1, 2]), st.booleans())
def test_offered_kept_counts_are_taken(
    needles: int, kept: int, first_raise: int, of_deep: bool
) -> None:
    """A refusal of needles kept offers numbers; each is accepted in its place."""
    cylinder = Cylinder(needles, 110.0)

    def attempt(number: int | None) -> Sizing:
        design = sock(first_raise=first_raise, **{"deep_kept" if of_deep else "kept": number})
        return Wish(design, cylinder, gauge(), 900.0).size()

    try:
        attempt(kept)
    except CannotMake as refused:
        for offer in refused.offers:
            if offer.change.startswith("leave "):
                knitted = knit(attempt(int(str(offer.change).split()[1])))
                assert knitted.run.errors == ()


# What the loops say of the length


def on_heel_wale(table: LoopTable, sizing: Sizing) -> np.ndarray:
    """Section of every loop of the middle wale of the heel half, oldest first."""
    needle = (sizing.heel_needles + 1) // 2
    sections = np.array(table.course_sections())
    return sections[table.course[loops_on(table, needle)]]


def sole_courses(knitted: Knitted) -> float:
    """From the fold of the heel to the fold of the toe, counted on loops: half of what each cup
    adds to the middle wale, and the foot."""
    sizing, table = knitted.sizing, knitted.run.loops
    wale = on_heel_wale(table, sizing)
    heel, foot, toe = (int((wale == name).sum()) for name in ("heel", "foot", "toe"))
    if sizing.heel.kind is AFTERTHOUGHT:
        heel += 1  # the upper edge's own round, which lies on the other half's needles
    if sizing.toe.half is ToeHalf.INSTEP:
        toe = instep_toe_rows(knitted)
    return heel / 2 + foot + toe / 2


def instep_toe_rows(knitted: Knitted) -> int:
    """Toe rows on the middle wale of the instep half."""
    sizing, table = knitted.sizing, knitted.run.loops
    needle = sizing.heel_needles + (sizing.heel_needles + 1) // 2
    sections = np.array(table.course_sections())
    return int((sections[table.course[loops_on(table, needle)]] == "toe").sum())


@given(wishes())
def test_courses_from_heel_to_toe_are_the_sizings(wish: Wish) -> None:
    knitted = makeable(wish)
    sizing = knitted.sizing
    assert sole_courses(knitted) == sizing.total_courses
    of_courses = sizing.foot_length.value - sizing.heel.corner.value
    lost = sizing.total_courses - of_courses / wish.fabric.course.value
    assert (lost == pytest.approx(0.0, abs=1e-9)) == (sizing.toe.cup is not None)


@given(wishes())
def test_a_tube_is_as_long_on_every_side_and_covers_its_turn_besides(wish: Wish) -> None:
    """Without a heel no wale has a row of one; foot and height of the sock, worn, are the tube's
    and once more the turn in each, an eighth of a usual heel girth."""
    design = replace(wish.design, heel=HeelGiven(HeelKind.NONE))
    knitted = makeable(replace(wish, design=design))
    sizing, table = knitted.sizing, knitted.run.loops
    assert "heel" not in table.course_sections()
    course = wish.fabric.course.value
    tube = sizing.foot_length.value + sizing.leg_height.value - 2 * sizing.heel.corner.value
    lost = sizing.foot_length.value - sizing.heel.corner.value - sizing.total_courses * course
    rounds = sizing.leg_rounds + sizing.cuff.visible + sizing.foot_rounds + sizing.toe.share
    assert tube - lost == pytest.approx(rounds * course)
    assert abs(sizing.foot_length.value - sizing.length_wish_mm) <= course / 2 + 1e-9
    women_heel_girth_by_length = 310.3 / 246.3
    turn = sizing.heel.corner.value / sizing.length_wish_mm
    assert turn == pytest.approx(women_heel_girth_by_length / 8, rel=0.02)


@given(wishes())
def test_leg_on_the_heel_half_is_the_sizings(wish: Wish) -> None:
    knitted = makeable(wish)
    assume(knitted.sizing.cuff.rib is None)
    wale = on_heel_wale(knitted.run.loops, knitted.sizing)
    assert (wale == "leg").sum() == knitted.sizing.leg_rounds
    instep = knitted.sizing.needles - 2
    sections = np.array(knitted.run.loops.course_sections())
    front = sections[knitted.run.loops.course[loops_on(knitted.run.loops, instep)]]
    rounds = knitted.sizing.leg_rounds + knitted.sizing.foot_rounds
    rounds += knitted.sizing.heel.wedge_rounds
    if knitted.sizing.toe.half is ToeHalf.HEEL and knitted.sizing.heel.kind is SHORT_ROW:
        assert np.isin(front, ["leg", "heel", "foot", "toe"]).sum() == rounds


@given(wishes())
def test_the_ends_of_a_cup_are_as_unlike_as_the_sizing_says(wish: Wish) -> None:
    """Courses of the first needle of each half beyond those of its last, cuff aside."""
    knitted = makeable(wish)
    assume(knitted.sizing.cuff.rib is None)
    sizing, table = knitted.sizing, knitted.run.loops
    sections = np.array(table.course_sections())

    def courses(needle: int) -> int:
        return int((sections[table.course[loops_on(table, needle)]] != "cuff").sum())

    half = sizing.heel_needles
    of_toe = 0 if sizing.toe.cup is None else sizing.toe.cup.lopsided
    on_heel_half = sizing.toe.half is ToeHalf.HEEL
    heel_half = courses(1) - courses(half)
    assert heel_half == sizing.heel.lopsided + (of_toe if on_heel_half else 0)
    assert courses(half + 1) - courses(2 * half) == (0 if on_heel_half else of_toe)


@given(wishes())
def test_every_grafted_loop_is_grafted_once(wish: Wish) -> None:
    grafts = makeable(wish).run.loops.grafts
    assert len(set(grafts.flat)) == grafts.size


@given(wishes())
def test_courses_are_numbered_without_gaps_and_the_yarn_never_runs_back(wish: Wish) -> None:
    table = makeable(wish).run.loops
    steps = np.diff(table.course)
    assert steps.min() >= 0
    assert steps.max() == 1
    for yarn in range(len(table.yarns)):
        used = table.yarn_at[table.yarn == yarn]
        assert not len(used) or np.diff(used).min(initial=0.0) >= 0.0


# Damage


def good() -> list[Knitted]:
    """Some whole socks, each with other steps in it."""
    ribbed = CuffGiven(CuffKind.TRUE_RIB, rib=(3, 1), rib_to=RibEnd.INSTEP)
    designs = [
        (sock(), 48, None),
        (sock(cuff=CuffGiven(CuffKind.PICOT_HEM), toe_half=ToeHalf.INSTEP), 53, None),
        (sock(cuff=CuffGiven(CuffKind.MOCK_RIB_HEM), widening=Widening.WRAPPED_FAR), 48, None),
        (sock(cuff=ribbed, widening=Widening.TWO_DOWN_ONE_UP, first_raise=2), 48, DialKind.HALF),
        (sock(heel=AFTERTHOUGHT, cuff=CuffGiven(CuffKind.ROLLED_EDGE)), 49, None),
        (sock(kept=8, deep_kept=14, closing=Closing.GATHER), 48, None),
        (sock(heel=HeelKind.NONE, toe_half=ToeHalf.INSTEP), 48, None),
    ]
    return [
        knit(Wish(design, Cylinder(needles, 110.0, dial), gauge(), 240.0).size())
        for design, needles, dial in designs
    ]


GOOD = good()


def test_the_undamaged_socks_are_clean() -> None:
    assert [each.run.findings for each in GOOD] == [()] * len(GOOD)


def run_damaged(program: op.Program, steps: list[op.Step]) -> DryRun:
    return dry_run(replace(program, steps=tuple(steps)))


def shifted(step: op.Step, by: int) -> op.Step:
    """The step with its first needle number, slot, course or count off by `by`."""
    for name in ("needles", "slots", "a", "lower"):
        if numbers := getattr(step, name, ()):
            return replace(step, **{name: (numbers[0] + by, *numbers[1:])})
    if moves := getattr(step, "moves", ()):
        (a, b), *rest = moves
        return replace(step, moves=((a + by, b), *rest))
    for name in ("needle", "last", "count", "course"):
        if (number := getattr(step, name, None)) is not None:
            return replace(step, **{name: number + by})
    return step


@given(st.sampled_from(GOOD), st.data())
def test_no_damage_makes_the_dry_run_stumble(sock_: Knitted, data: st.DataObject) -> None:
    steps = list(sock_.program.steps)
    for _ in range(data.draw(st.integers(1, 4), "how many")):
        k = data.draw(st.integers(0, len(steps) - 2), "where")
        match data.draw(st.sampled_from(["drop", "double", "swap", "shift", "move"]), "how"):
            case "drop":
                del steps[k]
            case "double":
                steps.insert(k, steps[k])
            case "swap":
                steps[k], steps[k + 1] = steps[k + 1], steps[k]
            case "shift":
                steps[k] = shifted(steps[k], data.draw(st.integers(-300, 300), "by"))
            case "move":
                steps.insert(data.draw(st.integers(0, len(steps)), "to"), steps.pop(k))
    run = run_damaged(sock_.program, steps)
    assert all(1 <= finding.step <= len(steps) for finding in run.findings)
    assert all(finding.message and finding.mend for finding in run.findings)


@given(st.lists(st.sampled_from([step for each in GOOD for step in each.program.steps])))
def test_steps_in_any_order_never_make_the_dry_run_stumble(steps: list[op.Step]) -> None:
    dry_run(op.Program(48, GOOD[3].program.dial, tuple(steps)))


def must_have(program: op.Program) -> list[int]:
    """Places of steps that no sock can do without.

    Not among them: weight moved higher while it hangs; and a needle raised only to be lowered next.
    """
    places = []
    hung = dict.fromkeys(op.Weight, False)
    for k, step in enumerate(program.steps):
        needed = (op.Thread, op.Wrap, op.Lower, op.Raise, op.HangHem, op.LiftBars)
        needed += (op.RemoveNeedles, op.Graft, op.Gather, op.OpenWaste, op.Rehang, op.BindOff)
        needed += (op.ToDial, op.TakeOff)
        if isinstance(step, op.Weigh):
            if not hung[step.kind]:
                places.append(k)
            hung[step.kind] = True
        elif isinstance(step, op.Unweigh):
            hung[step.kind] = False
        elif isinstance(step, op.TakeOff):
            hung = dict.fromkeys(op.Weight, False)
            places.append(k)
        elif isinstance(step, needed):
            places.append(k)
    return places


@pytest.mark.parametrize("which", range(len(GOOD)))
def test_every_step_that_matters_is_missed_when_dropped(which: int) -> None:
    program = GOOD[which].program
    unseen = []
    for k in must_have(program):
        steps = list(program.steps)
        dropped = steps.pop(k)
        if not run_damaged(program, steps).findings:
            unseen.append((k + 1, dropped))
    assert unseen == []


@pytest.mark.parametrize("which", range(len(GOOD)))
@pytest.mark.parametrize("by", [-1, 1])
def test_every_needle_number_off_by_one_is_seen(which: int, by: int) -> None:
    """But for an eyelet: a loop moved the other way makes as sound a hem."""
    program = GOOD[which].program
    unseen = []
    for k, step in enumerate(program.steps):
        if isinstance(step, (op.Raise, op.Lower, op.Wrap, op.RemoveNeedles, op.ToDial)) or (
            isinstance(step, op.MoveLoops) and not step.eyelet
        ):
            steps = list(program.steps)
            steps[k] = shifted(step, by)
            if not run_damaged(program, steps).findings:
                unseen.append((k + 1, step))
    assert unseen == []


@pytest.mark.parametrize("which", [0, 1, 2])
@pytest.mark.parametrize("damage", [{"shift": 1}, {"shift": -1}, "later", "earlier"])
def test_a_hem_hung_wrong_is_seen(which: int, damage: dict[str, int] | str) -> None:
    program = GOOD[which].program
    steps = list(program.steps)
    k = next(k for k, step in enumerate(steps) if isinstance(step, op.HangHem))
    off = {"later": 1, "earlier": -1}
    change = damage if isinstance(damage, dict) else {"course": steps[k].course + off[damage]}
    steps[k] = replace(steps[k], **change)
    assert run_damaged(program, steps).errors


@given(st.integers(1, 400), st.integers(0, 60))
def test_the_weight_never_moves_shortly_before_a_change(count: int, before: int) -> None:
    """It goes higher where rounds begin, or between like parts of many; within 60 rounds always
    (common practice: every 40 to 60)."""
    draft = Draft(60)
    draft.rounds(before)
    start = len(draft.steps)
    draft.section = op.Section.LEG
    draft.rounds(count)
    parts = [step.count for step in draft.steps[start:] if isinstance(step, op.Rounds)]
    assert sum(parts) == count
    assert max(parts) - min(parts) <= 1
    moved = isinstance(draft.steps[start], op.Weigh)
    assert max(parts) + (0 if moved else before) <= 60
