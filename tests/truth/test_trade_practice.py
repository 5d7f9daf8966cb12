"""Habits of the trade (common practice, no printed source) against what the program says.

The feet are the means of ANSUR II (Gordon et al., 2014, NATICK/TR-15/007); the yarn and the
cylinders are makers' own words, kept in authorities/trade.toml.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pint
import pytest

from sockwright.facts import fact
from sockwright.machine import Cylinder, DialKind, Machine, Turning
from sockwright.measure.foot import estimate_foot
from sockwright.measure.gauge import estimate_gauge
from sockwright.measure.yarn import yarn_from
from sockwright.order.model import (
    Drape,
    FootGiven,
    Remainder,
    RibEnd,
    Sex,
    SockGiven,
    WearerGiven,
    YarnGiven,
)
from sockwright.quantities import parse_fineness_tex
from sockwright.sock.fit import fit_cylinder
from sockwright.sock.rib import can_make

SAID: dict[str, Any] = tomllib.loads(
    (Path(__file__).parent / "authorities" / "trade.toml").read_text(encoding="utf-8")
)
MEAN_LENGTH_MM = {"woman": 246.29, "man": 271.18}


def test_the_main_weight_is_just_under_two_pounds() -> None:
    """Common practice."""
    weight = fact("trade", "main_weight")
    assert weight.standing == SAID["main_weight"]["standing"]
    kilograms = pint.UnitRegistry().Quantity(SAID["main_weight"]["pounds"], "lb").m_as("kg")
    assert 0.9 * kilograms < weight.number < kilograms


def test_the_staple_rib_goes_down_the_instep() -> None:
    """Common practice."""
    said = SAID["instep_rib"]
    cylinder = Cylinder(said["needles"], 110.0, DialKind.HALF)
    assert can_make(tuple(said["rib"]), cylinder, RibEnd.INSTEP, Remainder.REFUSE)


@pytest.mark.parametrize("case", SAID["cylinder"], ids=lambda case: case["says"])
def test_the_usual_cylinder_suits_the_mean_foot(case: dict[str, Any]) -> None:
    """Common practice: with the usual yarn and no swatch the cylinder makers take is not refused,
    and its tube is smaller than the mean foot, by no more than a rib's 25 %."""
    yarn = yarn_from(YarnGiven("main", "sock yarn", parse_fineness_tex(SAID["yarn"]["label"])))
    cylinder = Cylinder(case["needles"], 110.0)
    machine = Machine("usual", Turning.CARRIER, (cylinder,))
    gauge = estimate_gauge((), yarn, machine, case["needles"], Drape.MIDDLE)
    given = FootGiven(length_mm=MEAN_LENGTH_MM[case["sex"]])
    wearer = WearerGiven("mean", Sex(case["sex"]), left=given, right=given)
    foot = estimate_foot(wearer, given)
    fit = fit_cylinder(cylinder, gauge, foot, SockGiven())
    assert fit.fits
    assert 0.0 < fit.girth_ease.value < 0.25
