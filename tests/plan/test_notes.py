"""Every note of a plan: a plan that provokes it, and a quiet twin that does not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import ceil, hypot

import pytest

from orders import FOOT, YARN, longer, order
from sockwright import steps as op
from sockwright.cli.console import plain_text
from sockwright.cli.plan import plan_text, verdict_text
from sockwright.estimates import Estimate
from sockwright.measure.foot_measures import Foot, FootMeasure
from sockwright.needlebed.findings import FINDINGS, Code, Finding
from sockwright.order.model import Count, FootGiven, LegGiven, Load, Order, SockGiven, YarnGiven
from sockwright.plan.data import instructions
from sockwright.plan.make import PairPlan, SockPlan, make_plan
from sockwright.plan.notes import fabric_agrees, finding_words, look_again, plan_notes, to_wind
from sockwright.sock.top import fit_top
from sockwright.wording.write import Instruction

LEG = op.Section.LEG
PLAN = make_plan(order()).first
"""The winch operator's plan, with yarn enough: 60 needles, a foot of 24.5 cm."""
COURSE_MM = PLAN.gauge.course.value
USE, PAIR = PLAN.use["main"].mass, PLAN.pair_use["main"].mass


def notes_with(plan: SockPlan, words: str) -> list[str]:
    """The notes that hold these words."""
    return [note for note in plan_notes(plan) if words in note]


def printed(plan: SockPlan) -> str:
    """The plan's printed text on one line, however its tables were broken."""
    return " ".join(plain_text(plan_text(PairPlan(plan))).split())


def with_measures(plan: SockPlan, **measures_mm: float) -> SockPlan:
    """The same plan for a foot of which these measures are other ones."""
    changed = {
        name: FootMeasure(Estimate(value, 2.0, "mm"), "measured")
        for name, value in measures_mm.items()
    }
    return replace(plan, foot=replace(plan.foot, by_name={**plan.foot.by_name, **changed}))


def with_yarn(grams: float | None, *others: YarnGiven) -> SockPlan:
    """The plan with so much of the main yarn on hand."""
    return make_plan(order(yarns=(replace(YARN, on_hand_g=grams), *others))).first


# The formula against the fabric.


def with_fabric(courses: float) -> SockPlan:
    """The plan whose loops make a foot so many courses longer than the formula's."""
    length = PLAN.sizing.foot_length
    apart = replace(length, value=length.value + courses * COURSE_MM)
    return replace(PLAN, fabric=replace(PLAN.fabric, foot_length=apart))


@pytest.mark.parametrize("courses", [0.0, 0.4, -0.4])
def test_less_than_half_a_course_between_formula_and_fabric_is_nothing(courses: float) -> None:
    plan = with_fabric(courses)
    assert fabric_agrees(plan)
    assert notes_with(plan, "do not knit") == []
    text = printed(plan)
    assert "THEY DIFFER" not in text
    assert "do not knit this plan" not in text


@pytest.mark.parametrize("courses", [0.6, -0.6])
def test_more_than_half_a_course_between_formula_and_fabric_forbids_the_plan(
    courses: float,
) -> None:
    plan = with_fabric(courses)
    assert not fabric_agrees(plan)
    (note,) = notes_with(plan, "do not knit")
    # 92 courses of 2.55 mm, less a hair, and 0.6 courses more or less.
    loops = {0.6: "23.6", -0.6: "23.3"}[courses]
    assert f"the loops give {loops}" in note
    assert "a foot of 23.4" in note
    assert plan_notes(plan)[0] == note
    text = printed(plan)
    assert "cm: THEY DIFFER" in text
    assert "do not knit this plan" in text


# The foot.


def with_origins(**origins: str) -> SockPlan:
    """The plan for a foot all estimated by ruler, but for these measures, so estimated."""
    named = {
        name: replace(measure, source="estimated", note=origins.get(name, "laid on a ruler"))
        for name, measure in PLAN.foot.measures().items()
    }
    return replace(PLAN, foot=Foot(named))


def test_measures_with_one_origin_are_named_together_and_once() -> None:
    assert notes_with(with_origins(length="", heel_breadth="", calf_girth=""), "ruler") == [
        "Ball girth, instep girth, heel girth, ankle girth, foot breadth, ankle bone height: "
        "laid on a ruler."
    ]
    assert notes_with(PLAN, "ruler") == []


