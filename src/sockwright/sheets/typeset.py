"""Typesetting: a template, its data and its drawings become a PDF, the same bytes every time."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Container, Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from importlib.resources import as_file, files
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from sockwright.fonts import shipped_letters
from sockwright.i18n import ENGLISH, Locale, locale_of
from sockwright.order.model import Order
from sockwright.sheets import MARGIN_MM, SIZES, Paper

if TYPE_CHECKING:
    from typst import Fonts

SOFT_HYPHEN, SOFT_SPACE = "\u00ad", "\u200b"
"""A break between letters shows a hyphen; one beside a figure or a sign shows nothing."""

LONGEST, PIECE = 16, 12
"""Signs of a word that is left whole, and of a piece of a longer one: 12 of the widest capitals
still fit the narrowest column with a name in it, that of the yarns on the record."""

BREAKABLE = {"Lu", "Ll", "Lt", "Nd", "Pc", "Pd", "Ps", "Pe", "Po", "Sm", "Sc"}
"""Classes of signs that may be parted. Marks and joiners belong to the sign before them; scripts
without capitals join their letters or are broken by the typesetter itself."""

HOUSE = "house"
_CALL = re.compile(r'\b(?:say|word)\(\s*"((?:[^"\\]|\\.)*)"', re.DOTALL)

UNSEEN = {"Zs", "Zl", "Zp", "Cc", "Cf"}
"""Classes of signs that leave no ink: blanks, controls, joiners."""


def breakable(data: Any, names: Container[str] = ()) -> Any:
    """The data of a sheet with every text in composed letters (Unicode's NFC) and its long words
    given places to break; texts in `names`, which name drawings, stay as they are."""
    if isinstance(data, str):
        return data if data in names else with_breaks(data)
    if isinstance(data, dict):
        return {key: breakable(value, names) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [breakable(value, names) for value in data]
    return data


def with_breaks(text: str) -> str:
    """The text in composed letters, its words of more than LONGEST signs in pieces of PIECE."""
    return re.sub(rf"\S{{{LONGEST + 1},}}", lambda word: "".join(_pieces(word[0])), composed(text))


def composed(text: str) -> str:
    """The text with a letter and its marks as one sign wherever there is one: typefaces have it."""
    return unicodedata.normalize("NFC", text)


def _pieces(word: str) -> Iterator[str]:
    """The signs of a word and its breaks, PIECE signs apart or at the next place that allows it."""
    length = 1
    yield word[0]
    for before, after in pairwise(word):
        if length >= PIECE and _may_part(before, after):
            yield SOFT_HYPHEN if before.isalpha() and after.isalpha() else SOFT_SPACE
            length = 0
        length += 1
        yield after


def _may_part(before: str, after: str) -> bool:
    return unicodedata.category(before) in BREAKABLE and unicodedata.category(after) in BREAKABLE


@cache
def template_source(name: str) -> str:
    """The text of `templates/<name>.typ`."""
    return files("sockwright.sheets").joinpath("templates", f"{name}.typ").read_text("utf-8")


def words_of(source: str) -> tuple[str, ...]:
    """What a template says, as the catalogue knows it: blanks and line ends are one blank."""
    return tuple(" ".join(found.split()) for found in _CALL.findall(source))


@cache
def told_words(name: str, locale: Locale) -> dict[str, str]:
    """What a template says in a language, by the English it stands there in."""
    if locale is ENGLISH:
        return {}
    return {text: locale.gettext(text) for text in words_of(template_source(name))}


def typeset(
    template: str,
    data: Mapping[str, Any],
    drawings: Mapping[str, str],
    paper: Paper,
    language: str = "en",
) -> bytes:
    """The PDF of `templates/<template>.typ`.

    The template finds `data` and the page (`width`, `height`, `margin`, mm) as one dictionary, and
    each drawing as the SVG file `<name>.svg`. Texts in `data` are set as they are, but for hidden
    breaks in long words: nothing in them is read as markup. What is `Said` in `data`, and what the
    template says itself, is told in `language`.
    """
    import typst

    locale = locale_of(language)
    size = SIZES[paper]
    page = {"width": size.width_mm, "height": size.height_mm, "margin": MARGIN_MM}
    # typst takes a dictionary of files too, which its own types do not say.
    parts: Any = {
        "main.typ": template_source(template).encode(),
        f"{HOUSE}.typ": template_source(HOUSE).encode(),
        **{f"{name}.svg": composed(svg).encode() for name, svg in drawings.items()},
    }
    pdf = typst.compile(
        parts,
        font_paths=_fonts(),
        sys_inputs={
            "data": json.dumps(
                {
                    **breakable(_told(dict(data), locale), drawings),
                    "page": page,
                    "language": language,
                    "said": {**told_words(HOUSE, locale), **told_words(template, locale)},
                }
            )
        },
    )
    assert isinstance(pdf, bytes)
    return pdf


def _told(data: Any, locale: Locale) -> Any:
    """The data with all that is said told; other texts are names and stay."""
    if isinstance(data, str):
        return locale.named(data)
    if isinstance(data, Mapping):
        return {key: _told(value, locale) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_told(value, locale) for value in data]
    return data


@cache
def _fonts() -> Fonts:
    """The shipped typefaces, looked for once; they come before the system's, which only fill in
    letters that ours do not have."""
    from typst import Fonts

    with as_file(files("sockwright.fonts").joinpath("AtkinsonHyperlegibleNext-Regular.ttf")) as one:
        return Fonts(font_paths=[str(one.parent)])


def missing_letters(order: Order) -> tuple[str, ...]:
    """The names and other words of an order with letters that no shipped face has."""
    return tuple(words for words in dict.fromkeys(_words(order)) if lacking(words))


def lacking(words: str) -> str:
    """The letters of `words` that no shipped face has, each once, in their order."""
    letters = dict.fromkeys(composed(words))
    return "".join(letter for letter in letters if not _has(letter))


def _has(letter: str) -> bool:
    unseen = unicodedata.category(letter) in UNSEEN or "\ufe00" <= letter <= "\ufe0f"
    return unseen or ord(letter) in shipped_letters()


def _words(value: object) -> Iterator[str]:
    """Every text the user wrote in an order, however deep it lies."""
    if isinstance(value, str) and not isinstance(value, Enum):
        yield value
    elif isinstance(value, tuple):
        for part in value:
            yield from _words(part)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _words(getattr(value, field.name))
