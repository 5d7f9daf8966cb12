"""Slips that only show when two values of an order are held against each other.

What is plausible is told by hand: a foot of 25 cm is some 23 cm round the ball and 32 cm round the
heel, and washed sock fabric has about 32 wales and 42 courses in 10 cm.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from foot_sources import records
from sockwright.errors import OrderError, Problem
from sockwright.grammar.bounds import limits
from sockwright.order import load_order, parse_order
from sockwright.order.wearer import PROPORTIONED

BASE = """
[yarn.main]
fineness = "100 g / 400 m"
[machine]
turns = "carrier"
cylinders = [60, 72]
"""
FABRIC = 'state = "{}"\nneedles = 60\n'
SOUND_FOOT = '[foot]\nlength = "25.1 cm"\n'


def told(text: str) -> tuple[Problem, ...]:
    """The problems of an order of these tables and a yarn and a machine; none if it is sound."""
    try:
        parse_order(text + BASE)
    except OrderError as error:
        return error.problems
    return ()


def of_foot(measures: str, wearer: str = "") -> tuple[Problem, ...]:
    return told(f"[wearer]\n{wearer}\n[foot]\n{measures}\n")


def of_swatch(readings: str, state: str = "washed") -> tuple[Problem, ...]:
    return told(f"{SOUND_FOOT}[[swatch]]\n{FABRIC.format(state)}{readings}\n")


def test_a_girth_in_inches_called_cm_is_noticed() -> None:
    (problem,) = of_foot('length = "25.1 cm"\nball_girth = "9.2 cm"')
    assert str(problem) == (
        "foot.ball_girth: 9.2 cm is far too small for a foot of 25.1 cm; did you mean 9.2 in?"
    )


@pytest.mark.parametrize(
    ("name", "inches"),
    [
        ("ball_girth", 9.2),
        ("instep_girth", 9.5),
        ("heel_girth", 12.4),
        ("ankle_girth", 8.4),
        ("calf_girth", 14.4),
        ("foot_breadth", 3.7),
        ("heel_breadth", 2.7),
        ("ankle_bone_height", 2.6),
    ],
)
def test_every_measure_in_the_wrong_unit_is_asked_after(name: str, inches: float) -> None:
    """Wherever the slip is caught, by the measure alone or by the length."""
    assert of_foot(f'length = "25.1 cm"\n{name} = "{inches} in"') == ()
    for wrong, right in (
        (f"{inches} cm", f"{inches} in"),
        (f"{inches * 25.4:.0f} in", f"{inches * 25.4:.0f} mm"),
    ):
        (problem,) = of_foot(f'length = "25.1 cm"\n{name} = "{wrong}"')
        assert (problem.path, problem.right) == (f"foot.{name}", f"did you mean {right}?")


def test_cm_turned_into_cm_once_more_are_noticed() -> None:
    (problem,) = of_foot('length = "25.1 cm"\nball_girth = "62 cm"')
    assert (problem.path, problem.right) == ("foot.ball_girth", "did you mean 24.4 cm?")


def test_a_measure_no_slip_explains_is_told_what_goes_with_the_length() -> None:
    (problem,) = of_foot('length = "10 in"\nball_girth = "14.8 in"')
    assert problem.wrong == "14.8 in is far too large for a foot of 10 in"
    assert problem.right == "it should be 6.50 in to 14.00 in: measure both again"


def test_when_nothing_goes_with_the_length_the_length_is_asked_after() -> None:
    child = 'name = "cook\'s small son"\nage = 7'
    measures = 'length = "9.9 cm"\nball_girth = "23 cm"\nheel_girth = "31 cm"'
    (problem,) = of_foot(measures, child)
    assert (problem.path, problem.right) == ("foot.length", "did you mean 9.9 in?")


def test_when_the_length_is_right_each_measure_is_asked_after() -> None:
    measures = 'length = "25.1 cm"\nball_girth = "9.2 cm"\nheel_girth = "12.4 cm"'
    assert [problem.path for problem in of_foot(measures)] == ["foot.ball_girth", "foot.heel_girth"]


def test_a_measure_of_one_foot_is_named_where_it_stands() -> None:
    feet = '[foot]\nlength = "25.1 cm"\n[foot.right]\nlength = "25.4 cm"\nball_girth = "9.2 cm"\n'
    (problem,) = told(feet)
    assert problem.path == "foot.right.ball_girth"
    assert "for a foot of 25.4 cm" in problem.wrong


def test_a_measure_of_both_feet_is_told_of_once() -> None:
    feet = '[foot]\nlength = "25.1 cm"\nball_girth = "9.2 cm"\n[foot.right]\nlength = "25.4 cm"\n'
    (problem,) = told(feet)
    assert problem.path == "foot.ball_girth"


@pytest.mark.parametrize(
    ("name", "table", "column", "length"),
    [
        ("ball_girth", "ansur_feet_half", "balloffootcircumference", "footlength"),
        ("heel_girth", "ansur_feet_half", "heelanklecircumference", "footlength"),
        ("ankle_girth", "ansur_feet_half", "anklecircumference", "footlength"),
        ("calf_girth", "ansur_feet_half", "calfcircumference", "footlength"),
        ("foot_breadth", "ansur_feet_half", "footbreadthhorizontal", "footlength"),
        ("heel_breadth", "ansur_feet_half", "heelbreadth", "footlength"),
        ("ankle_bone_height", "ansur_feet_half", "lateralmalleolusheight", "footlength"),
        ("instep_girth", "usaf1967_feet_57", "instepG", "L"),
        ("foot_breadth", "children_feet_half", "foot_breadth_mm", "foot_length_mm"),
        ("ankle_girth", "children_feet_half", "ankle_girth_mm", "foot_length_mm"),
        ("calf_girth", "children_feet_half", "calf_girth_mm", "foot_length_mm"),
    ],
)
def test_no_foot_of_the_surveys_is_refused(name: str, table: str, column: str, length: str) -> None:
    """And of three people, inches called cm, or cm called inches, are noticed of two at least."""
    people = records(table)
    ratios = people[column] / people[length]
    ratios = ratios[np.isfinite(ratios)]
    within = limits(f"{name}_per_length")
    assert within.least < ratios.min()
    assert ratios.max() < within.most
    assert np.mean(ratios / 2.54 < within.least) > 2 / 3
    assert np.mean(ratios * 2.54 > within.most) > 2 / 3


def test_every_measure_but_the_length_is_held_against_it() -> None:
    for name in PROPORTIONED:
        assert limits(f"{name}_per_length").least < limits(f"{name}_per_length").most


def test_a_length_in_inches_called_cm_is_noticed() -> None:
    (problem,) = of_foot('length = "9.9 cm"\nball_girth = "9.2 in"')
    assert str(problem) == (
        "foot.length: 9.9 cm is shorter than any adult's foot; did you mean 9.9 in? "
        "For a child give wearer.age"
    )


def test_a_short_length_is_named_as_it_was_typed_and_not_less_the_pencil() -> None:
    (problem,) = of_foot('length = "19.5 cm"\ntraced_with = "7 mm"')
    assert problem.wrong.startswith("19.5 cm is shorter")
    assert "wearer.age" in problem.right
    (problem,) = of_foot('length = "20 cm"\ntraced_with = "7 mm"')
    assert problem.wrong.startswith("20 cm less the pencil's 7 mm")


def test_a_short_length_is_a_childs_or_a_grown_wearers_measured_throughout() -> None:
    assert of_foot('length = "16 cm"', "age = 5") == ()
    (problem,) = of_foot('length = "19 cm"', "age = 44")
    assert (problem.path, "19.8 cm" in problem.right) == ("foot.length", True)
    whole = (
        'length = "19 cm"\nball_girth = "19 cm"\ninstep_girth = "20 cm"\nheel_girth = "26 cm"\n'
        'ankle_girth = "18 cm"\ncalf_girth = "28 cm"\nfoot_breadth = "7.6 cm"\n'
        'heel_breadth = "5.4 cm"\nankle_bone_height = "5.2 cm"'
    )
    assert of_foot(whole, "age = 44") == ()


def test_a_wrong_age_is_the_only_thing_told_of_a_short_foot() -> None:
    assert [problem.path for problem in of_foot('length = "16 cm"', "age = -5")] == ["wearer.age"]


def test_swapped_wales_and_courses_are_noticed() -> None:
    (problem,) = of_swatch('wales = ["42 in 10 cm", "41 in 10 cm"]\ncourses = "32 in 10 cm"')
    assert problem.path == "swatch[1].wales"
    assert "more wales than courses" in problem.wrong
    assert problem.right == "have you swapped them?"
    assert of_swatch('wales = "32 in 10 cm"\ncourses = ["42 in 10 cm", "41 in 10 cm"]') == ()


def test_fabric_pulled_on_the_machine_may_have_more_wales_than_courses() -> None:
    assert of_swatch('wales = "42 in 10 cm"\ncourses = "40 in 10 cm"', "on the machine") == ()


@pytest.mark.parametrize(
    ("key", "given", "meant"),
    [
        ("wales", "4.4 in 10 cm", "44 in 10 cm"),
        ("courses", "5.5 in 10 cm", "55 in 10 cm"),
        ("courses", "0.81 per inch", "8.1 per inch"),
        ("wales", "440 in 10 cm", "44 in 10 cm"),
    ],
)
def test_a_count_ten_times_off_is_noticed(key: str, given: str, meant: str) -> None:
    (problem,) = of_swatch(f'{key} = "{given}"')
    assert (problem.path, problem.right) == (f"swatch[1].{key}", f"did you mean {meant}?")


def test_a_count_that_is_off_by_more_is_told_the_range() -> None:
    (problem,) = of_swatch('wales = "2 in 200 cm"')
    assert problem.right.startswith("it should be ")


def test_a_wrong_fineness_is_not_called_a_missing_yarn() -> None:
    swatch = f'[[swatch]]\n{FABRIC.format("washed")}wales = "32 in 10 cm"\n'
    order = f"{SOUND_FOOT}{swatch}{BASE}".replace("100 g / 400 m", "100 grams")
    with pytest.raises(OrderError) as caught:
        parse_order(order)
    assert [problem.path for problem in caught.value.problems] == ["yarn.main.fineness"]


def test_a_yarn_that_is_missing_is_still_named() -> None:
    (problem,) = of_swatch('yarn = "heel"\nwales = "32 in 10 cm"')
    assert problem.path == "swatch[1].yarn"


def test_a_title_names_the_wearer_without_an_article(tmp_path: Path) -> None:
    path = tmp_path / "order.toml"
    path.write_text(f'[wearer]\nname = "night dispatcher"\n{SOUND_FOOT}{BASE}', "utf-8")
    assert load_order(path).title == "Socks for night dispatcher"