def test_a_second_origin_has_a_note_of_its_own() -> None:
    plan = with_origins(calf_girth="guessed by eye", ankle_girth="guessed by eye")
    assert notes_with(plan, "by eye") == ["Ankle girth, calf girth: guessed by eye."]
    (rest,) = notes_with(plan, "ruler")
    assert "calf" not in rest


def test_the_tables_an_estimate_comes_from_are_told() -> None:
    (note,) = notes_with(PLAN, "ANSUR II")
    assert "calf girth" in str(note).lower()


MEASURED = FootGiven(
    length_mm=245.0,
    ball_girth_mm=220.0,
    instep_girth_mm=240.0,
    heel_girth_mm=290.0,
    ankle_girth_mm=208.0,
    calf_girth_mm=340.0,
    foot_breadth_mm=90.0,
    heel_breadth_mm=65.0,
    ankle_bone_height_mm=62.0,
)


def test_a_foot_measured_all_over_is_not_estimated() -> None:
    assert notes_with(make_plan(order(foot=MEASURED)).first, "estimated") == []


def test_what_is_to_be_said_of_a_reading_is_said_with_its_name() -> None:
    traced = make_plan(order(foot=replace(FOOT, pencil_mm=7.0))).first
    assert notes_with(traced, "pencil") == ["Length: traced, less the pencil's 7 mm."]
    assert notes_with(PLAN, "pencil") == []
    sitting = make_plan(order(foot=replace(FOOT, load=Load.SITTING))).first
    assert [str(note).split(":")[0] for note in notes_with(sitting, "taken sitting")] == [
        "Length",
        "Ball girth",
        "Heel girth",
    ]
    assert notes_with(PLAN, "taken sitting") == []


# Other rooms' notes.

PASSED_ON: dict[str, Callable[[SockPlan, str], SockPlan]] = {
    "foot": lambda plan, said: replace(plan, foot=replace(plan.foot, notes=(said,))),
    "gauge": lambda plan, said: replace(plan, gauge=replace(plan.gauge, notes=(said,))),
    "fit": lambda plan, said: replace(plan, fit=replace(plan.fit, reasons=(said,))),
    "leg": lambda plan, said: replace(plan, leg_shape=replace(plan.leg_shape, notes=(said,))),
    "sizing": lambda plan, said: replace(plan, sizing=replace(plan.sizing, notes=(said,))),
}


@pytest.mark.parametrize("place", PASSED_ON)
def test_a_note_from_before_is_passed_on_as_a_sentence(place: str) -> None:
    plan = PASSED_ON[place](PLAN, "the dog ate a corner")
    assert notes_with(plan, "dog") == ["The dog ate a corner."]
    assert notes_with(PLAN, "dog") == []
    assert notes_with(PASSED_ON[place](PLAN, "Did the dog eat it?"), "dog") == [
        "Did the dog eat it?"
    ]


def test_the_same_note_from_two_places_is_said_once() -> None:
    twice = PASSED_ON["gauge"](PASSED_ON["sizing"](PLAN, "wash it first"), "wash it first")
    assert notes_with(twice, "ash it") == ["Wash it first."]


# The stitch cam.


def with_cams(*cams: tuple[float, float | None]) -> SockPlan:
    """The plan whose program sets these (factor, setting)."""
    steps = tuple(op.SetCam(LEG, factor, setting) for factor, setting in cams)
    return replace(PLAN, program=replace(PLAN.program, steps=steps))


def test_a_shaped_leg_asks_for_the_cam_settings_that_no_swatch_tells() -> None:
    shaped = make_plan(order(sock=SockGiven(leg=LegGiven(height_mm=330.0, shaped=True)))).first
    (note,) = notes_with(shaped, "test tube")
    # Four settings, from 10 % at the top down to the swatch's own.
    assert "longer than the swatch's by +10 %, +7 %, +3 %, and write" in note
    straight = make_plan(order(sock=SockGiven(leg=LegGiven(height_mm=330.0)))).first
    assert notes_with(straight, "test tube") == []


