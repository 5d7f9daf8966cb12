"""Our markers against OpenCV's own: OpenCV ships the dictionary that ours was written down from."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from sockwright.drawing.base.scales import ACROSS, board_corners, marker_bits
from sockwright.drawing.tracing.page import CARD_MARKER_MM, COLUMNS, FIRST_CARD_MARKER, GAP_MM, ROWS
from sockwright.facts import table

DICTIONARY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)


@pytest.mark.parametrize("marker", range(50))
def test_a_marker_is_opencvs(marker: int) -> None:
    drawn = cv2.aruco.generateImageMarker(DICTIONARY, marker, ACROSS)
    assert not drawn[0].any()
    assert not drawn[:, 0].any()  # the border is black
    np.testing.assert_array_equal(marker_bits(marker), drawn[1:-1, 1:-1] > 0)


def test_the_dictionary_is_whole() -> None:
    assert list(table("aruco_4x4_50")) == [str(marker) for marker in range(50)]


def test_the_board_is_opencvs_board() -> None:
    numbers = np.arange(FIRST_CARD_MARKER, FIRST_CARD_MARKER + COLUMNS * ROWS)
    board = cv2.aruco.GridBoard((COLUMNS, ROWS), CARD_MARKER_MM, GAP_MM, DICTIONARY, numbers)
    ours = board_corners((0.0, 0.0), COLUMNS, ROWS, CARD_MARKER_MM, GAP_MM, FIRST_CARD_MARKER)
    for marker, corners in zip(board.getIds().ravel(), board.getObjPoints(), strict=True):
        np.testing.assert_allclose(ours[int(marker)], corners[:, :2], atol=1e-5)
