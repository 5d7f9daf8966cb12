"""Texts that are said in English and told in other languages."""

from __future__ import annotations

import copy
import json
import pickle
from collections.abc import Callable
from contextlib import suppress
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sockwright.errors import CannotMake, Offer, OrderError, Problem, QuantityError
from sockwright.i18n import (
    ENGLISH,
    LANGUAGES,
    Message,
    UnknownLanguage,
    _,
    by_units,
    capitalised,
    either,
    joined,
    listed,
    locale_of,
    ngettext,
    numeral,
    pgettext,
    sentence,
)
from sockwright.i18n.messages import CHANGING, LostTranslation

GERMAN = locale_of("de")
ANY_TEXT = st.text(st.characters(codec="utf-8"), max_size=20)


def test_what_is_said_is_its_english_text() -> None:
    text = _("{low} to {high}", low=_("left"), high="x")
    assert text == "left to x"
    assert hash(text) == hash("left to x")
    assert {text: 1}["left to x"] == 1
    assert json.dumps([text]) == '["left to x"]'
    assert type(str(text)) is str


@pytest.mark.parametrize(
    "lossy",
    [
        lambda text: text + ".",
        lambda text: "so: " + text,
        lambda text: f"{text}.",
        lambda text: text[:3],
        lambda text: text % (),
        *(partial(lambda name, text: getattr(text, name)(), name) for name in ("split", "upper")),
    ],
)
def test_no_other_text_is_made_of_what_is_said_without_a_word(
    lossy: Callable[[Message], str],
) -> None:
    text = _("turn {part}", part=_("heel"))
    with pytest.raises(LostTranslation):
        lossy(text)
    assert f"{text!s}." == "turn heel."
    assert _("{text}.", text=text).endswith("heel.")
    assert GERMAN.render(joined(", ", (_("heel"), _("toe")))) == "Ferse, Spitze"


def test_whatever_changes_a_str_is_refused() -> None:
    """Every method of str that gives a text, by the library's own documentation of str."""
    kept = {"__new__", "__class__", "__str__", "__repr__", "join", "maketrans"}
    text = "a b"
    for name in dir(str):
        if name in kept or name in CHANGING or not callable(getattr(str, name)):
            continue
        for these in ((), ("a",), (1,), ("%s",)):
            with suppress(TypeError, ValueError, AttributeError, LookupError):
                assert not isinstance(getattr(text, name)(*these), str), name


def test_what_is_said_remembers_its_parts() -> None:
    text = _("{value} cm", value=numeral("2.5"))
    assert text.template == "{value} cm"
    assert dict(text.values) == {"value": "2.5"}
    with pytest.raises(TypeError):
        text.values["value"] = "3"  # type: ignore[index]


@pytest.mark.parametrize(
    "again", [copy.copy, copy.deepcopy, lambda t: pickle.loads(pickle.dumps(t))]
)
def test_copies_can_still_be_told(again: object) -> None:
    assert callable(again)
    for text in (
        _("{some} and {last}", some=_("left"), last=numeral("1.5")),
        sentence(_("left")),
        ngettext("{n} person", "{n} people", 2),
    ):
        other = again(text)
        assert other == text
        assert GERMAN.render(other) == GERMAN.render(text) != text


def test_a_field_without_a_value_is_an_error() -> None:
    with pytest.raises(KeyError):
        _("{low} to {high}", low=1)


def test_without_values_braces_are_braces() -> None:
    assert _("a table such as { rounds = 10 }") == "a table such as { rounds = 10 }"
    assert _("{low}") == "{low}"


def test_one_english_word_may_be_two_german_ones() -> None:
    text = pgettext("state", "main weight on")
    assert text == _("main weight on")
    assert (
        GERMAN.render(text)
        == GERMAN.pgettext("state", "main weight on")
        != GERMAN.render("main weight on")
    )
    assert GERMAN.render(pickle.loads(pickle.dumps(text))) == GERMAN.render(text)
    assert GERMAN.render(by_units(text, yd=_("main weight on"))) == GERMAN.render(text)
    assert ENGLISH.pgettext("history", "kept {n}", n=1.5) == "kept 1.5"


def test_what_is_said_twice_is_said_once() -> None:
    once = _("{value} g", value=3)
    assert _(once) is once


