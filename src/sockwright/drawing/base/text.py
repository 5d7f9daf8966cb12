"""How wide a text is, by the widths of the shipped letters, and what a drawing says by itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache, lru_cache
from string import digits
from unicodedata import combining, east_asian_width

from sockwright.fonts import BOLD, REGULAR, widest
from sockwright.words import ENGLISH as ENGLISH_TONGUE
from sockwright.words import Tongue

LACKING_EM, FULL_EM = 0.6, 1.0
"""Widths, as shares of the font size, of letters that no shipped face has, and of those among them
that are set in squares."""
ELLIPSIS = "…"
AIR_EM = 0.25
"""Air around a label."""
CAP_HEIGHT = 0.67
"""Height of capitals and figures as a share of the font size (Atkinson Hyperlegible Next)."""


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
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size_mm) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def wrap_close(words: str, size_mm: float, width_mm: float) -> list[str]:
    """The words in lines no wider than `width_mm`; a word wider than that is broken too."""
    pieces = (piece for word in words.split() for piece in _pieces(word, size_mm, width_mm))
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


@dataclass(frozen=True)
class Words:
    """Every word a drawing prints that does not come from its user. Fields in braces are filled
    in by the drawing."""

    tongue: Tongue = ENGLISH_TONGUE

    # the cylinder
    cylinder: str = "Cylinder of {needles} needles, seen from above"
    cylinder_key: str = "What the pictures of the cylinder show"
    you: str = "you"
    forward: str = "forward"
    heel_half: str = "heel half"
    instep_half: str = "instep half"
    carrier: str = "carrier at the home gap"
    carrier_past: str = "carrier past needle {needle}"
    next_forward: str = "next pass forward"
    next_reverse: str = "next pass in reverse"
    cylinder_turns: str = "the cylinder turns, the carrier stands"
    carrier_turns: str = "the carrier turns, the cylinder stands"
    working: str = "in work"
    raised: str = "raised"
    raised_outward: str = "raised: hollow, further out"
    touched_next: str = "touched next: wider"
    out: str = "out of its slot"
    dial_working: str = "dial needle in work"
    now: str = "now: needles {needles}"
    now_one: str = "now: needle {needles}"
    before: str = "before needle {needle}"
    between: str = "between {first} and {last}"
    at_needles: str = "at needles {first} and {last}"
    both_needles: str = "{first} and {last}"
    # strip and ring
    marks_key: str = "What the marks are"
    strip: str = "Marking strip for {needles} needles"
    strip_tile: str = "{needles} needles · piece {tile} of {tiles} · {length} round the needles"
    strip_overlap: str = "lay piece {tile} over this"
    strip_close: str = "lay the beginning over this"
    ring: str = "Marking ring for {needles} needles"
    ring_size: str = "{needles} needles · {diameter} across the needle circle"
    check: str = "Check bars: 100 mm and 4 in"
    check_mm: str = "must measure 100 mm"
    check_in: str = "must measure 4 in"
    # the sock
    sock: str = "Side view of the sock"
    foot_length: str = "foot length {length}"
    height: str = "height {length}"
    width: str = "tube, flat {length}"
    tube_length: str = "from top to toe {length}"
    turns_here: str = "here it turns when worn: foot {foot}, height {height}"
    rounds: str = "{rounds} rounds"
    cuff: str = "cuff"
    leg: str = "leg"
    heel: str = "heel"
    foot: str = "foot"
    toe: str = "toe"
    cup_rows: str = "{rows} rows"
    cup_keeps: str = "keeps {kept} of {needles}"
    cup_turn: str = "turns {degrees}°"
    fold: str = "hem cut through: it lies double"
    gathered: str = "gathered"
    scale: str = "drawn 1 : {scale}"
    every_ten: str = "a line every {rounds} rounds"
    yarn_of: str = "{part}: {yarn}"
    # the chart
    chart: str = "Chart of {needles} needles and {courses} courses"
    page: str = "page {page} of {pages}"
    needles: str = "needles {first} to {last}"
    row: str = "row {number}"
    key_knit: str = "knit"
    key_purl: str = "purl, on the dial"
    key_wrap: str = "wrap round a raised needle"
    key_tuck: str = "yarn over an empty needle"
    key_float: str = "yarn passes an idle needle"
    key_joined: str = "knitted with another loop"
    key_waste: str = "leaves the sock"

    def section(self, name: str) -> str:
        """What a section is called."""
        return self.tongue.gettext(name)

    def fill(self, phrase: str, **values: object) -> str:
        """One of these phrases with its fields filled in, each told."""
        return self.tongue.fill(phrase, values)

    def name(self, name: str) -> str:
        """A name that may be ours or the user's own."""
        return self.tongue.named(name)


ENGLISH = Words()


def words_in(tongue: Tongue) -> Words:
    """The words in a language."""
    return Words(tongue, **{name: tongue.gettext(phrase) for name, phrase in phrases().items()})


def phrases() -> dict[str, str]:
    """Every phrase in English by its name."""
    return {
        field.name: str(field.default) for field in fields(Words) if isinstance(field.default, str)
    }
