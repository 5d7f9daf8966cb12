"""Looking at a printed sheet as its reader does: pages, words, strokes, and pictures of it."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

import cv2
import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
from numpy.typing import NDArray

MM_PER_POINT = 25.4 / 72
MM_PER_INCH = 25.4
SMALLEST_EDGE_MM = 4.0
"""Most printers cannot print nearer to the paper's edge."""
MOST_OVERLAP_MM = 0.3
MOST_GAP_MM = 3 * MM_PER_POINT
"""Between letters of one word."""

Corners = NDArray[np.float64]


class Box(NamedTuple):
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
    """One page: its size in mm, its words, its filled rectangles and its straight strokes.

    `sizes` are the type sizes of all level letters, points.
    """

    width: float
    height: float
    words: tuple[Box, ...]
    filled: tuple[Box, ...]
    strokes: tuple[Box, ...]
    sizes: tuple[float, ...]

    @property
    def text(self) -> str:
        return " ".join(word.text for word in self.words)


@cache
def pages(pdf: bytes) -> tuple[Page, ...]:
    """Every page of a PDF, each file read once."""
    with pypdfium2.PdfDocument(pdf) as document:
        return tuple(map(_page, document))


def _page(page: pypdfium2.PdfPage) -> Page:
    """A page; a stroke is one stretch of a path, from where the pen is set down."""
    height = float(page.get_height())
    filled, strokes = list[Box](), list[Box]()
    for one, place in _paths(page):
        fill, stroke = ctypes.c_int(), ctypes.c_int()
        pdfium.FPDFPath_GetDrawMode(one, fill, stroke)
        boxes = [_box(*edges, height) for edges in _stretches(one, place)]
        filled += boxes if fill.value else []
        strokes += boxes if stroke.value else []
    letters = list(_letters(page.get_textpage(), height))
    return Page(
        float(page.get_width()) * MM_PER_POINT,
        height * MM_PER_POINT,
        tuple(_words(letters)),
        tuple(filled),
        tuple(strokes),
        tuple(one.size for one in letters if one.way is LEVEL and one.text),
    )


Matrix = NDArray[np.float64]
"""(3, 3): points (x, y, 1) of an object to those of what holds it."""


def _paths(page: pypdfium2.PdfPage) -> Iterator[tuple[Any, Matrix]]:
    """Every path on a page, in drawings placed on it too, with its place on the page."""
    count, get = pdfium.FPDFPage_CountObjects, pdfium.FPDFPage_GetObject
    yield from _inside(page.raw, np.eye(3), count, get)


def _inside(parent: Any, place: Matrix, count: Any, get: Any) -> Iterator[tuple[Any, Matrix]]:
    for number in range(count(parent)):
        one = get(parent, number)
        kind = pdfium.FPDFPageObj_GetType(one)
        if kind not in (pdfium.FPDF_PAGEOBJ_PATH, pdfium.FPDF_PAGEOBJ_FORM):
            continue
        here = place @ _matrix(one)
        if kind == pdfium.FPDF_PAGEOBJ_PATH:
            yield one, here
            continue
        count_in, get_in = pdfium.FPDFFormObj_CountObjects, pdfium.FPDFFormObj_GetObject
        yield from _inside(one, here, count_in, get_in)


def _matrix(one: Any) -> Matrix:
    held = pdfium.FS_MATRIX()
    pdfium.FPDFPageObj_GetMatrix(one, held)
    return np.array([[held.a, held.c, held.e], [held.b, held.d, held.f], [0.0, 0.0, 1.0]])


Edges = tuple[float, float, float, float]
"""Left, bottom, right and top, points from the page's lower left corner."""


def _stretches(path: Any, place: Matrix) -> Iterator[Edges]:
    """The upright box of each stretch of a path."""
    x, y = ctypes.c_float(), ctypes.c_float()
    stretches: list[list[tuple[float, float]]] = []
    for number in range(pdfium.FPDFPath_CountSegments(path)):
        segment = pdfium.FPDFPath_GetPathSegment(path, number)
        pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        if pdfium.FPDFPathSegment_GetType(segment) == pdfium.FPDF_SEGMENT_MOVETO:
            stretches.append([])
        stretches[-1].append((x.value, y.value))
    (a, c, e), (b, d, f), _ = place.tolist()
    for points in stretches:
        if len(points) > 1:
            across = [a * x + c * y + e for x, y in points]
            up = [b * x + d * y + f for x, y in points]
            yield min(across), min(up), max(across), max(up)


