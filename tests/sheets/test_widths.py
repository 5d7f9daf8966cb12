"""The widths that drawings reckon with are those that the typesetter sets letters in."""

from __future__ import annotations

import json
from typing import Any

import pytest
import typst

from sockwright.drawing.base.theme import text_width
from sockwright.fonts import BOLD, FAMILIES, REGULAR, WEIGHTS, shipped_letters, widest, widths
from sockwright.i18n import locale_of
from sockwright.sheets.typeset import _fonts
from words_tool import tool

SIZE_MM = 100.0
MEASURE = """
#context [#metadata(json(bytes(sys.inputs.all)).map(one => measure(text(
  font: sys.inputs.family, weight: sys.inputs.weight, size: 100mm, fallback: false,
  kerning: sys.inputs.kerning == "yes", ligatures: false, one)).width.mm())) <widths>]
"""
NAMES = dict(zip(FAMILIES, ("Atkinson Hyperlegible Next", "Noto Sans"), strict=True))


def measured(texts: list[str], family: str, weight: str, *, kerning: bool) -> list[float]:
    """How wide the typesetter sets texts of 100 mm, in mm."""
    inputs = {
        "all": json.dumps(texts),
        "family": NAMES[family],
        "weight": weight.lower(),
        "kerning": "yes" if kerning else "no",
    }
    source: Any = {"main.typ": MEASURE.encode()}
    told = typst.query(
        source, "<widths>", field="value", one=True, font_paths=_fonts(), sys_inputs=inputs
    )
    return [float(width) for width in json.loads(told)]


def words_of_drawings() -> list[str]:
    """What drawings say by themselves, in English, as far as nothing is filled in."""
    every = tool().texts(tool().SOURCE / "drawing")
    found = [one.id for one in every if isinstance(one.id, str) and one.id and "{" not in one.id]
    assert len(found) > 30
    return found


@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("family", FAMILIES)
def test_each_letter_is_as_wide_as_it_is_set(family: str, weight: str) -> None:
    table = widths(f"{family}-{weight}")
    letters = [point for point in table if chr(point).isalnum()]
    found = measured([f"n{chr(one)}n" for one in letters], family, weight, kerning=False)
    expected = [(2 * table[ord("n")] + table[one]) / 10 for one in letters]
    assert found == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("weight", WEIGHTS)
def test_what_drawings_say_is_no_wider_than_they_reckon(weight: str, language: str) -> None:
    """In either family, letters moved together as its designers wished."""
    texts = [locale_of(language).render(text) for text in words_of_drawings()]
    reckoned = [text_width(text, SIZE_MM, bold=weight == BOLD) for text in texts]
    for family in FAMILIES:
        found = measured(texts, family, weight, kerning=True)
        for text, width, most in zip(texts, found, reckoned, strict=True):
            assert 0.85 * most < width < most + 1.0, text


def test_a_letter_in_no_face_has_room_and_a_mark_takes_none() -> None:
    assert "王" not in map(chr, shipped_letters())
    assert text_width("王", 3.0) == 3.0
    assert text_width("e\u0301", 3.0) == text_width("e", 3.0)
    assert widest(REGULAR).keys() == widest(BOLD).keys()
