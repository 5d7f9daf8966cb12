"""What people write for a length, a mass, a share and a yarn, and what they read back."""

from __future__ import annotations

import pytest

from sockwright.errors import QuantityError
from sockwright.estimates import Estimate
from sockwright.quantities import (
    format_length,
    format_mass,
    format_metres,
    format_pm,
    parse_fineness_tex,
    parse_length_mm,
    parse_mass_g,
    parse_share,
    parse_weight_kg,
)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("25.4 cm", 254.0),
        ("25,4 cm", 254.0),
        ("2,5cm", 25.0),
        ("254 mm", 254.0),
        ("2.45 dm", 245.0),
        ("2,45 decimetres", 245.0),
        ("1 m 2 dm", 1200.0),
        ("0.254 m", 254.0),
        ("0,254 m", 254.0),
        ("10 1/4 in", 260.35),
        ("10 ¼ inches", 260.35),
        ("10-1/4 in.", 260.35),
        ("10 1\u20444 in", 260.35),
        ('9.5"', 241.3),
        ("9½ in", 241.3),
        ("9½″", 241.3),
        ("9½”", 241.3),
        ("½ in", 12.7),
        (".5 in", 12.7),
        ('4 1/2"', 114.3),
        ("1 ft 2 in", 355.6),
        ("5' 8\"", 1727.2),
        ("5\u2019 8\u2019\u2019", 1727.2),
        ("4 yd", 3657.6),
        ("1 yd, 4 in", 1016.0),
        ("25.4\u00a0cm", 254.0),
        ("25.4\u202fcm", 254.0),
        ("  +25  CM ", 250.0),
        ("0 cm", 0.0),
    ],
)
def test_lengths_read(text: str, mm: float) -> None:
    assert parse_length_mm(text) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("25", "no unit; write a length with its unit: cm, mm or in"),
        (25, "no unit"),
        (25.4, "no unit"),
        (True, "no unit"),
        ("-3 cm", "negative"),
        ("−3 cm", "negative"),
        ("nan cm", "not a number with its unit"),
        ("inf cm", "not a number with its unit"),
        ("1,234 mm", 'thousands or a decimal; write "1234" or "1.234"'),
        ("1,234.5 mm", "not a number"),
        ("1 234 mm", "not a number"),
        ("1 ft 14 in", "do not follow from each other"),
        ("3 in 1 ft", "do not follow from each other"),
        ("5 ft 8", "not a number with its unit"),
        ("25 g", "is not a known unit"),
        ("25 furlongs", '"furlongs" in "25 furlongs" is not a known unit'),
        ("1/0 in", "divides by zero"),
        ("2² cm", "not a number"),
        ("1e3 mm", "not a known unit"),
        ("", "nothing is given"),
        (" \n", "nothing is given"),
        ("9" * 100 + " mm", "too long"),
    ],
)
def test_lengths_refused(text: object, words: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_length_mm(text)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("100 g", 100.0),
        ("100g", 100.0),
        ("3.5 oz", 99.22333),
        ("0.1 kg", 100.0),
        ("1/2 lb", 226.796185),
        ("1 lb 4 oz", 566.99046),
    ],
)
def test_masses_read(text: str, grams: float) -> None:
    assert parse_mass_g(text) == pytest.approx(grams, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "kg"),
    [("72 kg", 72.0), ("158 lb", 71.66759), ("11 st 4 lb", 71.66759), ("11st 4lb", 71.66759)],
)
def test_weights_read(text: str, kg: float) -> None:
    assert parse_weight_kg(text) == pytest.approx(kg, abs=1e-4)


@pytest.mark.parametrize("text", ["11 st 14 lb", "11 st 4", "72", "72 cm", None])
def test_weights_refused(text: object) -> None:
    with pytest.raises(QuantityError, match='such as "72 kg" or "11 st 4 lb"'):
        parse_weight_kg(text)


@pytest.mark.parametrize("given", ["10 %", "10%", "10 per cent", "0.1", "0,1", "1/10", 0.1])
def test_ten_per_cent(given: object) -> None:
    assert parse_share(given) == pytest.approx(0.10)


@pytest.mark.parametrize("given", [10, "10", "150 %", -0.1, "-5 %", float("nan"), True, None, "%"])
def test_shares_refused(given: object) -> None:
    with pytest.raises(QuantityError, match=r'such as "10 %" or 0\.10'):
        parse_share(given)