def _box(left: float, low: float, right: float, high: float, of: float, text: str = "") -> Box:
    """A box in mm from the top of a page `of` points high."""
    mm = MM_PER_POINT
    return Box(left * mm, (of - high) * mm, right * mm, (of - low) * mm, text)


LEVEL, UPRIGHT, SLANTING = "level", "upright", "slanting"


class Letter(NamedTuple):
    """A letter, the box its line gives it, the way it stands, and its type size in points.

    A blank is a letter without a text, and nowhere.
    """

    text: str
    box: Box
    way: str
    size: float


NOWHERE = Box(0.0, 0.0, 0.0, 0.0)


def _letters(text: pypdfium2.PdfTextPage, height: float) -> Iterator[Letter]:
    """The letters of a page in the order they were set in."""
    edges, matrix = pdfium.FS_RECTF(), pdfium.FS_MATRIX()
    for number in range(text.count_chars()):
        sign = _sign(chr(pdfium.FPDFText_GetUnicode(text, number)))
        if sign in "\r\n":
            continue  # PDFium's guess at a new line, which upright letters make it see everywhere
        pdfium.FPDFText_GetMatrix(text, number, matrix)
        way = LEVEL if abs(matrix.b) < 1e-3 else UPRIGHT if abs(matrix.a) < 1e-3 else SLANTING
        if sign.isspace():
            yield Letter("", NOWHERE, way, 0.0)
            continue
        pdfium.FPDFText_GetLooseCharBox(text, number, edges)
        box = _box(edges.left, edges.bottom, edges.right, edges.top, height, sign)
        size = pdfium.FPDFText_GetFontSize(text, number) * math.hypot(matrix.c, matrix.d)
        yield Letter(sign, box, way, size)


def _sign(sign: str) -> str:
    """PDFium tells a hyphen at a line's end by a sign of its own."""
    return "\u00ad" if sign in "\x02\ufffe" else sign


@cache
def text_of(pdf: bytes) -> str:
    """All text of a PDF in the order it was set in, a blank between lines and pages."""
    with pypdfium2.PdfDocument(pdf) as document:
        pieces = [page.get_textpage().get_text_range() for page in document]
    return " ".join("".join(map(_sign, piece)).replace("\r\n", " ") for piece in pieces)


def _words(letters: Sequence[Letter]) -> Iterator[Box]:
    """Words read level, and those that stand upright, which are turned first.

    Slanting words, as along a leaning leg or round a ring, are left out: their upright boxes tell
    nothing of whether they meet. The drawings' own tests look at those. Letters are taken in the
    order they were set in, since words that lie in each other cannot be told apart by place.
    """
    for way in (LEVEL, UPRIGHT):
        word: list[Letter] = []
        for letter in (one for one in letters if one.way is way):
            if word and (not letter.text or _begins(letter.box, word[-1].box, way)):
                yield _word(word)
                word = []
            if letter.text:
                word.append(letter)
        if word:
            yield _word(word)


def _begins(letter: Box, last: Box, way: str) -> bool:
    """Whether a letter begins a word: it does not go on where the last one ends."""
    if way == LEVEL:
        before, gap, aside = (
            letter.left < last.left,
            letter.left - last.right,
            letter.top - last.top,
        )
    else:
        before, gap, aside = (
            letter.bottom > last.bottom,
            last.top - letter.bottom,
            letter.left - last.left,
        )
    return before or gap > MOST_GAP_MM or abs(aside) > MOST_GAP_MM


def _word(letters: Sequence[Letter]) -> Box:
    boxes = [one.box for one in letters]
    return Box(
        min(box.left for box in boxes),
        min(box.top for box in boxes),
        max(box.right for box in boxes),
        max(box.bottom for box in boxes),
        "".join(box.text for box in boxes),
    )


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
