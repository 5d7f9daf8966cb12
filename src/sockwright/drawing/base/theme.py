"""Themes: the few colours a drawing is made of, for paper, for light screens and for dark ones."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import ClassVar

from sockwright.facts import fact, table


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
