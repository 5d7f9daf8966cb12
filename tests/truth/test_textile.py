"""Yarn numbers, plain fabric and measuring against what outside sources say of them.

Each case of `authorities/textile.toml` names the call below that answers it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sockwright.estimates import Estimate, rectangular_sd
from sockwright.machine import Cylinder
from sockwright.measure.yarn import (
    areal_mass_g_m2,
    blend_density,
    course_mm,
    diameter_mm,
    fibre,
    jam_tightness,
    loop_for_tightness_mm,
    loops_per_cm2,
    munden,
    tightness,
    wale_mm,
    yarn_from,
)
from sockwright.order.model import YarnGiven
from sockwright.quantities import number_in, parse_fineness_tex, parse_length_mm
from sockwright.quantities.yarn_numbers import count_tex

AUTHORITY = Path(__file__).parent / "authorities" / "textile.toml"
CASES = tomllib.loads(AUTHORITY.read_text(encoding="utf-8"))["case"]
STANDINGS = {"published", "derived", "common practice", "from memory"}
METRE_PER_YARD = 0.9144
KG_PER_POUND = 0.45359237


def tex_of(text: str) -> float:
    """Single yarns too fine or too coarse for a sock are numbers all the same."""
    systems = {
        "Ne": "cotton_count",
        "NeK": "worsted_count",
        "NeL": "linen_count",
        "NeS": "yorkshire_skein_count",
        "Nm": "metric_count",
    }
    word, _, number = text.partition(" ")
    if word in systems and number.isdigit():
        return count_tex(float(number), 1, systems[word])
    return parse_fineness_tex(text)


def metres_per_kg(text: str) -> float:
    return 1e6 / tex_of(text)


def yarn_of_rounds(needles: int, rounds: int, loop_mm: float, tex: float) -> Estimate:
    """Mass, g, of so many rounds."""
    yarn = yarn_from(YarnGiven("main", "grey", tex))
    return yarn.mass_of(Estimate(needles * rounds * loop_mm, 0.0, "mm"))


def pitch_mm(needles: int, text: str) -> float:
    pitch = Cylinder(needles, parse_length_mm(text)).pitch_mm
    assert pitch is not None
    return pitch


def diameter_of(tex: float, of: str) -> float:
    return diameter_mm(tex, fibre(of).number)


def relaxed_density(state: str, loop_mm: float) -> float:
    """Loops per cm2 of a loop relaxed so far."""
    return loops_per_cm2(course_mm(loop_mm, munden(state)), wale_mm(loop_mm, munden(state)))


def shrinkage(spacing: Callable[..., float], before: str, after: str) -> float:
    first, last = (spacing(10.0, munden(state)) for state in (before, after))
    return 100.0 * (1.0 - last / first)


CALLS: dict[str, Callable[..., float]] = {
    "tex": tex_of,
    "number_in": lambda text, system: number_in(tex_of(text), system),
    "m_per_kg": metres_per_kg,
    "yd_per_lb": lambda text: metres_per_kg(text) * KG_PER_POUND / METRE_PER_YARD,
    "length_m": lambda text: parse_length_mm(text) / 1000.0,
    "length_yd": lambda text: parse_length_mm(text) / parse_length_mm("1 yd"),
    "diameter_mm": diameter_of,
    "blend_density": lambda **shares: blend_density(tuple(shares.items())).value,
    "loops_per_cm2": relaxed_density,
    "courses_per_cm": lambda state, loop_mm: 10.0 / course_mm(loop_mm, munden(state)),
    "wales_per_cm": lambda state, loop_mm: 10.0 / wale_mm(loop_mm, munden(state)),
    "girth_cm": lambda state, loop_mm, needles: needles * wale_mm(loop_mm, munden(state)) / 10.0,
    "courses_cm": lambda state, loop_mm, courses: (
        courses * course_mm(loop_mm, munden(state)) / 10.0
    ),
    "areal_mass": lambda per_cm2, loop_mm, tex: areal_mass_g_m2(per_cm2, loop_mm, tex),
    "areal_mass_inches": lambda cpi, wpi, loop_mm, text: areal_mass_g_m2(
        cpi * wpi / 2.54**2, loop_mm, tex_of(text)
    ),
    "tightness": tightness,
    "loop_for_tightness_mm": loop_for_tightness_mm,
    "jam_tightness": jam_tightness,
    "rounds_g": lambda **rounds: yarn_of_rounds(**rounds).value,
    "pitch_mm": pitch_mm,
    "needles_per_inch": lambda needles, text: parse_length_mm("1 in") / pitch_mm(needles, text),
    "shrinkage_length": lambda before, after: shrinkage(course_mm, before, after),
    "shrinkage_width": lambda before, after: shrinkage(wale_mm, before, after),
    "rectangular_sd": rectangular_sd,
    "loop_from_wales": lambda state, wales, text: (
        parse_length_mm(text) / wales / wale_mm(1.0, munden(state))
    ),
    "loop_from_courses": lambda state, courses, text: (
        parse_length_mm(text) / courses / course_mm(1.0, munden(state))
    ),
}


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['quantity']} [{case['standing']}]")
def test_textile_case(case: dict[str, Any]) -> None:
    got = CALLS[case["call"]](**case["inputs"])
    assert got == pytest.approx(case["expected"], abs=case["tolerance"]), case["source"]


def test_every_case_has_its_source_and_standing() -> None:
    assert len(CASES) >= 60
    for case in CASES:
        assert case["source"], case["quantity"]
        assert case["standing"] in STANDINGS, case["quantity"]
        assert case["tolerance"] < 0.06 * case["expected"], case["quantity"]
