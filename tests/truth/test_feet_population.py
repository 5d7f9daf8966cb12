"""The tables of feet against the regressions and the records of the surveys they come from."""

import json
from typing import Any

import numpy as np
import pytest

from foot_sources import RECORDS, authority, least_squares, records, rows
from sockwright.estimates import Estimate
from sockwright.measure.children import fits
from sockwright.measure.foot import estimate_foot
from sockwright.measure.population import adult_feet
from sockwright.order.model import FootGiven, Sex, WearerGiven

COLUMNS = {
    "length": "footlength",
    "ball_length": "balloffootlength",
    "ball_girth": "balloffootcircumference",
    "foot_breadth": "footbreadthhorizontal",
    "heel_breadth": "heelbreadth",
    "ankle_girth": "anklecircumference",
    "heel_girth": "heelanklecircumference",
    "calf_girth": "calfcircumference",
    "ankle_bone_height": "lateralmalleolusheight",
    "stature": "stature",
}
LETTER = {Sex.MAN: "M", Sex.WOMAN: "F"}
FAR = 4.0  # sds: one honest comparison in sixteen thousand lies further out


def half(sex: Sex) -> dict[str, np.ndarray]:
    """Our names of the columns of the half of ANSUR II at hand, for one sex."""
    table = records("ansur_feet_half")
    mine = table["sex"] == LETTER[sex]
    return {name: table[column][mine] for name, column in COLUMNS.items()}


def exactly(known: dict[str, float]) -> dict[str, Estimate]:
    """Readings with no measuring error."""
    return {name: Estimate(value, 0.0, "mm") for name, value in known.items()}


@pytest.mark.parametrize(
    ("sex", "theirs"), [(Sex.MAN, "Male"), (Sex.WOMAN, "Female"), (Sex.EITHER, "Pooled")]
)
def test_the_shipped_means_and_covariances_are_those_of_all_records(sex: Sex, theirs: str) -> None:
    path = RECORDS / "ansur_mean_cov.json"
    if not path.exists():
        pytest.skip(f"{path.name} lies beside the project, not in it, and is not here")
    whole = json.loads(path.read_text(encoding="utf-8"))[theirs]
    survey = adult_feet(sex)
    names = COLUMNS | {"weight": "weightkg"}
    assert set(survey.columns) == {*names, "instep_girth"}  # that one is of another survey
    ours = [survey.columns.index(name) for name in names]
    at = [whole["cols"].index(column) for column in names.values()]
    np.testing.assert_allclose(survey.mean[ours], np.array(whole["mean"])[at], rtol=0, atol=1e-6)
    cov = np.array(whole["cov"])[np.ix_(at, at)]
    np.testing.assert_allclose(survey.cov[np.ix_(ours, ours)], cov, rtol=0, atol=1e-6)


@pytest.mark.parametrize("fit", authority("feet_regressions")["fits"], ids=str)
def test_conditioning_is_the_least_squares_of_the_records(fit: dict[str, Any]) -> None:
    survey = adult_feet(Sex(fit["sex"]))
    at = dict.fromkeys(fit["slopes"], 250.0)
    here = survey.predict(exactly(at))[fit["of"]]
    for name, slope in fit["slopes"].items():
        there = survey.predict(exactly(at | {name: 251.0}))[fit["of"]]
        assert there.value - here.value == pytest.approx(slope, abs=2e-5)
    printed = fit["intercept"] + sum(250.0 * slope for slope in fit["slopes"].values())
    assert here.value == pytest.approx(printed, abs=0.01)
    # The covariances count n - 1, a residual sd n - 1 less the predictors.
    freedom = (survey.people - 1) / (survey.people - 1 - len(fit["slopes"]))
    assert here.sd * np.sqrt(freedom) == pytest.approx(fit["sd"], abs=0.0051)


@pytest.mark.parametrize("sex", LETTER)
def test_a_random_half_of_the_records_has_these_means_and_sds(sex: Sex) -> None:
    survey = adult_feet(sex).predict({})
    for name, values in half(sex).items():
        count = len(values)
        drawn = np.sqrt(1.0 - count / adult_feet(sex).people)  # from a finite survey
        error = survey[name].sd / np.sqrt(count) * drawn
        assert abs(values.mean() - survey[name].value) < FAR * error, name
        assert values.std(ddof=1) == pytest.approx(survey[name].sd, rel=FAR / np.sqrt(2 * count))