def test_only_unknown_settings_are_looked_for() -> None:
    (note,) = notes_with(with_cams((1.08, None), (1.04, 12.5), (1.02, None)), "test tube")
    assert "by +8 %, +2 %, and" in note
    assert notes_with(with_cams((1.08, 13.0), (1.04, 12.5), (1.0, None)), "test tube") == []


# The heel.


def heel_round_mm() -> float:
    """Round heel and instep of a heel on 30 needles that keeps 10: both across, two slopes."""
    wale = PLAN.gauge.wale.value
    return 40 * wale + 2 * hypot(10 * wale, 20 * COURSE_MM)


def test_a_foot_a_quarter_larger_than_its_heel_wants_a_deeper_heel() -> None:
    quiet = with_measures(PLAN, heel_girth=1.24 * heel_round_mm())
    assert notes_with(quiet, "deeper heel") == []
    loud = with_measures(PLAN, heel_girth=1.26 * heel_round_mm())
    (note,) = notes_with(loud, "deeper heel")
    # 40 x 3.3 + 2 x sqrt(33^2 + 51^2) = 253.5 mm; a quarter and a hundredth more is 319.5.
    assert "the sock measures 25.4 cm and the foot 32.0 ± 0.2 cm, 26 % more" in note


# The ankle.


def test_a_tube_wider_than_the_ankle_is_said_to_hang_loose() -> None:
    tube = 60 * PLAN.gauge.wale.value
    quiet = with_measures(PLAN, ankle_girth=tube + 1.0)
    assert notes_with(quiet, "hang loose") == []
    (note,) = notes_with(with_measures(PLAN, ankle_girth=tube - 1.0), "hang loose")
    # 60 x 3.3 = 198 mm, the ankle 1 mm less.
    assert "the tube (19.8 ± 0.2 cm) is wider than the ankle (19.7 ± 0.2 cm)" in str(note).lower()


# The top.


def with_top(leg_mm: float, opens: float = 1.8, height_mm: float = 180.0) -> SockPlan:
    """The plan with the top that suits a leg as thick all the way up, in a fabric that opens so
    many times."""
    plan = with_measures(PLAN, ankle_girth=leg_mm, calf_girth=leg_mm, heel_girth=250.0)
    gauge = replace(PLAN.gauge, open_ratio=Estimate(opens, 0.06, "1"))
    return replace(plan, top=fit_top(plan.foot, gauge, 60, height_mm, "plain"))


TUBE_MM = 60 * PLAN.gauge.wale.value


def test_a_top_that_hardly_goes_on_is_a_doubt() -> None:
    fine, tight = with_top(1.40 * TUBE_MM), with_top(1.70 * TUBE_MM, 1.6)
    assert look_again(fine) == ()
    harder = with_top(1.62 * TUBE_MM)
    assert len(notes_with(harder, "The top: goes on with a tug")) == 1
    assert notes_with(fine, "The top: ") == []
    doubts = look_again(tight)
    assert doubts[0].startswith("The top: hardly goes on")
    assert "open to 1.70 times its width" in doubts[0]


def test_a_top_as_wide_as_the_leg_slips_and_what_would_do_is_offered() -> None:
    firm, loose = with_top(1.3 * TUBE_MM), with_top(0.95 * TUBE_MM)
    assert look_again(firm) == ()
    (doubt,) = look_again(loose)
    assert doubt.startswith("The top may slip")
    assert notes_with(loose, "Instead, ")
    assert not notes_with(firm, "Instead, ")


def test_a_top_that_is_hardly_narrower_than_the_leg_has_a_word() -> None:
    assert len(notes_with(with_top(1.06 * TUBE_MM), "may slip a little")) == 1
    assert look_again(with_top(1.06 * TUBE_MM)) == ()


def test_one_worn_far_opened_presses() -> None:
    """Worn half as wide again is firm, 1.73 times too much."""
    assert len(notes_with(with_top(1.6 * TUBE_MM, 2.4), "sits firmly")) == 1
    (doubt,) = look_again(with_top(1.8 * TUBE_MM, 2.4))
    assert "presses" in doubt


def test_over_the_calf_it_may_be_knitted_looser() -> None:
    """335 mm up the top has passed the calf, 1.31 foot lengths up."""
    assert look_again(with_top(1.45 * TUBE_MM, height_mm=335.0)) == ()
    doubts = look_again(with_top(2.05 * TUBE_MM, height_mm=335.0))
    assert "knitted looser" in doubts[0]


