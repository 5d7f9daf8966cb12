"""The scale card: markers of known size to photograph beside a swatch."""

from __future__ import annotations

import numpy as np

from sockwright.drawing.base.scales import Corners, check_bars_svg
from sockwright.drawing.base.text import words_in
from sockwright.drawing.tracing.page import (
    BARS_AT,
    CARD_MM,
    SIZE_MM,
    card_corners,
    scale_board_svg,
)
from sockwright.sheets.paper import SIZES, Paper
from sockwright.sheets.typeset import typeset
from sockwright.words import said, tongue

__all__ = ["card_corners", "card_corners_on", "scale_card"]

CARD_TOP_MM = 34.0
"""Where the drawing of the card begins on the page."""


def scale_card(paper: Paper, language: str = "en") -> bytes:
    """The page with the card to cut out, as PDF."""
    spoken_in = tongue(language)
    drawings = {
        "card": scale_board_svg(spoken_in.tell(said("Scale card: a board of markers"))),
        "bars": check_bars_svg(words=words_in(spoken_in)),
    }
    data = {"top": CARD_TOP_MM, "width": SIZE_MM[0], "height": SIZE_MM[1], "bars": _bars_on()}
    return typeset("scale_card", data, drawings, paper, language)


def _bars_on() -> tuple[float, float]:
    """Where the check bars stand on the drawing, mm."""
    edge = (SIZE_MM[0] - CARD_MM[0]) / 2
    return BARS_AT[0] + edge, BARS_AT[1] + edge


def card_corners_on(paper: Paper) -> dict[int, Corners]:
    """Corners of the markers, mm from the page's top left corner."""
    left = (SIZES[paper].width_mm - CARD_MM[0]) / 2
    top = CARD_TOP_MM + (SIZE_MM[1] - CARD_MM[1]) / 2
    move = np.array((left, top))
    return {marker: square + move for marker, square in card_corners().items()}
