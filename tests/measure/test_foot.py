"""What becomes of the measures of an adult's foot, given and not given."""

from dataclasses import replace

import pytest

from sockwright.errors import OrderError
from sockwright.measure.foot import MEASURES, Foot, compare_feet, estimate_foot
from sockwright.order.model import FootGiven, Load, Sex, ShoeSize, ShoeSystem, WearerGiven

OPERATOR = WearerGiven("winch operator", Sex.MAN)
HANDLER = WearerGiven("dog handler", Sex.WOMAN)
WHOLE = FootGiven(
    length_mm=248.0,
    ball_girth_mm=230.0,
    instep_girth_mm=238.0,
    heel_girth_mm=312.0,
    ankle_girth_mm=216.0,
    calf_girth_mm=370.0,
    foot_breadth_mm=93.0,
    heel_breadth_mm=67.0,
    ankle_bone_height_mm=63.0,
)


def the_problem(wearer: WearerGiven, foot: FootGiven) -> str:
    """The one problem estimating this foot raises, as text."""
    with pytest.raises(OrderError) as raised:
        estimate_foot(wearer, foot)
    (problem,) = raised.value.problems
    return str(problem)


def test_a_foot_measured_throughout_has_nothing_estimated() -> None:
    foot = estimate_foot(HANDLER, WHOLE)
    assert {measure.source for measure in foot.measures().values()} == {"measured"}
    assert foot.ankle_girth.estimate.value == 216.0
    assert foot.notes == ()


def test_readings_are_as_sure_as_their_kind() -> None:
    foot = estimate_foot(HANDLER, WHOLE)
    assert (foot.length.estimate.sd, foot.ball_girth.estimate.sd) == (2.0, 2.5)
    traced = estimate_foot(HANDLER, replace(WHOLE, pencil_mm=7.5))
    assert traced.length.estimate.value == 240.5
    assert traced.length.estimate.sd == 3.0
    assert "7.5 mm" in traced.length.note


def test_only_the_length_is_traced() -> None:
    traced, whole = (
        estimate_foot(HANDLER, foot) for foot in (replace(WHOLE, pencil_mm=7.5), WHOLE)
    )
    assert traced.measures()["foot_breadth"] == whole.measures()["foot_breadth"]


def test_a_foot_measured_sitting_is_less_sure_and_says_so() -> None:
    standing = estimate_foot(OPERATOR, WHOLE)
    sitting = estimate_foot(OPERATOR, replace(WHOLE, load=Load.SITTING))
    assert sitting.length.estimate.value == standing.length.estimate.value
    # Up to 10.5 mm for a man's 271 mm, so 9.6 mm for these 248; anywhere from 0 to that has an
    # sd of 9.6 / sqrt 3 = 5.54, beside the reading's own 2.
    assert sitting.length.estimate.sd == pytest.approx(5.89, abs=0.01)
    assert "sitting" in sitting.length.note
    assert sitting.calf_girth == standing.calf_girth


def test_a_shoe_size_stands_in_for_the_length() -> None:
    foot = estimate_foot(replace(OPERATOR, shoe=ShoeSize(ShoeSystem.EU, 41)), FootGiven())
    assert foot.length.estimate.value == pytest.approx(260.0)
    assert foot.length.estimate.sd == 6.0
    assert foot.length.source == "estimated"
    assert "EU 41" in foot.length.note
    assert any("measure it" in note for note in foot.notes)


def test_a_measured_length_silences_the_shoe_size() -> None:
    shod = replace(HANDLER, shoe=ShoeSize(ShoeSystem.EU, 44))
    assert estimate_foot(shod, FootGiven(length_mm=240.0)) == estimate_foot(
        HANDLER, FootGiven(length_mm=240.0)
    )


def test_stature_alone_gives_a_foot() -> None:
    tall = estimate_foot(replace(OPERATOR, stature_mm=1950.0), FootGiven())
    short = estimate_foot(replace(OPERATOR, stature_mm=1650.0), FootGiven())
    assert tall.length.estimate.value > short.length.estimate.value + 20.0
    assert tall.length.source == "estimated"


def test_weight_tells_of_the_calf() -> None:
    given = FootGiven(length_mm=270.0)
    light = estimate_foot(replace(OPERATOR, weight_kg=60.0), given)
    heavy = estimate_foot(replace(OPERATOR, weight_kg=110.0), given)
    assert heavy.calf_girth.estimate.value > light.calf_girth.estimate.value + 50.0
    assert "weight" in heavy.calf_girth.note


def test_without_length_shoe_or_stature_there_is_a_problem() -> None:
    problem = the_problem(OPERATOR, FootGiven(ball_girth_mm=250.0))
    assert problem.startswith("foot.length: ")
    assert "shoe size" in problem
    assert "stature" in problem


def test_a_foot_shorter_than_adults_asks_for_the_age() -> None:
    problem = the_problem(HANDLER, FootGiven(length_mm=180.0))
    assert problem.startswith("foot.length: ")
    assert "180 mm (7.1 in)" in problem
    assert "198 mm (7.8 in)" in problem
    assert "wearer.age" in problem


def test_a_traced_foot_that_is_too_short_says_what_was_taken_off() -> None:
    problem = the_problem(HANDLER, FootGiven(length_mm=200.0, pencil_mm=7.0))
    assert "a foot of 193 mm (7.6 in), traced, less the pencil's 7 mm, is shorter" in problem