# The yarn. Between "tight" and "enough" lie two standard deviations of the pair's use.


def test_yarn_nobody_weighed_is_not_spoken_of() -> None:
    assert notes_with(PLAN, "yarn: the pair") == []


@pytest.mark.parametrize("spare_g", [-10.0, -0.5])
def test_yarn_that_does_not_reach_for_the_pair_is_told_first(spare_g: float) -> None:
    plan = with_yarn(PAIR.value + spare_g)
    assert notes_with(plan, "yarn: the pair") == []
    # 63.3 g: the pair's two times 31.6.
    assert f"{-spare_g:.1f} ± 0.7 g short" in look_again(plan)[0]
    assert plan.ok


@pytest.mark.parametrize("sds", [0.1, 1.9])
def test_yarn_that_reaches_if_all_goes_well_is_tight(sds: float) -> None:
    have = PAIR.value + sds * PAIR.sd
    (note,) = notes_with(with_yarn(have), "yarn: the pair")
    odds = {0.1: "1 time in 2", 1.9: "19 times in 20"}[sds]
    assert f"{have:.0f} g are on hand: tight, {odds} it reaches; weigh after the first sock" in note
    assert note.endswith(f", {have - USE.value:.0f} g must be left for the second.")


@pytest.mark.parametrize("sds", [2.1, 40.0])
def test_yarn_that_reaches_even_if_all_goes_badly_is_enough(sds: float) -> None:
    have = PAIR.value + sds * PAIR.sd
    (note,) = notes_with(with_yarn(have), "yarn: the pair")
    # One sock takes 31.64 ± 0.36 g; two standard deviations more is 32.4, whole grams upward 33.
    assert note.endswith(f"{have:.0f} g are on hand: enough; wind off 33 g for the second sock.")
    assert ceil(USE.value + 2 * USE.sd) == 33
    assert to_wind(USE) == "33 g"


def test_waste_and_cord_are_not_spoken_of() -> None:
    ends = YarnGiven("waste", "cotton ends", 300.0, on_hand_g=1.0)
    cord = YarnGiven("cord", "smooth cotton", 300.0, on_hand_g=0.1)
    assert notes_with(with_yarn(None, ends, cord), "yarn: the pair") == []


def test_each_yarn_has_its_own_note() -> None:
    heel = YarnGiven("heel", "charcoal heel yarn", 277.0, tex_sd=1.0, on_hand_g=5.0)
    plan = with_yarn(200.0, heel)
    (main,) = notes_with(plan, "yarn: the pair")
    assert main.startswith("Main yarn: ")
    assert ": enough; wind off" in main
    assert "eel yarn" in look_again(plan)[0]


# What makes the whole plan doubtful.


def test_readings_that_cannot_all_be_right_come_first() -> None:
    asked = order()
    (swatch,) = asked.swatches
    uneven = replace(swatch, wales=(swatch.wales[0], Count(2000 / 3.6, 2000.0)))
    doubtful = make_plan(replace(asked, swatches=(uneven,))).first
    said, *_ = look_again(doubtful)
    assert "3.30 mm at one place and 3.60 mm at another" in said
    text = printed(doubtful)
    assert text.index("Look at this first") < text.index("Measure Size From")
    assert "3.60 mm at another" in text
    assert look_again(PLAN) == ()
    assert "Look at this first" not in printed(PLAN)


def test_a_heel_that_hardly_passes_is_a_doubt_and_no_note() -> None:
    plan = make_plan(order(stretch=1.3)).first
    doubt = look_again(plan)[0]
    assert doubt.startswith("Over the heel: hardly goes on")
    assert "open to 1.52 times its width" in doubt
    assert doubt not in plan_notes(plan)
    text = printed(plan)
    assert text.index("Look at this first") < text.index(doubt) < text.index("Measure Size From")
    assert text.count("Over the heel:") == 1
    assert look_again(make_plan(order(stretch=1.7)).first) == ()


def test_a_plan_without_a_swatch_says_so_first() -> None:
    plan = make_plan(replace(order(), swatches=())).first
    rough = [doubt for doubt in look_again(plan) if doubt.startswith("No swatch gives this gauge")]
    assert len(rough) == 1
    assert rough[0].endswith("knit a swatch, measure it and plan again.")
    assert not any("No swatch" in doubt for doubt in look_again(PLAN))