@pytest.mark.parametrize("sex", LETTER)
def test_a_random_half_of_the_records_has_these_correlations(sex: Sex) -> None:
    survey, values = adult_feet(sex), half(sex)
    at = [survey.columns.index(name) for name in values]
    sds = np.sqrt(np.diag(survey.cov))
    ours = (survey.cov / np.outer(sds, sds))[np.ix_(at, at)]
    theirs = np.corrcoef(np.array(list(values.values())))
    upper = np.triu_indices(len(at), 1)
    apart = np.arctanh(ours[upper]) - np.arctanh(theirs[upper])  # Fisher's z, sd 1 / sqrt(n - 3)
    assert np.abs(apart).max() < FAR / np.sqrt(len(values["length"]) - 3)


@pytest.mark.parametrize(("row", "block"), rows("half"))
def test_percentiles_of_a_random_half(row: dict[str, Any], block: dict[str, Any]) -> None:
    values = half(Sex(row["sex"]))[row["of"]]
    likely = adult_feet(Sex(row["sex"])).predict({})[row["of"]]
    for share, key in ((5, "p5"), (50, "p50"), (95, "p95")):
        # The records are whole mm; a normal's percentile is further out than theirs by 2 mm here.
        assert np.percentile(values, share) == pytest.approx(row[key], abs=1.5)
        normal = likely.value + {5: -1.645, 50: 0.0, 95: 1.645}[share] * likely.sd
        assert normal == pytest.approx(row[key], abs=2.0)


@pytest.mark.parametrize(("row", "block"), rows("mean_ratio"))
def test_the_heel_over_the_ball(row: dict[str, Any], block: dict[str, Any]) -> None:
    values = half(Sex(row["sex"]))
    ratio = values[row["of"]] / values[row["per"]]
    error = row["sd"] / np.sqrt(len(ratio))
    assert ratio.mean() == pytest.approx(row["mean"], abs=FAR * error)
    foot = estimate_foot(
        WearerGiven("station doctor", Sex(row["sex"])),
        FootGiven(length_mm=float(values["length"].mean())),
    ).measures()
    found = foot[row["of"]].estimate.value / foot[row["per"]].estimate.value
    assert found == pytest.approx(row["mean"], abs=0.003)


@pytest.mark.parametrize("sex", LETTER)
@pytest.mark.parametrize(
    "given", [("length",), ("length", "ball_girth"), ("length", "ankle_girth", "stature")], ids=str
)
def test_95_of_100_adults_lie_in_the_95_percent_interval(sex: Sex, given: tuple[str, ...]) -> None:
    survey, values = adult_feet(sex), half(sex)
    known = [
        exactly({name: float(values[name][at]) for name in given})
        for at in range(len(values["length"]))
    ]
    predicted = [survey.predict(one) for one in known]
    for name in ("ball_girth", "heel_girth", "ankle_girth", "calf_girth", "heel_breadth"):
        if name not in given:
            z = [
                (values[name][at] - one[name].value) / one[name].sd
                for at, one in enumerate(predicted)
            ]
            assert np.mean(np.abs(z) < 1.96) == pytest.approx(0.95, abs=0.015), name


@pytest.mark.parametrize("sex", LETTER)
def test_a_whole_foot_from_its_length_and_ball_girth(sex: Sex) -> None:
    values = half(sex)
    wearer = WearerGiven("avalanche forecaster", sex)
    z: dict[str, list[float]] = {"heel_girth": [], "ankle_girth": [], "calf_girth": []}
    for at in range(0, len(values["length"]), 5):
        given = FootGiven(
            length_mm=float(values["length"][at]), ball_girth_mm=float(values["ball_girth"][at])
        )
        foot = estimate_foot(wearer, given).measures()
        for name in z:
            found = foot[name].estimate
            z[name].append((values[name][at] - found.value) / found.sd)
    for name, scores in z.items():
        # Surveyors' readings are better than a tape at home, so a little more may lie within.
        assert 0.92 < np.mean(np.abs(scores) < 1.96) < 0.98, name
        assert abs(np.mean(scores)) < 0.15, name


