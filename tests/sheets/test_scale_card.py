"""The scale card, read back from its PDF."""

from __future__ import annotations

import numpy as np
import pytest

from sheets.layout import has_check_bars, markers_seen, pages, picture, squares, text_faults
from sockwright.drawing.tracing.page import CARD_MARKER_MM, CARD_MM
from sockwright.sheets import Paper
from sockwright.sheets.measuring import card_corners, card_corners_on, scale_card

DPI = 250


@pytest.mark.parametrize("paper", Paper)
def test_it_is_one_page_with_true_bars_and_clear_words(paper: Paper) -> None:
    pdf = scale_card(paper)
    (page,) = pages(pdf)
    assert has_check_bars(page)
    assert text_faults(pdf) == []


@pytest.mark.parametrize("paper", Paper)
def test_fifteen_markers_are_drawn_where_they_are_said_to_be(paper: Paper) -> None:
    (page,) = pages(scale_card(paper))
    drawn = sorted((box.top, box.left) for box in squares(page, CARD_MARKER_MM))
    said = sorted((c[0, 1], c[0, 0]) for c in card_corners_on(paper).values())
    assert len(drawn) == 15
    np.testing.assert_allclose(drawn, said, atol=0.02)


@pytest.mark.parametrize("paper", Paper)
def test_a_camera_finds_them_all(paper: Paper) -> None:
    seen = markers_seen(picture(scale_card(paper), 0, DPI), DPI)
    known = card_corners_on(paper)
    assert sorted(seen) == sorted(known) == list(range(16, 31))
    for marker, corners in known.items():
        np.testing.assert_allclose(seen[marker], corners, atol=0.2)


@pytest.mark.parametrize("paper", Paper)
def test_the_card_and_its_cut_lines_are_as_large_as_they_say(paper: Paper) -> None:
    (page,) = pages(scale_card(paper))
    outlines = [
        box for box in page.strokes if (box.width, box.height) == pytest.approx(CARD_MM, abs=0.05)
    ]
    assert len(outlines) == 1
    card = outlines[0]
    for corners in card_corners_on(paper).values():
        assert card.left + 4 < corners[:, 0].min()
        assert corners[:, 0].max() < card.right - 4
    assert card_corners()[16][0] == pytest.approx(
        card_corners_on(paper)[16][0] - (card.left, card.top), abs=0.02
    )


def test_the_same_card_is_the_same_bytes() -> None:
    assert scale_card(Paper.A4) == scale_card(Paper.A4)
