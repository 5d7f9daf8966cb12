"""A text that is said in English and can be told in other languages: it remembers its parts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache, reduce
from types import MappingProxyType
from typing import Any

ENDS = (".", "!", "?")
"""Signs that end a sentence already."""


class LostTranslation(TypeError):
    """A text was about to be cut, glued or changed as plain English."""


class Message(str):
    """An English text that knows the template it was made from, and so its translations.

    It is shown and compared as a plain str is. Whatever would make another text of it (`+`, an
    f-string, `.split()`) raises LostTranslation: parts go whole into a template, `joined`,
    `capitalised` and `sentence` do the rest, and `str(text)` is the English one.

    `template` is what the catalogue knows it by (for a plural its singular, `many` being the
    other and `number` the one that chooses), in a `context` where English has one word for what
    another language tells apart; `values` fill its fields, and may be texts of this
    kind themselves. A text without values is told as it stands: braces in it are braces. `finish`
    names what is done to the filled-in text, a key of FINISHES. `in_units` holds the same for
    readers of other units ("in"), where there is such.
    """

    template: str
    values: Mapping[str, object]
    many: str | None
    number: int
    finish: str
    in_units: Mapping[str, Message]
    context: str

    def __new__(
        cls,
        template: str,
        values: Mapping[str, object],
        many: str | None = None,
        number: int = 1,
        finish: str = "",
        in_units: Mapping[str, Message] = MappingProxyType({}),
        context: str = "",
    ) -> Message:
        chosen = template if many is None or number == 1 else many
        text = in_english(chosen, values) if values else chosen
        new = super().__new__(cls, FINISHES[finish](text))
        new.template, new.many, new.number, new.finish = template, many, number, finish
        new.values = MappingProxyType(dict(values))
        new.in_units, new.context = MappingProxyType(dict(in_units)), context
        return new

    def __reduce__(self) -> tuple[Any, ...]:
        parts = (self.template, dict(self.values), self.many, self.number, self.finish)
        return Message, (*parts, dict(self.in_units), self.context)


def _guarded(name: str) -> Callable[..., Any]:
    def refuse(self: Message, *_: object, **__: object) -> Any:
        raise LostTranslation(
            f"{name} would lose the translations of {self.template!r}: put it whole into a "
            "template, or take str() of it where English is meant"
        )

    return refuse


CHANGING = (
    *("__add__", "__radd__", "__mul__", "__rmul__", "__mod__", "__rmod__"),
    *("__format__", "__getitem__", "capitalize", "casefold", "center", "expandtabs", "format"),
    *("format_map", "ljust", "lower", "lstrip", "partition", "removeprefix", "removesuffix"),
    *("replace", "rjust", "rpartition", "rsplit", "rstrip", "split", "strip"),
    *("swapcase", "title", "translate", "upper", "zfill"),
)
"""What makes another text of a str."""
for _name in CHANGING:
    setattr(Message, _name, _guarded(_name))


def in_english(template: str, values: Mapping[str, object]) -> str:
    """The template with its fields filled in, each as it is said."""
    for name, one in values.items():
        if isinstance(one, Message):
            return in_english(template, {**values, name: str(one)})
    return str(template).format_map(values)


def _(template: str, /, **values: object) -> Message:
    """The template with its fields filled in.

    A value that is a list or a tuple is read out with commas. Values that are `Message` are told
    too, other texts (names, what was given) stay as they are in every language, and numbers get
    the language's decimal sign. A text that is said already stays what it is. KeyError where a
    field has no value.
    """
    if not values:
        return template if isinstance(template, Message) else _as_it_stands(template)
    return Message(template, plain_values(values))


@lru_cache(4096)
def _as_it_stands(template: str) -> Message:
    """A text without fields, made once as long as it is used."""
    return Message(template, {})


def ngettext(one: str, many: str, n: int, /, **values: object) -> Message:
    """One of two templates, by how many there are; {n} is the number."""
    return Message(one, plain_values({"n": n, **values}), many=many, number=n)


def pgettext(context: str, template: str, /, **values: object) -> Message:
    """The same of a text that means something of its own in a context: "kept", as "history"."""
    return Message(template, plain_values(values), context=context)


def N_(template: str) -> str:  # noqa: N802 - its usual name
    """A template that is filled in elsewhere, by `_`: marked for the catalogue, unchanged."""
    return template


def joined(separator: str, items: Iterable[str]) -> Message:
    """The items one after another with the separator between; each stays to be told."""
    parts = {f"part{place}": item for place, item in enumerate(items)}
    between = separator.replace("{", "{{").replace("}", "}}")
    return Message(between.join(f"{{{name}}}" for name in parts), parts)


_LISTS = {"and": N_("{some} and {last}"), "or": N_("{some} or {last}")}


def listed(items: Sequence[str], last: str = "and") -> Message:
    """The items in a sentence: "a", "a and b", "a, b and c"; `last` is "and" or "or"."""
    if len(items) < 2:
        return joined("", items)
    return _(_LISTS[last], some=joined(", ", items[:-1]), last=items[-1])


def either(items: Sequence[str]) -> Message:
    """The choices in a sentence: "a or b or c"."""
    first, *others = items
    return reduce(lambda some, last: _(_LISTS["or"], some=some, last=last), others, _(first))


def by_units(usual: Message, **others: Message) -> Message:
    """The usual text; readers of the units that `others` are named by are told those instead."""
    return Message(
        usual.template, usual.values, usual.many, usual.number, usual.finish, others, usual.context
    )


def dated(text: str) -> Message:
    """A day, maybe with its time, as ISO 8601 has it: told as a language writes days."""
    return Message("{text}", {"text": text}, finish="day")


def numeral(digits: str) -> Message:
    """A number as it is printed in English; other languages have another decimal sign."""
    return Message("{digits}", {"digits": digits}, finish="numeral")


def sentence(text: str) -> Message:
    """The text with a capital first letter and an end, if it has none."""
    return Message("{text}", {"text": text}, finish="sentence")


def capitalised(text: str) -> Message:
    """The text with a capital first letter."""
    return Message("{text}", {"text": text}, finish="capital")


def capital(text: str) -> str:
    """The same beginning with a capital."""
    return text[:1].upper() + text[1:]


def _sentence(text: str) -> str:
    text = capital(text)
    return text if text.endswith(ENDS) else text + "."


FINISHES: Mapping[str, Callable[[str], str]] = {
    "": lambda text: text,
    "capital": capital,
    "sentence": _sentence,
    "numeral": lambda text: text,
    "day": lambda text: text,
}
"""What is done to a text once it is filled in, in every language."""


def plain_values(values: Mapping[str, object]) -> Mapping[str, object]:
    """The values of a text, each list or tuple read out with commas."""
    for name, value in values.items():
        if isinstance(value, (list, tuple)):
            return plain_values({**values, name: joined(", ", map(_text, value))})
    return values


def _text(value: object) -> str:
    return value if isinstance(value, str) else str(value)
