"""Colours of yarns and painted marks, from the words their owner uses."""

from __future__ import annotations

import re

from sockwright.facts import fact, table

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
