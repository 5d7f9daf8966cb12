"""A language: the catalogue that texts are looked up in, how it writes numbers and sentences."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from gettext import GNUTranslations, NullTranslations
from importlib.resources import files
from io import BytesIO
from string import Formatter
from typing import Any

from sockwright.i18n.messages import FINISHES, Message, in_english, plain_values

LANGUAGES: Mapping[str, str] = {"en": "English", "de": "Deutsch"}
"""Every language there is, and what it calls itself."""

SIGNS = {"en": str.maketrans({}), "de": str.maketrans(".,", ",.")}
"""The signs between figures, from the English ones."""

_ISO_DAY = re.compile(r"\b([0-9]{4})-([0-9]{2})-([0-9]{2})(?:T(?=[0-9])|\b)")
DAYS = {"en": r"\1-\2-\3", "de": r"\3.\2.\1"}
"""Year, month and day as each language orders them."""


def _english_ordinal(number: int) -> str:
    teens = 10 < number % 100 < 20
    return f"{number}{'th' if teens else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


ORDINALS: Mapping[str, Callable[[int], str]] = {"en": _english_ordinal, "de": "{}.".format}
"""An ordinal in the figures of each language."""


class UnknownLanguage(ValueError):
    """A language that has no catalogue here."""


class Locale:
    """One language of LANGUAGES, for readers of given units where they are known ("cm", "in")."""

    def __init__(self, code: str, translations: NullTranslations, units: str = "") -> None:
        self.code = code
        self.units = units
        self._translations = translations
        self._plain = code == "en" and not units
        self._filler = _Filler(self)

    def gettext(self, text: str, context: str = "") -> str:
        """The text in this language; as it is where the catalogue does not have it."""
        if context:
            return self._translations.pgettext(context, text)
        # A catalogue keeps what it says of itself under the empty text.
        return self._translations.gettext(text) if text else text

    def ngettext(self, one: str, many: str, n: int) -> str:
        """One of two templates by number, in this language; n is not filled in."""
        return self._translations.ngettext(one, many, n)

    def render(self, text: str, /, **values: object) -> str:
        """A message in this language; or a template, looked up and filled in with the values.

        A `Message` is rendered with all its parts: those of its values that are messages too,
        numbers with the decimal sign of the language, and any other text as it stands. A plain text
        is looked up as it is. The result is a plain str.
        """
        if values and self._plain:
            return in_english(text, plain_values(values))
        if values:
            return self.fill(self.gettext(text), plain_values(values))
        return self._retold(text) if isinstance(text, Message) else self.gettext(text)

    def pgettext(self, context: str, text: str, /, **values: object) -> str:
        """A text that means something of its own in a context, in this language."""
        text = self.gettext(text, context)
        return self.fill(text, plain_values(values)) if values else text

    def render_of(self, one: str, many: str, n: int, /, **values: object) -> str:
        """One of two templates by number, in this language, filled in."""
        return self.fill(self.ngettext(one, many, n), plain_values({"n": n, **values}))

    def _retold(self, text: Message) -> str:
        if self._plain:
            return str(text)
        text = text.in_units.get(self.units, text)
        if text.finish == "numeral":
            return self.numeral(text)
        if text.finish == "day":
            return self.day(text)
        if text.many is None:
            template = self.gettext(text.template, text.context)
        else:
            template = self.ngettext(text.template, text.many, text.number)
        filled = self.fill(template, text.values) if text.values else template
        return FINISHES[text.finish](filled)

    def named(self, name: str) -> str:
        """A name that may be ours or its user's: ours is told, any other stands as it is."""
        return self.render(name) if isinstance(name, Message) else name

    def fill(self, template: str, values: Mapping[str, object]) -> str:
        """A template of this language with its fields filled in, each value told."""
        if self._plain:
            return in_english(template, values)
        parts = template_parts(template)
        if parts is None:
            return self._filler.vformat(template, (), values)
        filled = []
        for literal, name, spec in parts:
            filled.append(literal)
            if name is not None:
                filled.append(self.field(values[name], spec))
        return "".join(filled)

    def field(self, value: object, spec: str = "") -> str:
        """One value as it is filled in, told."""
        return self._filler.format_field(value, spec)

    def numeral(self, digits: str) -> str:
        """A number that was printed in English, with the signs of this language."""
        return str(digits).translate(SIGNS[self.code])

    def ordinal(self, number: int) -> str:
        """An ordinal in figures: "2nd", "14th"."""
        return ORDINALS[self.code](number)

    def day(self, iso: str) -> str:
        """A day, maybe with its time, from its ISO form; any other text as it stands."""
        iso = str(iso)
        found = _ISO_DAY.match(iso)
        if found is None:
            return iso
        rest = iso[found.end() :].strip()
        return " ".join((found.expand(DAYS[self.code]), *([rest] if rest else ())))

    def __reduce__(self) -> tuple[Callable[[str, str], Locale], tuple[str, str]]:
        return locale_of, (self.code, self.units)


