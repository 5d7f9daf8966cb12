"""The words that stand in the templates themselves, told in the language of the sheet."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files

from sockwright.words import ENGLISH, Tongue

_CALL = re.compile(r'\b(?:say|word)\(\s*"((?:[^"\\]|\\.)*)"', re.DOTALL)


@cache
def template_source(name: str) -> str:
    """The text of `templates/<name>.typ`."""
    return files("sockwright.sheets").joinpath("templates", f"{name}.typ").read_text("utf-8")


def template_names() -> tuple[str, ...]:
    """Every template, by name."""
    folder = files("sockwright.sheets").joinpath("templates")
    return tuple(sorted(one.name.removesuffix(".typ") for one in folder.iterdir()))


@cache
def words_of(name: str) -> tuple[str, ...]:
    """What a template says, as the catalogue knows it: blanks and line ends are one blank."""
    return tuple(" ".join(found.split()) for found in _CALL.findall(template_source(name)))


def told_words(names: tuple[str, ...], tongue: Tongue) -> dict[str, str]:
    """What the templates say in a language, by the English they stand there in."""
    if tongue is ENGLISH:
        return {}
    return {text: tongue.gettext(text) for name in names for text in words_of(name)}
