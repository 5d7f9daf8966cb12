"""What may be put in a field instead of what is wrong there: a slip mended, a unit added."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

from sockwright.errors import Problem, QuantityError
from sockwright.grammar.declare import Either, Value
from sockwright.i18n.messages import Message, _, numeral
from sockwright.quantities import parse_fineness_tex
from sockwright.store.items import ItemKind
from sockwright.web.forms.texts import Texts, clean, places, plain_path, short_key, without_numbers

UNITS: Mapping[str, tuple[str, ...]] = {
    "cm": ("cm", "mm", "in", "m", "g", "kg"),
    "in": ("in", "cm", "yd", "mm", "g", "lb", "kg"),
}
"""The units tried behind a bare number, by those a visitor prefers, the likeliest first."""

YARN: Mapping[str, tuple[str, ...]] = {"cm": ("m", "cm"), "in": ("yd", "in")}
"""The same behind the length of a yarn, which is far longer than any sock."""

YARN_LENGTHS = ("unravelled.length",)

SPANS = {"cm": "10 cm", "in": "4 in"}
"""The length that wales and courses are usually counted over."""

_BARE = re.compile(r"[0-9]+(?:[.,][0-9]+)?|(?:[0-9]+[ -])?[0-9]+/[0-9]+|[0-9]*[½¼¾⅓⅔⅛⅜⅝⅞]")
_ASKED = {"did you mean {slip}?": "slip", "did you mean {guess}?": "guess"}
"""What the reader asks where it knows a slip, and the value that tells what it takes it for."""
_THREE_DECIMALS = re.compile(r"(?<![0-9])[1-9][0-9]*\.[0-9]{3}(?![0-9])")


def offer(kind: ItemKind, problem: Problem, path: str, texts: Texts, units: str) -> str:
    """What may be put in the field at `path` instead, "" where that cannot be known."""
    asked = _asked(problem.right)
    if asked:
        # "1,234" may mean thousands, so it keeps its point.
        return asked if _THREE_DECIMALS.search(asked) else numeral(asked)
    value, text = value_at(kind, path), clean(texts.get(path, ""))
    if value is None or not _BARE.fullmatch(text):
        return ""
    likely = YARN if plain_path(path) in YARN_LENGTHS else UNITS
    return next((one for one in _with_units(text, likely, units) if accepts(value, one)), "")


def offered(problem: Problem, offered: str) -> Problem:
    """The problem with a question for the offer, where the reader did not ask it itself."""
    right = problem.right
    if isinstance(right, Message) and _asked(right):
        return Problem(problem.path, problem.wrong, _asked_anew(right, offered))
    return Problem(problem.path, problem.wrong, _("did you mean {offer}?", offer=offered))


def value_at(kind: ItemKind, path: str) -> Value | None:
    """The declaration of the single value at a path, None where there is none."""
    found = places(kind).get(without_numbers(path))
    value = found.kind if found else None
    if isinstance(value, Either):
        value = short_key(value).kind
    return value if isinstance(value, Value) else None


def accepts(value: Value, given: object) -> bool:
    """Whether the reader takes it."""
    try:
        value.convert(str(given) if isinstance(given, str) else given)
    except QuantityError:
        return False
    return True


def _with_units(text: str, likely: Mapping[str, tuple[str, ...]], units: str) -> Iterator[str]:
    yield from (f"{text} {unit}" for unit in likely[units])
    yield _("{count} in {span}", count=text, span=SPANS[units])


def _asked(right: str) -> str:
    """What the reader takes a slip for, "" if it does not ask."""
    if not isinstance(right, Message):
        return ""
    if right.template in _ASKED:
        return str(right.values[_ASKED[right.template]])
    inner = right.values.get("right")
    return _asked(inner) if isinstance(inner, Message) else ""


def _asked_anew(right: Message, offered: str) -> Message:
    """The reader's question with the number as the visitor writes it."""
    if right.template in _ASKED:
        return _("did you mean {offer}?", offer=offered)
    inner = right.values["right"]
    assert isinstance(inner, Message)
    return _(right.template, **{**right.values, "right": _asked_anew(inner, offered)})


LONGEST = 60
"""Characters: no quantity is longer, and nothing else shall be touched."""

WORDS: Mapping[str, str] = {
    "zoll": "in",
    "fuß": "ft",
    "fuss": "ft",
    "zentimeter": "cm",
    "gramm": "g",
    "kilogramm": "kg",
    "unze": "oz",
    "unzen": "oz",
    "prozent": "%",
    "maschen": "stitches",
    "stäbchen": "wales",
    "reihen": "rows",
    "runden": "courses",
}
"""German words, in small letters, and what the reader calls the same."""

BETWEEN = ("in", "per")
"""What "auf", "pro" and "je" mean: the reader has one word for counts and one for labels."""

READERS: Mapping[str, Callable[[object], object]] = {"fineness": parse_fineness_tex}
"""How the values are read that are taken as texts first, by their path."""

_WORD = re.compile(r"([a-zäöüß]+)", re.IGNORECASE)


def as_read(kind: Value, path: str, text: str) -> str:
    """The text, or the same in the reader's words where only those are understood."""
    if kind.words or len(text) > LONGEST or _understood(kind, path, text):
        return text
    return next((one for one in _in_our_words(text) if _understood(kind, path, one)), text)


def _in_our_words(text: str) -> Iterator[str]:
    for between in BETWEEN:
        words = {**WORDS, "auf": between, "pro": between, "je": between}
        parts = re.split(_WORD, text)
        yield "".join(words.get(part.lower(), part) for part in parts)


def _understood(kind: Value, path: str, text: str) -> bool:
    if not accepts(kind, text):
        return False
    try:
        READERS.get(path, str)(text)
    except QuantityError:
        return False
    return True
