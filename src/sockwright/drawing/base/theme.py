"""The look of every drawing: the few colours it is made of, and letters with their widths."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from string import digits
from typing import ClassVar
from unicodedata import combining, east_asian_width

from sockwright.facts import fact, table
from sockwright.fonts import BOLD, REGULAR, widest

HEX = re.compile(r"#[0-9a-fA-F]{6}")

DEFAULT_ROLES = {
    "home": "blue",
    "halfway": "sky blue",
    "heel limits": "vermillion",
    "instep limits": "bluish green",
    "deep limits": "reddish purple",
}
"""Colours of the palette for marks whose colour was not given."""

UNKNOWN_YARN = "#9AA3B2"
"""Paint of a yarn whose colour is not known: a middle grey."""

LACKING_EM, FULL_EM = 0.6, 1.0
"""Widths, as shares of the font size, of letters that no shipped face has, and of those among them
that are set in squares."""

ELLIPSIS = "…"

AIR_EM = 0.25
"""Air around a label."""

CAP_HEIGHT = 0.67
"""Height of capitals and figures as a share of the font size (Atkinson Hyperlegible Next)."""


@dataclass(frozen=True)
class Theme:
    """Colours as "#RRGGBB", or as names that a page's own style gives colours to.

    `paper` lies under everything; `ink` draws and writes; `muted` writes what matters less;
    `faint` draws guide lines and never writes; `tint` fills quiet areas; `act` is kept for what is
    to be done now and `warn` for warnings.
    """

    name: str
    paper: str
    ink: str
    muted: str
    faint: str
    tint: str
    act: str
    warn: str

    PRINT: ClassVar[Theme]
    LIGHT: ClassVar[Theme]
    DARK: ClassVar[Theme]
    PAGE: ClassVar[Theme]


Theme.PRINT = Theme(
    name="print",
    paper="#FFFFFF",
    ink="#14213D",
    muted="#4A556B",
    faint="#AEB6C4",
    tint="#EEF0F4",
    act="#B03A00",
    warn="#8E1B56",
)
Theme.LIGHT = Theme(
    name="light",
    paper="#FAFAF7",
    ink="#14213D",
    muted="#4A556B",
    faint="#AEB6C4",
    tint="#E9ECF1",
    act="#B03A00",
    warn="#8E1B56",
)
Theme.DARK = Theme(
    name="dark",
    paper="#101827",
    ink="#EEF1F6",
    muted="#B4BECF",
    faint="#51607A",
    tint="#1D2940",
    act="#FFB070",
    warn="#FF9EC6",
)
Theme.PAGE = Theme(
    name="page",
    paper="var(--paper)",
    ink="var(--ink)",
    muted="var(--muted)",
    faint="var(--faint)",
    tint="var(--tint)",
    act="var(--act)",
    warn="var(--warn)",
)
"""Within a page, a drawing is light or dark as the page is."""


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    bright, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    shares = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def paint(words: str, otherwise: str = UNKNOWN_YARN) -> str:
    """ "#RRGGBB" for a colour given as such or in words; the last word known decides, so that
    "dark red" and "red, hand-dyed" are both painted red. `otherwise` where no word is known."""
    if HEX.fullmatch(words.strip()):
        return words.strip().upper()
    known = table("colours")
    names = re.findall(r"[a-z]+", words.lower())
    for name in [" ".join(names), *reversed(names)]:
        if name in known:
            return str(known[name].value)
    return otherwise


def mark_paint(role: str, colour: str) -> str:
    """The paint of a mark: its owner's colour, else that of its role in the palette."""
    return paint(colour, str(fact("mark_palette", DEFAULT_ROLES[role]).value))


@lru_cache(4096)
def text_width(words: str, size_mm: float, *, bold: bool = False) -> float:
    """Width in mm of `words` set in `size_mm`, each letter in the shipped family that sets it
    wider: a text falls to the second where the first lacks one of its letters."""
    letters = widest(BOLD if bold else REGULAR)
    return sum(_em(sign, letters) for sign in words) * size_mm


def _em(sign: str, letters: Mapping[int, int]) -> float:
    width = letters.get(ord(sign))
    if width is not None:
        return width / 1000
    if combining(sign):
        return 0.0
    return FULL_EM if east_asian_width(sign) in "WF" else LACKING_EM


@cache
def figure_em() -> float:
    """Width of the widest figure, bold too: a face with figures of one width gives it to each."""
    return max(text_width(figure, 1.0, bold=bold) for figure in digits for bold in (False, True))


def wrap(words: str, size_mm: float, width_mm: float) -> list[str]:
    """The words in lines no wider than `width_mm` as far as breaks at spaces can do it."""
    lines: list[str] = []
    for word in str(words).split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size_mm) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def wrap_close(words: str, size_mm: float, width_mm: float) -> list[str]:
    """The words in lines no wider than `width_mm`; a word wider than that is broken too."""
    pieces = (piece for word in str(words).split() for piece in _pieces(word, size_mm, width_mm))
    return wrap(" ".join(pieces), size_mm, width_mm)


def _pieces(word: str, size: float, width: float) -> Iterator[str]:
    """A word in pieces no wider than `width`, of two signs at least."""
    start, end = 0, 2
    while end < len(word) and text_width(word[start:], size) > width:
        longer = _piece(word, start, end + 1)
        if combining(word[end]) or text_width(longer, size) <= width:
            end += 1
            continue
        yield _piece(word, start, end)
        start, end = end, end + 2
    yield word[start:]


def _piece(word: str, start: int, end: int) -> str:
    """A piece of a word, with a hyphen where it ends between letters; beside a figure or a sign a
    hyphen would be read as one of the signs."""
    beside = word[end - 1 : end + 1]
    hyphen = len(beside) == 2 and all(map(_is_hyphened, beside))
    return word[start:end] + ("-" if hyphen else "")


def _is_hyphened(sign: str) -> bool:
    return sign.isalpha() and east_asian_width(sign) not in "WF"


def shortened(words: str, size_mm: float, width_mm: float) -> str:
    """The words, cut short with an ellipsis where they are wider than `width_mm`."""
    if text_width(words, size_mm) <= width_mm:
        return words
    fits = (
        words[:end].rstrip() + ELLIPSIS
        for end in range(len(words) - 1, 0, -1)
        if not combining(words[end])
    )
    return next((text for text in fits if text_width(text, size_mm) <= width_mm), ELLIPSIS)


@dataclass(frozen=True)
class Box:
    """An upright rectangle about its centre, mm."""

    x: float
    y: float
    width: float
    height: float

    def overlaps(self, other: Box) -> bool:
        """Whether two boxes share some area."""
        return (
            abs(self.x - other.x) < (self.width + other.width) / 2
            and abs(self.y - other.y) < (self.height + other.height) / 2
        )


def text_box(centre: tuple[float, float], words: str, size_mm: float) -> Box:
    """The box of an upright text centred on a point, with a little air; a number's is wide enough
    for any face and for bold."""
    width = figure_em() * len(words) * size_mm if words.isdigit() else text_width(words, size_mm)
    return Box(*centre, width + AIR_EM * size_mm, 0.95 * size_mm)


def without_overlaps(boxes: Iterable[Box]) -> list[bool]:
    """Which boxes to keep so that none overlaps: the earlier ones have precedence."""
    kept: list[Box] = []
    keep = []
    for box in boxes:
        free = not any(box.overlaps(other) for other in kept)
        keep.append(free)
        if free:
            kept.append(box)
    return keep