def test_the_instep_fit_is_that_of_the_57_flyers() -> None:
    flyers = records("usaf1967_feet_57")
    coefficients, sd, _ = least_squares(flyers["instepG"], flyers["L"], flyers["ball"])
    survey = adult_feet(Sex.MAN)
    for length, ball in ((250.0, 230.0), (270.0, 250.0), (290.0, 280.0)):
        ours = survey.predict(exactly({"length": length, "ball_girth": ball}))["instep_girth"]
        theirs = coefficients @ [1.0, length, ball]
        assert ours.value == pytest.approx(theirs, abs=0.05)
        assert ours.sd == pytest.approx(sd, abs=0.01)


def children() -> dict[str, np.ndarray]:
    """The half of the children's records at hand, under our names."""
    table = records("children_feet_half")
    names = {
        "foot_length_mm": "length",
        "foot_breadth_mm": "foot_breadth",
        "ankle_girth_mm": "ankle_girth",
        "calf_girth_mm": "calf_girth",
        "sphyrion_height_mm": "ankle_bone_height",
        "stature_mm": "stature",
        "weight_kg": "weight",
        "age_years": "age",
    }
    return {ours: table[theirs] for theirs, ours in names.items()} | {"sex": table["sex"]}


@pytest.mark.parametrize(
    "fit",
    [
        fit
        for age in (5, 15)
        for name in ("length", "foot_breadth", "ankle_girth", "calf_girth", "ankle_bone_height")
        for fit in fits(age, name)
    ],
    ids=lambda fit: f"{fit.of} from {list(fit.slopes)} at {fit.ages}",
)
def test_the_childrens_fits_are_those_of_a_random_half(fit: Any) -> None:
    table = children()
    used = np.logical_and.reduce(
        [table["age"] >= fit.ages[0], table["age"] < fit.ages[1]]
        + [table[name] > 0 for name in (fit.of, *fit.slopes)]
    )
    xs = [table[name][used] for name in fit.slopes]
    coefficients, sd, errors = least_squares(table[fit.of][used], *xs)
    for ours, theirs, error in zip(fit.slopes.values(), coefficients[1:], errors[1:], strict=True):
        assert abs(ours - theirs) < FAR * error
    assert fit.sd == pytest.approx(sd, rel=0.15)
    centre = [float(x.mean()) for x in xs]
    ours = fit.intercept + sum(b * x for b, x in zip(fit.slopes.values(), centre, strict=True))
    assert abs(ours - table[fit.of][used].mean()) < FAR * sd / np.sqrt(used.sum())


@pytest.mark.parametrize("weighed", [False, True])
def test_95_of_100_children_lie_in_the_95_percent_interval(weighed: bool) -> None:
    table = children()
    z: dict[str, list[float]] = {"foot_breadth": [], "ankle_girth": [], "calf_girth": []}
    for at in np.flatnonzero((table["age"] < 18) & (table["length"] > 0) & (table["weight"] > 0)):
        wearer = WearerGiven(
            "cook's small son",
            age_years=float(table["age"][at]),
            weight_kg=float(table["weight"][at]) if weighed else None,
        )
        foot = estimate_foot(wearer, FootGiven(length_mm=float(table["length"][at]))).measures()
        for name in z:
            found = foot[name].estimate
            if table[name][at] > 0:
                z[name].append((table[name][at] - found.value) / found.sd)
    for name, scores in z.items():
        assert 0.92 < np.mean(np.abs(scores) < 1.96) < 0.98, name


def test_childrens_feet_by_age_and_sex() -> None:
    table = children()
    z = []
    for at in np.flatnonzero((table["age"] < 18) & (table["length"] > 0)):
        sex = Sex.MAN if table["sex"][at] == "M" else Sex.WOMAN
        wearer = WearerGiven("cook's small son", sex, age_years=float(table["age"][at]))
        found = estimate_foot(wearer, FootGiven()).length.estimate
        z.append((table["length"][at] - found.value) / found.sd)
    assert 0.93 < np.mean(np.abs(z) < 1.96) < 0.97
    assert abs(np.mean(z)) < 0.1
