"""Laws of quantities that hold for any text and any number."""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from sockwright.errors import QuantityError
from sockwright.estimates import Estimate
from sockwright.facts import table
from sockwright.i18n.printable import unprintable
from sockwright.quantities import (
    format_length,
    format_pm,
    number_in,
    parse_fineness_tex,
    parse_length_mm,
    parse_mass_g,
    parse_share,
    parse_weight_kg,
)

PARSERS: list[Callable[[object], float]] = [
    parse_length_mm,
    parse_mass_g,
    parse_weight_kg,
    parse_share,
    parse_fineness_tex,
]
SIGNS = "0123456789 .,/-+%'\"×x½¼⅓″”–—=~≈:()²٣５\u00a0\u200b\u2044\x00\n"
WORDS = ["cm", "mm", "in", "ft", "yd", "m", "g", "kg", "oz", "lb", "st", "tex", "dtex", "Nm", "Ne"]
WORDS += ["NeK", "Nek", "NeL", "den", "per", "ca.", "nan", "inf", "1e9", "9" * 30, "2/24", "10 1/4"]
near_misses = st.lists(st.sampled_from([*SIGNS, *WORDS]), max_size=8).map("".join)
any_text = st.one_of(st.text(), st.text(alphabet=SIGNS), near_misses)
anything = st.one_of(any_text, st.integers(), st.floats(), st.booleans(), st.none())
lengths_mm = st.integers(1, 200_000).map(lambda tenths: tenths / 10)


def read(parse: Callable[[object], float], text: object) -> float | QuantityError:
    """What a parser makes of `text`; any other error is a failure."""
    try:
        return parse(text)
    except QuantityError as error:
        return error


@pytest.mark.parametrize("parse", PARSERS, ids=lambda parse: parse.__name__)
@given(text=anything)
@example(text="9" * 5000 + " cm")
@example(text="1/" + "9" * 60 + " in")
@example(text=10**5000)
@example(text="⅟ in")
@example(text="Nm 1/" + "0" * 40)
@example(text="1.x")
@example(text=[])
def test_anything_is_read_or_refused_in_words(
    parse: Callable[[object], float], text: object
) -> None:
    outcome = read(parse, text)
    if isinstance(outcome, QuantityError):
        assert outcome.wrong
        assert outcome.right
        assert len(str(outcome)) < 400
        assert not unprintable(str(outcome))
    else:
        assert isinstance(outcome, float)
        assert isfinite(outcome)
        assert outcome >= 0


@given(mm=lengths_mm, units=st.sampled_from(["cm", "mm", "in"]))
def test_what_is_printed_reads_back(mm: float, units: str) -> None:
    assert parse_length_mm(format_length(mm, units, digits=6)) == pytest.approx(mm, abs=1e-4)


@given(mm=lengths_mm, units=st.sampled_from(["cm", "mm", "in"]))
def test_printing_rounds_by_no_more_than_it_says(mm: float, units: str) -> None:
    half_step = {"cm": 0.5, "mm": 0.5, "in": 0.025 * 25.4}[units]
    assert abs(parse_length_mm(format_length(mm, units)) - mm) <= half_step + 1e-6


@given(mm=lengths_mm, sd=st.floats(0.01, 50.0), units=st.sampled_from(["cm", "mm", "in"]))
def test_a_deviation_is_never_printed_as_zero(mm: float, sd: float, units: str) -> None:
    printed = str(format_pm(Estimate(mm, sd, "mm"), units)).split(" ± ")[1]
    assert parse_length_mm(printed) == pytest.approx(sd, rel=0.5)


@given(cm=st.integers(0, 9999), tenths=st.integers(0, 99))
def test_a_decimal_comma_is_a_decimal_point(cm: int, tenths: int) -> None:
    point, comma = f"{cm}.{tenths:02} cm", f"{cm},{tenths:02} cm"
    assert parse_length_mm(comma) == parse_length_mm(point)


@given(whole=st.integers(0, 200), eighths=st.integers(1, 7))
def test_mixed_numbers_are_their_decimals(whole: int, eighths: int) -> None:
    decimal = parse_length_mm(f"{whole + eighths / 8} in")
    assert parse_length_mm(f"{whole} {eighths}/8 in") == decimal
    assert parse_length_mm(f"{whole}{'⅛¼⅜½⅝¾⅞'[eighths - 1]}″") == decimal


@given(feet=st.integers(1, 50), inches=st.integers(0, 11))
def test_feet_and_inches_add(feet: int, inches: int) -> None:
    both = parse_length_mm(f"{feet} ft {inches} in")
    assert both == pytest.approx(parse_length_mm(f"{12 * feet + inches} in"))


@given(whole=st.integers(1, 999), digits=st.integers(0, 999))
def test_a_comma_before_three_digits_is_never_guessed_at(whole: int, digits: int) -> None:
    with pytest.raises(QuantityError, match="thousands"):
        parse_length_mm(f"{whole},{digits:03} mm")


@given(per_cent=st.integers(0, 100))
def test_shares_agree_however_they_are_written(per_cent: int) -> None:
    share = parse_share(per_cent / 100)
    assert parse_share(f"{per_cent} %") == pytest.approx(share)
    assert parse_share(f"{per_cent / 100}") == pytest.approx(share)


@given(per_cent=st.integers(2, 100))
def test_a_bare_number_above_one_is_no_share(per_cent: int) -> None:
    with pytest.raises(QuantityError):
        parse_share(per_cent)
    with pytest.raises(QuantityError):
        parse_share(str(per_cent))


@given(grams=st.integers(20, 500), metres=st.integers(200, 2000))
def test_a_ball_band_reads_the_same_both_ways_round(grams: int, metres: int) -> None:
    if not 20 <= 1000 * grams / metres <= 2000:
        return
    tex = parse_fineness_tex(f"{grams} g / {metres} m")
    assert tex == pytest.approx(1000 * grams / metres)
    assert parse_fineness_tex(f"{metres}m/{grams}g") == tex
    assert parse_fineness_tex(f"{grams} g = {metres} m", plies=4) == tex


@given(tex=st.floats(20.5, 1999.0), system=st.sampled_from(list(table("yarn_systems"))))
def test_a_yarn_number_reads_back(tex: float, system: str) -> None:
    words = {
        "tex": "tex",
        "decitex": "dtex",
        "denier": "den",
        "metric_count": "Nm",
        "cotton_count": "Ne",
        "worsted_count": "NeK",
        "linen_count": "NeL",
        "yorkshire_skein_count": "NeS",
    }
    text = f"{words[system]} {number_in(tex, system):.9f}"
    assert parse_fineness_tex(text) == pytest.approx(tex, rel=1e-6)


@given(count=st.integers(13, 60), plies=st.integers(2, 12))
def test_plies_make_a_yarn_coarser_in_every_way_of_saying_it(count: int, plies: int) -> None:
    single = 1000 / count
    if not 20 <= single * plies <= 2000:
        return
    tex = parse_fineness_tex(f"Nm {count}/{plies}")
    assert tex == pytest.approx(plies * single)
    assert parse_fineness_tex(f"{plies}/{count} Nm") == tex
    assert parse_fineness_tex(f"Nm {count}", plies=plies) == tex
    assert parse_fineness_tex(f"{single:.9f} tex x {plies}") == pytest.approx(tex)
