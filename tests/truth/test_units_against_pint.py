"""Our units and yarn systems against pint's own registry, and against the exact definitions.

pint comes with its own table of units, compiled by other people (https://pint.readthedocs.io,
`default_en.txt`).
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from pint import DimensionalityError, UnitRegistry

from sockwright.facts import table
from sockwright.quantities import number_in, parse_fineness_tex, parse_length_mm, parse_mass_g
from sockwright.quantities.reading import LENGTH_WORDS, MASS_WORDS, factor
from sockwright.quantities.yarn_numbers import DIRECT_WORDS, INDIRECT_WORDS


@pytest.fixture(scope="module")
def pints() -> UnitRegistry:
    return UnitRegistry()


@pytest.mark.parametrize("name", list(table("units")))
def test_unit_factor(pints: UnitRegistry, name: str) -> None:
    unit = table("units")[name]
    assert unit.value == pytest.approx(pints.Quantity(1, name).m_as(unit.unit), rel=1e-15)


# Signs for feet and inches are no names of units in pint; everything else it must know alike,
# or it is on this list with the reason.
WRITTEN_OTHERWISE = {
    "'": "foot",
    '"': "inch",
    "st": "stone",
    "gr": "gram",  # pint's gr is the grain, 65 mg; on a ball band it is the gram
    "yds": "yard",
    "kgs": "kilogram",
    "kilo": "kilogram",
    "kilos": "kilogram",
    "ozs": "ounce",
    "stones": "stone",
    "gramme": "gram",
    "grammes": "gram",
    "ins": "inch",
    "cms": "centimetre",
}


@pytest.mark.parametrize(
    ("word", "ours"), [*LENGTH_WORDS.items(), *MASS_WORDS.items()], ids=lambda part: part
)
def test_what_may_be_written_means_the_same_to_pint(
    pints: UnitRegistry, word: str, ours: str
) -> None:
    assert pints.Quantity(1, WRITTEN_OTHERWISE.get(word, word)).m_as(ours) == pytest.approx(1)


PINTS_NAMES = {
    "tex": "tex",
    "decitex": "dtex",
    "denier": "denier",
    "metric_count": "number_meter",
    "cotton_count": "number_english",
    "worsted_count": "560 * yard / pound",
    "linen_count": "300 * yard / pound",
    "yorkshire_skein_count": "256 * yard / pound",
}


@pytest.mark.parametrize("system", list(table("yarn_systems")))
@pytest.mark.parametrize("tex", [20.0, 238.1, 2000.0])
def test_yarn_system(pints: UnitRegistry, system: str, tex: float) -> None:
    fineness = pints.Quantity(tex, "tex")
    theirs = pints.parse_expression(PINTS_NAMES[system])
    direct = system in ("tex", "decitex", "denier")
    number = (fineness / theirs if direct else 1 / fineness / theirs).m_as("")
    assert number_in(tex, system) == pytest.approx(number, rel=1e-12)


def test_every_yarn_word_has_a_system_and_every_system_a_word() -> None:
    words = {**DIRECT_WORDS, **INDIRECT_WORDS}
    assert set(words.values()) == set(table("yarn_systems")) == set(PINTS_NAMES)


@pytest.mark.parametrize(
    ("text", "grams", "metres"),
    [
        ("4 oz / 425 yd", "4 oz", "425 yd"),
        ("1/2 lb = 600 yd", "0.5 lb", "600 yd"),
        ("0.1 kg / 0.42 km", "0.1 kg", "0.42 km"),
        ("1000 ft per 3 oz", "3 oz", "1000 ft"),
    ],
)
def test_ball_band(pints: UnitRegistry, text: str, grams: str, metres: str) -> None:
    band = pints.parse_expression(grams) / pints.parse_expression(metres)
    assert parse_fineness_tex(text) == pytest.approx(band.m_as("tex"), rel=1e-9)


def test_the_yard_and_the_pound_are_exact() -> None:
    """1 yd = 0.9144 m and 1 lb = 453.59237 g (international agreement of 1959)."""
    assert Fraction(str(parse_length_mm("1 yd"))) == Fraction("914.4")
    assert Fraction(str(parse_length_mm("3 ft"))) == Fraction("914.4")
    assert Fraction(str(parse_length_mm("36 in"))) == Fraction("914.4")
    assert Fraction(str(parse_mass_g("1 lb"))) == Fraction("453.59237")
    assert Fraction(str(parse_mass_g("16 oz"))) == Fraction("453.59237")


def test_dimensions_do_not_mix() -> None:
    with pytest.raises(ValueError, match="inch"):
        factor("inch", "gram")
    with pytest.raises(ValueError, match="metric_count"):
        factor("metric_count", "tex")


@pytest.mark.parametrize("into", [*table("units"), "millimetre", "gram"])
def test_any_unit_into_any_other(pints: UnitRegistry, into: str) -> None:
    for name in table("units"):
        try:
            expected = pints.Quantity(1, name).m_as(into)
        except DimensionalityError:
            with pytest.raises(ValueError, match="no measure"):
                factor(name, into)
        else:
            assert factor(name, into) == pytest.approx(expected, rel=1e-14)
