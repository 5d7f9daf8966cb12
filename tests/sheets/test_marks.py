"""Strip and ring: as long and as wide as the needle circle, with every needle."""

from __future__ import annotations

from functools import cache
from math import ceil, pi

import pytest

from sheets.layout import Page, has_check_bars, pages, text_faults
from sheets.pairs import pair
from sockwright.errors import SockwrightError
from sockwright.sheets import SIZES, Paper
from sockwright.sheets.marks import marks_alone, marks_of_plan

CYLINDERS = [
    (36, 89.0),
    (60, 108.0),
    (61, 108.0),
    (72, 114.3),
    (84, 114.3),
    (100, 114.3),
    (200, 150.0),
]
PAPERS = list(Paper)
marks = cache(marks_alone)


def ring_of(page: Page, diameter_mm: float) -> bool:
    """Whether a circle of this diameter is on the page, to 0.1 mm."""
    return any(
        abs(box.width - diameter_mm) < 0.1 and abs(box.height - diameter_mm) < 0.1
        for box in page.strokes
    )


def strip_ticks(page: Page) -> int:
    """Needle ticks of the strips: upright strokes of the two lengths ticks have."""
    return sum(
        box.width < 0.5 and any(abs(box.height - length) < 0.4 for length in (3.6, 5.2))
        for box in page.strokes
    )


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("needles", "diameter"), CYLINDERS)
def test_strip_and_ring_are_true_to_scale(needles: int, diameter: float, paper: Paper) -> None:
    sheet = pages(marks(needles, diameter, paper))
    assert all(has_check_bars(page) for page in sheet)
    assert ring_of(sheet[-1], diameter)
    strip = sheet[0]
    assert strip_ticks(strip) >= needles
    assert (strip.width, strip.height) == pytest.approx(
        (SIZES[paper].width_mm, SIZES[paper].height_mm), abs=0.05
    )


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("needles", "diameter"), CYLINDERS)
def test_words_stay_apart_inside_the_page(needles: int, diameter: float, paper: Paper) -> None:
    assert text_faults(marks(needles, diameter, paper)) == []


@pytest.mark.parametrize(("needles", "diameter"), CYLINDERS)
def test_pieces_of_the_strip_add_up_to_the_circumference(needles: int, diameter: float) -> None:
    """Frames of the pieces, less the laps of 5 mm, end to end are pi x diameter long."""
    strip = pages(marks(needles, diameter, Paper.A4))[0]
    frames = {
        (round(box.top, 1), round(box.width, 2))
        for box in strip.strokes
        if abs(box.height - 21) < 0.3
    }
    pieces = [width - 5.0 for _, width in frames if width > 20]
    assert len(pieces) == ceil(pi * diameter / (210 - 24 - 5))
    assert sum(pieces) == pytest.approx(pi * diameter, abs=0.1 * len(pieces))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("needles", "diameter"), CYLINDERS[:-1])
def test_usual_cylinders_need_one_page(needles: int, diameter: float, paper: Paper) -> None:
    assert len(pages(marks(needles, diameter, paper))) == 1


def test_every_mark_is_named_with_its_letter() -> None:
    """The home gap of 60 needles lies before needle 1, the other between 30 and 31."""
    text = pages(marks(60, 108.0, Paper.A4))[0].text
    assert "A home mark, before needle 1" in text
    assert "B halfway mark, between 30 and 31" in text


def test_a_cylinder_wider_than_the_page_has_a_strip_and_no_ring() -> None:
    sheet = pages(marks(200, 260.0, Paper.A4))
    assert strip_ticks(sheet[0]) >= 200
    assert "wider than the page" in sheet[-1].text


def test_a_plan_without_a_diameter_says_what_stands_in() -> None:
    plan = pair("winch-operator").first
    assert plan.fit.cylinder.diameter_mm is not None
    assert "no diameter" not in pages(marks_of_plan(plan, Paper.A4))[0].text


@pytest.mark.parametrize(
    ("needles", "diameter", "word"), [(3, 110.0, "needles"), (60, 11.0, "diameter")]
)
def test_no_machine_is_refused(needles: int, diameter: float, word: str) -> None:
    with pytest.raises(SockwrightError, match=word):
        marks_alone(needles, diameter, Paper.A4)
