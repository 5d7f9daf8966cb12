"""What holds of any foot, whatever was measured of it."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sockwright.measure.children import is_child
from sockwright.measure.foot import MEASURES, compare_feet, estimate_foot
from sockwright.measure.population import adult_feet, condition
from sockwright.order.model import FootGiven, Load, Sex, ShoeSize, ShoeSystem, WearerGiven

SANE_MM = {
    "length": (100.0, 340.0),
    "ball_girth": (90.0, 350.0),
    "instep_girth": (90.0, 360.0),
    "heel_girth": (120.0, 480.0),
    "ankle_girth": (80.0, 360.0),
    "calf_girth": (90.0, 640.0),
    "foot_breadth": (35.0, 140.0),
    "heel_breadth": (20.0, 110.0),
    "ankle_bone_height": (10.0, 130.0),
}
"""Wider than any foot of 2 years and over, narrower than nonsense."""

sexes = st.sampled_from(Sex)


@st.composite
def readings(draw: st.DrawFn) -> dict[int, tuple[float, float]]:
    """Readings of some columns of the survey, up to three sds from the mean, exact or not."""
    survey = adult_feet(Sex.EITHER)
    at = draw(st.sets(st.integers(0, len(survey.columns) - 1)))
    sds = np.sqrt(np.diag(survey.cov))
    return {
        index: (
            float(survey.mean[index] + draw(st.floats(-3.0, 3.0)) * sds[index]),
            draw(st.sampled_from([0.0, 0.5, 2.5, 10.0])),
        )
        for index in at
    }


@st.composite
def adults(draw: st.DrawFn) -> tuple[WearerGiven, FootGiven]:
    """An adult and some measures of one foot, as people have them together."""
    sex = draw(sexes)
    survey = adult_feet(sex)
    root = np.linalg.cholesky(survey.cov)
    z = [draw(st.floats(-2.0, 2.0)) for _ in survey.columns]
    person = dict(zip(survey.columns, (survey.mean + root @ z * 0.7).tolist(), strict=True))
    wearer = WearerGiven(
        "night dispatcher",
        sex,
        stature_mm=draw(st.sampled_from([None, person["stature"]])),
        weight_kg=draw(st.sampled_from([None, max(40.0, person["weight"])])),
    )
    length_mm = max(person["length"], 205.0)
    if draw(st.booleans()):
        wearer = replace(wearer, shoe=ShoeSize(ShoeSystem.EU, round(0.3 * length_mm + 4) / 2))
    names = draw(st.sets(st.sampled_from(MEASURES)))
    if wearer.shoe is None and wearer.stature_mm is None:
        names |= {"length"}
    measures = {f"{name}_mm": max(person[name], 30.0) for name in names}
    if "length" in names:
        measures["length_mm"] = length_mm
    return wearer, FootGiven(**measures, load=draw(st.sampled_from(Load)))


@st.composite
def children(draw: st.DrawFn) -> tuple[WearerGiven, FootGiven]:
    """A child and some measures of one foot, roughly as its age has them together."""
    age = draw(st.floats(2.0, 17.99))
    length = min(270.0, 130.0 + 10.0 * (age - 2.0)) * draw(st.floats(0.92, 1.08))
    stout = draw(st.floats(0.92, 1.08))
    proportions = {
        "length": 1.0,
        "ball_girth": 0.96 * stout,
        "instep_girth": 1.0 * stout,
        "heel_girth": 1.28 * stout,
        "ankle_girth": 0.88 * stout,
        "calf_girth": 1.32 * stout,
        "foot_breadth": 0.39 * stout,
        "heel_breadth": 0.28 * stout,
        "ankle_bone_height": 0.257,
    }
    names = draw(st.sets(st.sampled_from(MEASURES)))
    wearer = WearerGiven(
        "cook's small son",
        draw(sexes),
        age_years=age,
        stature_mm=draw(st.sampled_from([None, length / 0.155])),
        weight_kg=draw(st.sampled_from([None, 1.3e-5 * (length / 0.155) ** 2 * stout])),
        shoe=draw(st.sampled_from([None, ShoeSize(ShoeSystem.EU_CHILD, round(0.162 * length))])),
    )
    measures = {f"{name}_mm": proportions[name] * length for name in names}
    return wearer, FootGiven(**measures, load=draw(st.sampled_from(Load)))


anyone = st.one_of(adults(), children())


@given(sexes, readings())
def test_a_covariance_stays_positive_semidefinite(
    sex: Sex, known: dict[int, tuple[float, float]]
) -> None:
    survey = adult_feet(sex)
    mean, cov = condition(survey.mean, survey.cov, known)
    assert np.isfinite(mean).all()
    assert (cov == cov.T).all()
    assert np.linalg.eigvalsh(cov).min() > -1e-8


@given(sexes, readings(), st.data())
def test_one_more_reading_never_makes_anything_less_sure(
    sex: Sex, known: dict[int, tuple[float, float]], data: st.DataObject
) -> None:
    survey = adult_feet(sex)
    fewer = dict(known)
    if fewer:
        fewer.pop(data.draw(st.sampled_from(sorted(fewer))))
    before = np.diag(condition(survey.mean, survey.cov, fewer)[1])
    after = np.diag(condition(survey.mean, survey.cov, known)[1])
    assert (after <= before + 1e-8).all()


@given(sexes, readings())
def test_an_exact_reading_is_kept_and_an_inexact_one_drawn_to_the_rest(
    sex: Sex, known: dict[int, tuple[float, float]]
) -> None:
    survey = adult_feet(sex)
    mean, cov = condition(survey.mean, survey.cov, known)
    for index, (reading, sd) in known.items():
        assert np.sqrt(max(cov[index, index], 0.0)) <= sd + 1e-4
        if sd == 0.0:
            assert abs(mean[index] - reading) < 1e-6


@given(anyone)
def test_what_was_measured_stays_as_measured(person: tuple[WearerGiven, FootGiven]) -> None:
    wearer, foot = person
    whole = estimate_foot(wearer, foot).measures()
    for name, measure in whole.items():
        value = foot.mm(name)
        assert measure.source == ("estimated" if value is None else "measured")
        if value is not None:
            assert measure.estimate.value == value


@given(anyone)
def test_any_mixture_of_measures_gives_a_sane_foot(person: tuple[WearerGiven, FootGiven]) -> None:
    for name, measure in estimate_foot(*person).measures().items():
        low, high = SANE_MM[name]
        assert low < measure.estimate.value < high, name
        assert 0.0 < measure.estimate.sd < 45.0, name
        assert measure.estimate.unit == "mm"


@given(anyone, st.data())
def test_one_more_measure_never_makes_a_foot_less_sure(
    person: tuple[WearerGiven, FootGiven], data: st.DataObject
) -> None:
    # Standing: one sitting may be worse than what the rest predicts, and is taken at its word.
    wearer, foot = person[0], replace(person[1], load=Load.STANDING)
    names = [f"{name}_mm" for name, _ in foot.measures_mm]
    told = wearer.shoe is not None or wearer.stature_mm is not None or is_child(wearer)
    if not told:
        names.remove("length_mm")
    if not names:
        return
    fewer = replace(foot, **{data.draw(st.sampled_from(names)): None})
    after = estimate_foot(wearer, foot).measures()
    for name, measure in estimate_foot(wearer, fewer).measures().items():
        now, before = after[name].estimate, measure.estimate
        # What an adult's ratio gives for a child is sure in proportion: more when it is larger.
        larger = max(1.0, now.value / before.value) if is_child(wearer) else 1.0
        assert now.sd <= larger * before.sd + 1e-9, name


@given(anyone)
def test_a_measure_taken_sitting_is_never_surer(person: tuple[WearerGiven, FootGiven]) -> None:
    wearer, foot = person
    standing = estimate_foot(wearer, replace(foot, load=Load.STANDING)).measures()
    sitting = estimate_foot(wearer, replace(foot, load=Load.SITTING)).measures()
    for name in MEASURES:
        assert sitting[name].estimate.sd >= standing[name].estimate.sd - 1e-9


@given(anyone, st.floats(1.0, 5.0), st.floats(-12.0, 12.0))
def test_comparing_feet_does_not_mind_which_comes_first(
    person: tuple[WearerGiven, FootGiven], course_mm: float, longer_mm: float
) -> None:
    wearer, foot = person
    other = replace(foot, length_mm=(foot.length_mm or 230.0) + longer_mm)
    left, right = estimate_foot(wearer, foot), estimate_foot(wearer, other)
    one = compare_feet(left, right, course_mm).one_sock_serves_both
    assert compare_feet(right, left, course_mm).one_sock_serves_both is one
    assert compare_feet(left, left, course_mm).one_sock_serves_both