@pytest.mark.parametrize(
    ("text", "tex"),
    [
        ("250 tex", 250.0),
        ("250tex", 250.0),
        ("tex 250", 250.0),
        ("2500 dtex", 250.0),
        ("2250 den", 250.0),
        ("2250 denier", 250.0),
        ("2140D", 237.778),
        ("2140 D", 237.778),
        ("2140 den", 237.778),
        ("D 2140", 237.778),
        ("R 238 tex", 238.0),
        ("R238tex", 238.0),
        ("R 238 tex/4", 238.0),
        ("R 2380 dtex / 4", 238.0),
        ("12.5 tex x 2", 25.0),
        ("12,5 tex × 2", 25.0),
        ("Nm 4", 250.0),
        ("Nm: 4,0", 250.0),
        ("4 Nm", 250.0),
        ("Nm 30/2", 66.667),
        ("2/8 Nm", 250.0),
        ("NeK 2/24", 73.818),
        ("2/24 NeK", 73.818),
        ("24/2 NeK", 73.818),
        ("Ne 20/2", 59.054),
        ("NeC 3/2", 393.694),
        ("NeL 8", 206.689),
        ("100 g / 420 m", 238.095),
        ("100 g = ca. 420 m", 238.095),
        ("100 g, 420 m", 238.095),
        ("100 g = 459 yd", 238.260),
        ("50g/200m", 250.0),
        ("420 m per 100 g", 238.095),
        ("400 yd per 100 g", 273.403),
        ("4 oz / 425 yd", 291.797),
        ("1/2 lb / 1000 yd", 248.027),
        ("4000 m/kg", 250.0),
    ],
)
def test_fineness_read(text: str, tex: float) -> None:
    assert parse_fineness_tex(text) == pytest.approx(tex, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Nek 2/24", "840 yd"),
        ("nek 24", "560 yd"),
        ("NEK 24", "560 yd"),
        ("5 tex", "too fine for a sock machine"),
        ("Nm 60", "too fine for a sock machine"),
        ("Nm 0.2", "too coarse for a sock machine"),
        ("100 g / 4 m", "too coarse for a sock machine"),
        ("2/4 Nm", "may be 4 plies of 2 or 2 plies of 4"),
        ("Ne 30/25", "no number of plies"),
        ("Ne 20 x 2", "multiplies a count"),
        ("25 tex/2", "not a yarn number"),
        ("R 0 tex", "zero"),
        ("R 238 tex/13", "number of plies"),
        ("R 238", "not a yarn number"),
        ("R 1,238 tex", "thousands"),
        ("tex 25/2", "divides a number that grows with the yarn"),
        ("Nm 0", "zero"),
        ("100 g / 0 m", "zero"),
        ("100 g / 50 g", "not a mass and a length"),
        ("250", "not a yarn number"),
        (250, "no unit"),
        ("1,700 yd/lb", "thousands"),
        ("Nx 4", "not a known yarn system"),
    ],
)
def test_fineness_refused(text: object, words: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_fineness_tex(text)
    assert words in str(caught.value)


def test_plies_beside_the_number() -> None:
    assert parse_fineness_tex("Nm 30", plies=2) == pytest.approx(66.667, abs=1e-3)
    assert parse_fineness_tex("Nm 30/2", plies=2) == pytest.approx(66.667, abs=1e-3)
    assert parse_fineness_tex("12.5 tex", plies=2) == pytest.approx(25.0)
    assert parse_fineness_tex("100 g / 420 m", plies=4) == pytest.approx(238.095, abs=1e-3)
    assert parse_fineness_tex("R 238 tex", plies=4) == pytest.approx(238.0)
    assert parse_fineness_tex("R 238 tex/4", plies=4) == pytest.approx(238.0)
    with pytest.raises(QuantityError, match="has 4 plies, but 3"):
        parse_fineness_tex("R 238 tex/4", plies=3)
    with pytest.raises(QuantityError, match="has 2 plies, but 3"):
        parse_fineness_tex("Nm 30/2", plies=3)


@pytest.mark.parametrize("plies", [0, -1, 13, 2.5, True, "2"])
def test_plies_refused(plies: object) -> None:
    with pytest.raises(QuantityError, match="number of plies"):
        parse_fineness_tex("Nm 30", plies=plies)  # type: ignore[arg-type]


def test_lengths_printed() -> None:
    assert format_length(246, "cm") == "24.6 cm"
    assert format_length(246, "mm") == "246 mm"
    assert format_length(246, "in") == "9.69 in"
    assert format_length(246, "in", digits=3) == "9.685 in"
    assert format_length(-0.01, "cm") == "0.0 cm"
    with pytest.raises(KeyError):
        format_length(246, "yd")


def test_estimates_printed() -> None:
    assert format_pm(Estimate(246, 3, "mm"), "cm") == "24.6 ± 0.3 cm"
    assert format_pm(Estimate(246, 3, "mm"), "in") == "9.69 ± 0.12 in"
    assert format_pm(Estimate(246, 0.7, "mm"), "cm") == "24.60 ± 0.07 cm"
    assert format_pm(Estimate(246, 0, "mm"), "cm") == "24.6 cm"
    assert format_pm(Estimate(3.24, 0.05, "mm"), "mm") == "3.24 ± 0.05 mm"
    assert format_metres(Estimate(96000, 4000, "mm"), "cm") == "96 ± 4 m"
    assert format_metres(Estimate(96000, 4000, "mm"), "in") == "105 ± 4 yd"
    assert format_mass(Estimate(27.3, 1.2, "g")) == "27 ± 1 g"


def test_an_estimate_in_another_unit_is_not_printed_as_a_length() -> None:
    with pytest.raises(ValueError, match="in g where"):
        format_pm(Estimate(27, 1, "g"), "cm")
    with pytest.raises(ValueError, match="in mm where"):
        format_mass(Estimate(27, 1, "mm"))