class _Filler(Formatter):
    """`str.format` in a language."""

    def __init__(self, locale: Locale) -> None:
        self.locale = locale

    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, Message) and not format_spec:
            return self.locale.render(value)
        printed = format(value, format_spec)
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return self.locale.numeral(printed) if number else printed


@lru_cache(maxsize=4096)
def template_parts(template: str) -> tuple[tuple[str, str | None, str], ...] | None:
    """A template in pieces: a text, the name of the field after it, how that is to be printed.

    None for one whose fields are more than names, which only the library reads.
    """
    parts = []
    for literal, name, spec, conversion in Formatter().parse(template):
        if name is not None and (not name.isidentifier() or conversion or "{" in (spec or "")):
            return None
        parts.append((literal, name, spec or ""))
    return tuple(parts)


def locale_of(code: str, units: str = "") -> Locale:
    """The language of this code, told in units if given; UnknownLanguage naming those there are."""
    return _locale(code, units)


@cache
def _locale(code: str, units: str) -> Locale:
    if code not in LANGUAGES:
        raise UnknownLanguage(f"no language {code!r}; there is {', '.join(LANGUAGES)}")
    return Locale(code, NullTranslations() if code == "en" else _translations(code), units)


@cache
def _translations(code: str) -> GNUTranslations:
    """The shipped catalogue, compiled as it is read: there is no build step to forget."""
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    compiled = BytesIO()
    with files("sockwright.i18n").joinpath(f"{code}.po").open("rb") as file:
        write_mo(compiled, read_po(file, locale=code))
    compiled.seek(0)
    return GNUTranslations(compiled)


ENGLISH = locale_of("en")
"""The language the texts are written in."""


@dataclass(frozen=True)
class Amount:
    """A number of a sentence: `each` more of it for every round more in one of the instructions
    `by` (their numbers). Told whole where it is whole, else to a tenth."""

    value: float
    by: tuple[int, ...] = ()
    each: float = 1.0

    def __format__(self, spec: str) -> str:
        return f"{round(self.value, 1):.10g}"


@dataclass(frozen=True)
class Sentence:
    """A sentence in one language: texts and amounts, to be put one after the other."""

    pieces: tuple[str | Amount, ...]
    locale: Locale = field(compare=False, repr=False)

    def __str__(self) -> str:
        told = (p if isinstance(p, str) else self.locale.numeral(f"{p}") for p in self.pieces)
        return "".join(told)


def sentence_of(locale: Locale, template: str, values: Mapping[str, object]) -> Sentence:
    """A template of this language with its fields filled in, each value told; amounts stay."""
    pieces: list[str | Amount] = []
    for piece in _pieces(locale, template, values):
        if isinstance(piece, str) and pieces and isinstance(pieces[-1], str):
            pieces[-1] += piece
        elif piece != "":
            pieces.append(piece)
    return Sentence(tuple(pieces), locale)


def _pieces(locale: Locale, template: str, values: Mapping[str, object]) -> Iterable[str | Amount]:
    parts = template_parts(template)
    assert parts is not None, template
    for literal, name, spec in parts:
        yield literal
        value = "" if name is None else values[name]
        if isinstance(value, Amount):
            yield value if value.by else locale.numeral(f"{value}")
        else:
            yield locale.field(value, spec)