@pytest.mark.parametrize(
    ("wearer", "path"),
    [
        (replace(HANDLER, shoe=ShoeSize(ShoeSystem.EU, 30)), "wearer.shoe_size: "),
        (replace(HANDLER, stature_mm=1150.0), "wearer.stature: "),
    ],
)
def test_what_tells_too_short_a_length_is_named(wearer: WearerGiven, path: str) -> None:
    assert the_problem(wearer, FootGiven()).startswith(path)


@pytest.mark.parametrize(
    ("sex", "people"),
    [
        (Sex.WOMAN, "1,986 women's feet"),
        (Sex.MAN, "4,082 men's feet"),
        (Sex.EITHER, "6,068 women's and men's feet"),
    ],
)
def test_an_estimate_names_its_survey(sex: Sex, people: str) -> None:
    """The numbers of people are those of ANSUR II's public files, NATICK/TR-15/007."""
    foot = estimate_foot(WearerGiven("station doctor", sex), FootGiven(length_mm=255.0))
    assert foot.calf_girth.note == f"estimated from foot length, by a survey of {people} (ANSUR II)"


@pytest.mark.parametrize(
    ("sex", "want"),
    [
        (Sex.WOMAN, ", for want of a survey of women's"),
        (Sex.MAN, ""),
        (Sex.EITHER, ", for want of a survey of women's"),
    ],
)
def test_the_instep_girth_names_its_own_survey(sex: Sex, want: str) -> None:
    foot = estimate_foot(WearerGiven("station doctor", sex), FootGiven(length_mm=255.0))
    men = "estimated from ball girth and foot length of 57 men (USAF survey 1967)"
    assert foot.measures()["instep_girth"].note == men + want
    assert not any("57 men" in note for note in foot.notes)


def test_a_short_foot_of_a_grown_wearer_has_to_be_measured_throughout() -> None:
    grown = replace(HANDLER, age_years=34.0)
    assert the_problem(grown, FootGiven(length_mm=190.0)).startswith("foot.length: ")
    whole = estimate_foot(grown, replace(WHOLE, length_mm=190.0))
    assert whole.length.estimate.value == 190.0


def test_pooled_tables_say_so() -> None:
    foot = estimate_foot(WearerGiven("station doctor"), FootGiven(length_mm=255.0))
    assert any("both" in note for note in foot.notes)
    assert not any("both" in note for note in estimate_foot(HANDLER, WHOLE).notes)


def test_a_slip_of_the_tape_is_noticed() -> None:
    slipped = estimate_foot(HANDLER, replace(WHOLE, ball_girth_mm=320.0))
    assert any(note.startswith("ball girth 320 mm (12.6 in) is unusual") for note in slipped.notes)


def test_a_foot_names_its_measures_in_order() -> None:
    assert tuple(estimate_foot(HANDLER, WHOLE).measures()) == MEASURES


def test_a_measure_as_data() -> None:
    assert estimate_foot(HANDLER, WHOLE).length.as_data() == {
        "value": 248.0,
        "sd": 2.0,
        "unit": "mm",
        "source": "measured",
        "note": "",
    }


def feet(**right: float) -> tuple[Foot, Foot]:
    """The handler's two feet, the right one with other measures."""
    return estimate_foot(HANDLER, WHOLE), estimate_foot(HANDLER, replace(WHOLE, **right))


def test_feet_given_as_one_are_served_by_one_sock() -> None:
    word = compare_feet(*feet(), course_mm=2.5)
    assert word.one_sock_serves_both
    assert "same measures" in word.reason


@pytest.mark.parametrize(
    ("right", "course_mm", "alike"),
    [
        ({"length_mm": 252.0}, 2.5, True),
        ({"length_mm": 252.5}, 2.0, False),
        ({"length_mm": 253.0}, 2.5, True),  # two rounds
        ({"length_mm": 243.0}, 2.5, True),
        ({"length_mm": 253.5}, 2.5, False),
        ({"ball_girth_mm": 226.0}, 2.5, True),
        ({"ball_girth_mm": 225.0}, 2.5, False),
        ({"calf_girth_mm": 390.0}, 2.5, True),
    ],
)
def test_feet_are_alike_within_4_mm_or_two_rounds(
    right: dict[str, float], course_mm: float, alike: bool
) -> None:
    assert compare_feet(*feet(**right), course_mm=course_mm).one_sock_serves_both is alike


def test_unlike_feet_are_named() -> None:
    word = compare_feet(*feet(length_mm=256.0, ball_girth_mm=220.0), course_mm=2.5)
    assert not word.one_sock_serves_both
    assert "the right foot is 8 mm (0.3 in) longer" in word.reason
    assert "the left foot is 10 mm (0.4 in) fuller round the ball" in word.reason
    assert "by chance" not in word.reason


def test_like_feet_are_compared_in_mm_and_inches() -> None:
    word = compare_feet(*feet(length_mm=251.0, ball_girth_mm=228.0), course_mm=2.5)
    assert word.one_sock_serves_both
    assert "3 mm (0.1 in) in length and 2 mm (0.1 in) round the ball" in word.reason


def test_a_difference_that_may_be_chance_says_so() -> None:
    word = compare_feet(*feet(length_mm=253.5), course_mm=2.5)
    assert not word.one_sock_serves_both
    assert "by chance" in word.reason
