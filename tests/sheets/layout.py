"""Looking at a printed sheet as its reader does: pages, words, strokes, and pictures of it."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
import pdfplumber
import pypdfium2
from numpy.typing import NDArray

MM_PER_POINT = 25.4 / 72
MM_PER_INCH = 25.4
SMALLEST_EDGE_MM = 4.0
"""Most printers cannot print nearer to the paper's edge."""
MOST_OVERLAP_MM = 0.3

Corners = NDArray[np.float64]


@dataclass(frozen=True)
class Box:
    """An upright box on a page, mm from its top left corner, and the text in it if any."""

    left: float
    top: float
    right: float
    bottom: float
    text: str = ""

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top


@dataclass(frozen=True)
class Page:
    """One page: its size in mm, its words, its filled rectangles and its straight strokes."""

    width: float
    height: float
    words: tuple[Box, ...]
    filled: tuple[Box, ...]
    strokes: tuple[Box, ...]

    @property
    def text(self) -> str:
        return " ".join(word.text for word in self.words)


def pages(pdf: bytes) -> list[Page]:
    """Every page of a PDF."""
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        return [_page(page) for page in document.pages]


def _page(page: Any) -> Page:
    shapes = [*page.rects, *page.curves, *page.lines]
    return Page(
        float(page.width) * MM_PER_POINT,
        float(page.height) * MM_PER_POINT,
        tuple(_box(word, word["text"]) for word in _words(page)),
        tuple(_box(shape) for shape in shapes if shape["fill"]),
        tuple(_box(shape) for shape in shapes if shape["stroke"]),
    )


def _words(page: Any) -> Iterator[dict[str, Any]]:
    """Words read level, and those that stand upright, which are turned first.

    Slanting words, as along a leaning leg or round a ring, are left out: their upright boxes tell
    nothing of whether they meet. The drawings' own tests look at those. Letters are taken in the
    order they were set in, since words that lie in each other cannot be told apart by place.
    """
    level = page.filter(lambda thing: thing["object_type"] != "char" or _along(thing, 1))
    yield from level.extract_words(use_text_flow=True)
    upright = page.filter(lambda thing: thing["object_type"] == "char" and _along(thing, 0))
    yield from upright.extract_words(use_text_flow=True, char_dir="btt", line_dir="ltr")


def _along(char: dict[str, Any], place: int) -> bool:
    """Whether a letter stands along an axis: `place` 1 of its matrix is 0 where it is level, 0
    where it is upright."""
    return bool(abs(char["matrix"][place]) < 1e-3)


def _box(thing: dict[str, Any], text: str = "") -> Box:
    edges = (float(thing[key]) * MM_PER_POINT for key in ("x0", "top", "x1", "bottom"))
    return Box(*edges, text)


def text_faults(pdf: bytes) -> list[str]:
    """Words that lie too near the page's edge, or in each other."""
    return [
        f"page {number}: {fault}"
        for number, page in enumerate(pages(pdf), start=1)
        for fault in (*_too_far_out(page), *_in_each_other(page))
    ]


def _too_far_out(page: Page) -> Iterator[str]:
    for word in page.words:
        room = min(word.left, word.top, page.width - word.right, page.height - word.bottom)
        if room < SMALLEST_EDGE_MM:
            yield f"{word.text!r} is {room:.1f} mm from the edge"


def _in_each_other(page: Page) -> Iterator[str]:
    left, top, right, bottom = (
        np.array([getattr(word, edge) for word in page.words])
        for edge in ("left", "top", "right", "bottom")
    )
    across = np.minimum.outer(right, right) - np.maximum.outer(left, left)
    down = np.minimum.outer(bottom, bottom) - np.maximum.outer(top, top)
    deep = np.triu(np.minimum(across, down), k=1)
    for one, other in np.argwhere(deep > MOST_OVERLAP_MM):
        words = page.words[one].text, page.words[other].text
        yield f"{words[0]!r} and {words[1]!r} overlap by {deep[one, other]:.1f} mm"


def has_check_bars(page: Page) -> bool:
    """Whether a bar of 100 mm and one of 4 in, both true to 0.1 mm, are on the page."""
    lengths = [max(box.width, box.height) for box in page.filled if _is_bar(box)]
    return all(any(abs(length - wanted) < 0.1 for length in lengths) for wanted in (100.0, 101.6))


def _is_bar(box: Box) -> bool:
    return abs(min(box.width, box.height) - 2.4) < 0.1


def picture(pdf: bytes, page: int, dpi: int = 250) -> NDArray[np.uint8]:
    """A page as a grey picture, as a black-only printer or a camera would see it."""
    with pypdfium2.PdfDocument(pdf) as document:
        bitmap = document[page].render(scale=dpi / 72, grayscale=True)
        return np.array(bitmap.to_numpy()[..., 0] if bitmap.n_channels > 1 else bitmap.to_numpy())


def markers_seen(image: NDArray[np.uint8], dpi: int = 250) -> dict[int, Corners]:
    """Corners (4, 2), mm, of the markers that OpenCV finds in a picture of `dpi`."""
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    detector = cv2.aruco.ArucoDetector(
        cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50), settings
    )
    corners, numbers, _ = detector.detectMarkers(image)
    if numbers is None:
        return {}
    # A pixel's number is that of its middle; its edge is half a pixel before.
    return {
        int(number): (square.reshape(4, 2).astype(float) + 0.5) * MM_PER_INCH / dpi
        for number, square in zip(numbers.ravel(), corners, strict=True)
    }


def squares(page: Page, side: float) -> list[Box]:
    """Filled squares of a page with sides of `side` mm."""
    return [
        box for box in page.filled if abs(box.width - side) < 0.05 and abs(box.height - side) < 0.05
    ]