# Findings.


def told(asked: Order) -> tuple[SockPlan, str]:
    """A plan with one finding, and the words for it."""
    plan = make_plan(asked).first
    (finding,) = plan.dry_run.findings
    assert finding.code is Code.YARN_GONE
    return plan, finding_words(plan, finding, instructions(plan))


@pytest.mark.parametrize(
    ("have_g", "sock", "short_g"),
    [(62.0, "second", 1), (45.0, "second", 18), (32.0, "second", 31), (31.0, "first", 32)],
)
def test_yarn_gone_says_in_which_sock_and_how_much_is_short(
    have_g: float, sock: str, short_g: int
) -> None:
    """One sock takes 31.6 g, the pair 63.3 g."""
    plan, words = told(order(yarns=(replace(YARN, on_hand_g=have_g),)))
    assert words.startswith(f"in the {sock} sock knitted, {short_g} g short for the pair, step ")
    assert words.endswith(f"; {FINDINGS[Code.YARN_GONE][2]!s}")
    assert words in " ".join(plain_text(verdict_text(PairPlan(plan))).split())


def test_yarn_gone_counts_the_yarn_that_is_short() -> None:
    """A heel yarn of 5 g for the pair's 6.4 g; of the main yarn there is plenty."""
    heel = YarnGiven("heel", "charcoal heel yarn", 277.0, tex_sd=1.0, on_hand_g=5.0)
    _, words = told(order(yarns=(replace(YARN, on_hand_g=200.0), heel)))
    assert words.startswith("in the second sock knitted, 1 g short for the pair, step ")


def test_of_unlike_feet_each_sock_says_what_the_pair_lacks() -> None:
    asked = order(right=longer(FOOT, 12.0))
    need = make_plan(asked).first.pair_use["main"].mass.value
    pair = make_plan(replace(asked, yarns=(replace(YARN, on_hand_g=need - 4.0),)))
    for plan in pair.socks:
        (finding,) = plan.dry_run.findings
        words = finding_words(plan, finding, instructions(plan))
        assert words.startswith("in the second sock knitted, 4 g short for the pair, step ")


def test_a_finding_names_the_printed_step() -> None:
    finding = Finding(Code.LONG_FLOAT, 12, 7)
    printed_steps = (
        Instruction(4, LEG, (10, 11), (), ()),
        Instruction(5, LEG, (12, 13), (), ()),
    )
    mend = "bring the needles between into work, or knit rows instead of rounds"
    what = "the yarn floats past too many idle needles"
    assert finding_words(PLAN, finding, printed_steps) == f"step 5 at needle 7: {what}; {mend}"
    assert finding_words(PLAN, finding, ()) == f"step 12 at needle 7: {what}; {mend}"


def test_only_yarn_gone_speaks_of_socks() -> None:
    plan = with_yarn(40.0)
    (gone,) = plan.dry_run.findings
    assert gone.code is Code.YARN_GONE
    assert "sock knitted" in finding_words(plan, gone, ())
    assert "sock knitted" not in finding_words(plan, Finding(Code.NO_YARN, gone.step), ())


def test_the_plainest_plan_has_no_note() -> None:
    """Nothing but how the tube suits the foot, which is said of every plan."""
    plan = make_plan(order(foot=MEASURED)).first
    assert len(plan_notes(plan)) == len(plan.fit.reasons) > 0
    assert plan_notes(replace(plan, fit=replace(plan.fit, reasons=()))) == ()


def test_a_shortage_is_that_of_the_yarn_in_the_carrier() -> None:
    """Waste that is short says nothing, and a heel's own yarn is told by its own grams."""
    made = make_plan(order()).first
    takes = made.pair_use["main"].mass.value
    short = make_plan(
        order(
            yarns=(
                replace(YARN, on_hand_g=takes - 5.0),
                YarnGiven("waste", "ends", 250.0, on_hand_g=1.0),
            )
        )
    ).first
    (finding,) = short.dry_run.findings
    words = finding_words(short, finding, instructions(short))
    assert words.startswith("in the second sock knitted, 5 g short for the pair, step ")
