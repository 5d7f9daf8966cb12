"""The catalogues of words: up to date, whole, and with the fields of the English texts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.catalog import Message as Entry

from sockwright import load_order, make_plan
from sockwright.facts import STANDINGS, table
from sockwright.facts.feet import foot_measures
from sockwright.i18n import LANGUAGES, Message, locale_of
from sockwright.plan.explain import sources
from words_tool import tool

ROOT = Path(__file__).parents[2]
OTHERS = [language for language in LANGUAGES if language != "en"]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
FACTS = (ROOT / "src" / "sockwright" / "facts").glob("*.toml")
TABLES = sorted({path.stem for path in FACTS} - {"foot_measures"})
FIELD = re.compile(r"\{(\w+)|%\((\w+)\)")


@cache
def texts() -> Catalog:
    found: Catalog = tool().texts()
    return found


def ids(catalog: Catalog) -> set[str]:
    """The texts that are told in every context."""
    return {message.id if isinstance(message.id, str) else message.id[0] for message in catalog}


def entries(language: str) -> list[Entry]:
    return [message for message in tool().catalogue(language) if message.id]


def strings(message: Entry) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string,)


def fields(texts: str | tuple[str, ...]) -> set[str]:
    whole = texts if isinstance(texts, str) else "\n".join(texts)
    return {name or other for name, other in FIELD.findall(whole)}


@pytest.mark.parametrize("language", OTHERS)
def test_a_catalogue_is_not_stale(language: str) -> None:
    path = ROOT / "src" / "sockwright" / "i18n" / f"{language}.po"
    known, found = (
        {(message.context, message.id) for message in catalog}
        for catalog in (tool().catalogue(language), texts())
    )
    assert not found - known, "make words"
    assert not known - found, "make words"
    assert tool().renewed(language, texts()) == path.read_text(encoding="utf-8"), "make words"


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_translated(language: str) -> None:
    assert [each.id for each in entries(language) if not all(strings(each)) or each.fuzzy] == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_has_the_fields_of_the_english(language: str) -> None:
    wrong = [
        (each.id, one)
        for each in entries(language)
        for one in strings(each)
        if one and fields(one) != fields(each.id)
    ]
    assert wrong == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_is_filled_in_as_the_english_is(language: str) -> None:
    """A field keeps what tells how its value is printed: {x:.2f} must not become {x}."""
    form = re.compile(r"\{(\w+[^}]*)\}")
    wrong = [
        each.id
        for each in entries(language)
        if isinstance(each.id, str)
        and all(strings(each))
        and set(form.findall(each.string)) != set(form.findall(each.id))
    ]
    assert wrong == []


@pytest.mark.parametrize("language", OTHERS)
def test_blanks_at_the_ends_and_marks_of_type_are_kept(language: str) -> None:
    wrong = [
        each.id
        for each in entries(language)
        if isinstance(each.id, str)
        and each.string
        and (
            each.id[:1].isspace() != each.string[:1].isspace()
            or each.id[-1:].isspace() != each.string[-1:].isspace()
            or each.id.count("*") % 2 != each.string.count("*") % 2
        )
    ]
    assert wrong == []


def test_texts_are_found_in_every_kind_of_place() -> None:
    found = ids(texts())
    places = {
        "a module": "the foot has no length",
        "the crank program": "Take the heel weights off.",
        "the sheets": "How to read this sheet",
        "a sheet's template": "The readings",
        "a drawing": "Side view of the sock",
        "a key of the order": "who wears the socks",
        "what a key takes": "a table of the design",
        "a choice": "hung hem",
        "a measure": "ball girth",
    }
    assert {place for place, text in places.items() if text not in found} == set()


@pytest.mark.parametrize("text", ['f"a {x}"', '"a " + x', '"a" if x else f"b {x}"'])
def test_a_text_that_is_put_together_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="put together"):
        list(tool().in_module(BytesIO(f"_({text})".encode()), None, None, None))


def test_both_texts_of_a_choice_are_found() -> None:
    found = tool().in_module(BytesIO(b'render("a" if x else "b" if y else "c", n=1)'), 0, 0, 0)
    assert [text for _, _, (text,), _ in found] == ["a", "b", "c"]


def test_a_told_text_is_that_of_the_catalogue() -> None:
    told = {each.id: each.string for each in entries("de") if isinstance(each.id, str)}
    text = "the foot has no length"
    assert locale_of("de").render(text) == told[text] != text


def told_parts(text: str) -> Iterator[str]:
    """The templates of what is said; a plain text as it stands."""
    if not isinstance(text, Message):
        yield text
        return
    yield text.template
    for value in text.values.values():
        if isinstance(value, str):
            yield from told_parts(value)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_every_source_that_an_explanation_tells_is_in_the_catalogue(example: Path) -> None:
    """Sources come from tables of facts: one that is told must be translated too."""
    facts = {each.source for name in TABLES for each in table(name).values()}
    facts |= {each.source for one in foot_measures().values() for each in one.swells.values()}
    told = set()
    for each in sources(make_plan(load_order(example))):
        inputs = (*each.inputs, *each.rests_on)
        for text in (each.source, each.standing, *(one.source for one in inputs)):
            told |= {part for part in told_parts(text) if part in facts | set(STANDINGS)}
    assert told & facts, "no explanation tells a fact's source"
    assert told - ids(texts()) == set()
