"""Texts of templates are told at once as they would be said and then told."""

from __future__ import annotations

from importlib.resources import files
from string import Formatter
from typing import Any

import pytest
from babel.messages.pofile import read_po

from sockwright.i18n.locale import Locale, locale_of
from sockwright.i18n.messages import _, ngettext

VALUES = (1.5, 7, "{name}", _("needle"), _("{n} needles", n=3), ["a", _("needle")])


def templates() -> list[Any]:
    """What the catalogue knows: a template, or one and its plural."""
    with files("sockwright.i18n").joinpath("de.po").open("rb") as file:
        return [one.id for one in read_po(file, locale="de") if one.id]


def filled(template: str, start: int) -> dict[str, object]:
    """A value for each field, another kind each; a number where it is printed as one. None for a
    text whose braces are braces."""
    found: dict[str, object] = {}
    for place, (__, name, spec, __) in enumerate(Formatter().parse(template)):
        if name is not None and not name.isidentifier():
            return {}
        if name is not None:
            value: object = VALUES[(start + place) % len(VALUES)]
            found[name] = 2.25 if spec else value
    return found


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_template_says_what_is_said_and_told(language: str) -> None:
    there: Locale = locale_of(language, "cm")
    for start, template in enumerate(templates()):
        if isinstance(template, str):
            values = filled(template, start)
            assert there.render(template, **values) == there.render(_(template, **values))
            continue
        one, many = template
        for n in (1, 2):
            values = {key: value for key, value in filled(many, start).items() if key != "n"}
            told = there.render(ngettext(one, many, n, **values))
            assert there.render_of(one, many, n, **values) == told


def test_fields_that_are_more_than_names_are_filled_as_the_library_does() -> None:
    english = locale_of("en", "cm")
    values = {"a": {"b": 1.5}, "c": 2, "width": 5}
    for template in ("{a[b]} {{x}}", "{c!r}", "{c:{width}}", "{c}{{{c}}}", "", "}}"):
        assert english.fill(template, values) == template.format_map(values)