def test_plurals() -> None:
    assert ngettext("{n} person", "{n} people", 1) == "1 person"
    assert ngettext("{n} person", "{n} people", 3) == "3 people"
    assert GERMAN.render(ngettext("{n} person", "{n} people", 1)) == "1 Person"
    assert GERMAN.render(ngettext("{n} person", "{n} people", 3)) == "3 Personen"


@pytest.mark.parametrize(
    ("items", "english", "german"),
    [
        ([], "", ""),
        (["a"], "a", "a"),
        (["a", "b"], "a and b", "a und b"),
        (["a", "b", "c"], "a, b and c", "a, b und c"),
    ],
)
def test_lists(items: list[str], english: str, german: str) -> None:
    assert listed(items) == english
    assert GERMAN.render(listed(items)) == german


def test_choices() -> None:
    assert either(["60", "72", "84"]) == "60 or 72 or 84"
    assert GERMAN.render(either(["60", "72"])) == "60 oder 72"
    assert listed(["a", "b", "c"], "or") == "a, b or c"


@given(st.lists(ANY_TEXT, max_size=4), ANY_TEXT)
def test_joining_is_that_of_plain_texts(items: list[str], separator: str) -> None:
    assert joined(separator, items) == separator.join(items)
    assert GERMAN.render(joined(separator, items)) == separator.join(items)


@given(ANY_TEXT)
def test_names_stay_as_they_are(name: str) -> None:
    """A yarn called "heel" is nobody's heel."""
    for called in (name, "heel"):
        assert GERMAN.render(_("{value} kg", value=called)) == f"{called} kg"
        assert GERMAN.named(called) == called
    assert GERMAN.named(_("heel")) == "Ferse"


@pytest.mark.parametrize("sign", [1, -1])
def test_numbers_have_a_decimal_comma_in_german(sign: int) -> None:
    text = _("{value:.2f} mm", value=sign * 2.5)
    assert text == f"{sign * 2.5:.2f} mm"
    assert GERMAN.render(text).startswith(f"{'-' if sign < 0 else ''}2,50")
    assert GERMAN.render(numeral("1,234.5")) == "1.234,5"
    assert GERMAN.render(_("{people:,} {whose}", people=1986, whose="x")) == "1.986 x"


def test_a_list_as_value_is_read_out() -> None:
    text = _("known: {known}", known=("wool", _("left")))
    assert text == "known: wool, left"
    assert GERMAN.render(text) == "bekannt: wool, links"


def test_sentences() -> None:
    assert sentence("the end") == "The end."
    assert sentence("The end!") == "The end!"
    assert capitalised("the end") == "The end"
    assert GERMAN.render(sentence(_("heel"))) == "Ferse."


@given(ANY_TEXT)
def test_english_is_told_as_it_is_said(text: str) -> None:
    for one in (_("{value} kg", value=text), sentence(text or "x"), text):
        assert ENGLISH.render(one) == one


def test_an_unknown_text_stays() -> None:
    assert GERMAN.render("no such text anywhere") == "no such text anywhere"
    assert GERMAN.render("") == ""


def test_an_unknown_language_names_those_there_are() -> None:
    assert list(LANGUAGES) == ["en", "de"]
    with pytest.raises(UnknownLanguage, match=r"'tlh'.*en, de"):
        locale_of("tlh")


def test_a_language_is_loaded_once() -> None:
    assert locale_of("de") is GERMAN
    assert copy.deepcopy(GERMAN) is GERMAN


def test_errors_can_be_told() -> None:
    problem = Problem("foot.length", _("is missing"), _("give {file}", file="a.toml"))
    assert GERMAN.render(problem.message) == "foot.length: fehlt; angeben: a.toml"
    assert GERMAN.render(OrderError((problem,)).message) == GERMAN.render(problem.message)
    refusal = CannotMake(_("no such cup"), (Offer(_("smaller cups"), _("nothing")),))
    assert str(refusal) == "no such cup\n  instead: smaller cups (nothing)"
    told = "keine solche Kappe\n  stattdessen: kleinere Kappen (nichts)"
    assert GERMAN.render(refusal.message) == told
    quantity = QuantityError(_("is empty"), _("is missing"))
    assert isinstance(quantity.message, Message)
    assert GERMAN.render(quantity.message) == "ist leer; fehlt"
