"""The chart sheet: every loop of the sock as a cell, pages that overlap, marks and short rows."""

from __future__ import annotations

import pytest

from sheets.conftest import COUNTS
from sheets.layout import pages, text_faults
from sheets.pairs import NAMES, one_paper_each, printed
from sockwright.plan.make import SockPlan
from sockwright.sheets import SIZES, Paper
from sockwright.sheets.press import chart_sheet


@pytest.mark.parametrize(("name", "paper"), one_paper_each(NAMES))
def test_pages_have_the_papers_size_and_words_stay_apart_inside(name: str, paper: Paper) -> None:
    pdf = printed(chart_sheet, name, paper)
    assert text_faults(pdf) == []
    for page in pages(pdf):
        assert page.width == pytest.approx(SIZES[paper].width_mm, abs=0.05)
        assert page.height == pytest.approx(SIZES[paper].height_mm, abs=0.05)


@pytest.mark.parametrize(("needles", "paper"), one_paper_each(COUNTS))
def test_any_cylinder_fits_the_pages(
    any_plan: dict[int, SockPlan], needles: int, paper: Paper
) -> None:
    assert text_faults(chart_sheet(any_plan[needles], paper)) == []


def test_the_short_rows_are_numbered_in_their_places() -> None:
    text = " ".join(page.text for page in pages(printed(chart_sheet, "winch-operator")))
    for row in ("row 5", "row 20", "row 40", "heel", "toe", "page 1 of"):
        assert row in text


@pytest.mark.parametrize("name", NAMES)
def test_the_index_shares_its_page_with_the_first_of_the_chart(name: str) -> None:
    first = pages(printed(chart_sheet, name))[0].text
    assert "page 1 of" in first
    assert "set-up" in first


def test_the_key_names_every_sign_that_is_used() -> None:
    text = " ".join(page.text for page in pages(printed(chart_sheet, "winch-operator")))
    for sign in ("knit", "wrap round a raised needle", "knitted with another loop"):
        assert sign in text
