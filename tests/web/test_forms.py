"""The forms of kept things: every key has a field, and a document comes back as it was typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws.test_order_laws import orders
from sockwright.errors import Problem
from sockwright.grammar.declare import Place
from sockwright.order import to_toml
from sockwright.order.document import parse_document
from sockwright.store.items import ItemKind
from sockwright.store.models import fields_of
from sockwright.web.forms.documents import number_of, written
from sockwright.web.forms.fields import form_items
from sockwright.web.forms.items import Field, every
from sockwright.web.forms.problems import troubled
from sockwright.web.forms.texts import full_label, label, places, row, tidy, typed, without_row
from sockwright.workshop.kinds import TYPES, check_document
from workshops import DESIGN, MACHINE, PERSON, SWATCH, YARN

KINDS = [kind for kind in ItemKind if kind is not ItemKind.SOCK]
PARTS = {ItemKind.MACHINE: "machine", ItemKind.DESIGN: "sock"}

Document = dict[str, Any]


def parts(order: Document) -> Iterator[tuple[ItemKind, Document]]:
    """What an order says, as documents of kept things."""
    yield ItemKind.PERSON, {name: order[name] for name in ("wearer", "foot") if name in order}
    yield from ((ItemKind.YARN, yarn) for yarn in order["yarn"].values())
    yield from ((kind, order.get(name, {})) for kind, name in PARTS.items())
    for swatch in order.get("swatch", []):
        yield ItemKind.SWATCH, {key: value for key, value in swatch.items() if key != "yarn"}


def ways(value: Any) -> st.SearchStrategy[Any]:
    """The same value written otherwise: in short, at length, with blanks, in capitals."""
    if isinstance(value, dict):
        tables = st.fixed_dictionaries({key: ways(one) for key, one in value.items()})
        return tables | st.sampled_from([value.get("needles"), value.get("name")])
    if isinstance(value, list):
        return st.tuples(*map(ways, value)).map(list) | st.sampled_from(value or [[]])
    if isinstance(value, str):
        return st.sampled_from([value, f"  {value} ", value.upper(), value.replace(" ", "_")])
    number = isinstance(value, int) and not isinstance(value, bool)
    if number:
        return st.sampled_from([value, float(value), str(value), {"needles": value}, [value]])
    return st.just(value)


@st.composite
def documents(draw: st.DrawFn) -> tuple[ItemKind, Document]:
    """A sound document of a kept thing, written in one of many ways."""
    order = parse_document(to_toml(draw(orders())), "an order")
    kind, document = draw(st.sampled_from(list(parts(order))))
    for key in document:
        otherwise = {**document, key: draw(ways(document[key]))}
        if not problems_of(kind, otherwise):
            document = otherwise
    empty = {**draw(st.sampled_from([{"ease": {}}, {"marks": {"home": {}}}, {"wales": []}]))}
    if not problems_of(kind, {**empty, **document}):
        document = {**empty, **document}
    return kind, document


def problems_of(kind: ItemKind, document: Mapping[str, Any]) -> list[Problem]:
    found: list[Problem] = []
    check_document(kind, document, Place("", found))
    return found


def sent(kind: ItemKind, document: Document) -> dict[str, str]:
    """What a browser sends of the untouched form of a document, blank fields and all."""
    items = form_items(kind, dict(typed(TYPES[kind].grammar, document)))
    fields = [one for one in every(items) if isinstance(one, Field)]
    return {one.path: one.text.replace("\n", "\r\n") for one in fields}


def meaning(kind: ItemKind, document: Document) -> Any:
    """What the engine reads in a sound document."""
    found: list[Problem] = []
    value = TYPES[kind].grammar.read(document, Place("", found))
    assert not found
    return repr(value)


@given(documents(), st.data(), st.sets(st.integers(0, 60), max_size=6))
def test_a_form_and_its_document_keep_to_each_other(
    given_one: tuple[ItemKind, Document], data: st.DataObject, blank: set[int]
) -> None:
    an_untouched_form_gives_its_document_to_the_letter(*given_one)
    a_form_filled_in_anew_means_the_same(*given_one)
    a_touched_field_changes_nothing_else(*given_one, data)
    whatever_is_left_blank_the_rest_is_read(*given_one, blank)


def an_untouched_form_gives_its_document_to_the_letter(kind: ItemKind, document: Document) -> None:
    back = written(TYPES[kind].grammar, tidy(sent(kind, document).items()), document)
    assert repr(back.document) == repr(document)
    assert back.problems == ()


def a_form_filled_in_anew_means_the_same(kind: ItemKind, document: Document) -> None:
    back = written(TYPES[kind].grammar, tidy(sent(kind, document).items()), {})
    assert back.problems == ()
    assert problems_of(kind, back.document) == []
    if kind is not ItemKind.PERSON:
        assert meaning(kind, back.document) == meaning(kind, document)


def a_touched_field_changes_nothing_else(
    kind: ItemKind, document: Document, data: st.DataObject
) -> None:
    fields = sent(kind, document)
    plain = sorted(path for path in fields if "[" not in path)
    path = data.draw(st.sampled_from(plain))
    touched = tidy({**fields, path: "quite another"}.items())
    back = written(TYPES[kind].grammar, touched, document).document
    *tables, key = path.split(".")
    here, was = back, document
    for name in tables:
        assert {k: v for k, v in here.items() if k != name} == {
            k: v for k, v in was.items() if k != name
        }
        here, was = here[name], was.get(name, {})
        if not isinstance(was, dict):
            was = {"name": was}
        if not isinstance(here, dict):
            here = {"name": here}
    assert here[key] == "quite another"
    others = [{k: v for k, v in one.items() if k != key} for one in (here, was)]
    assert others[0] == others[1]


def whatever_is_left_blank_the_rest_is_read(
    kind: ItemKind, document: Document, blank: set[int]
) -> None:
    fields = sent(kind, document)
    for place, path in enumerate(list(fields)):
        if place in blank:
            fields[path] = ""
    texts = tidy(fields.items())
    back = written(TYPES[kind].grammar, texts, document)
    again = dict(typed(TYPES[kind].grammar, back.document))
    said = {path: text.strip() for path, text in texts.items() if text.strip()}
    lost = said.keys() - {path for path, text in again.items()}
    assert lost == set()


@pytest.mark.parametrize("kind", KINDS)
def test_all_that_is_said_beside_a_document_has_a_label(kind: ItemKind) -> None:
    assert {*fields_of(kind)} - {"about_kind"} <= TYPES[kind].labels.keys()
    assert all(label(kind, path) for path in TYPES[kind].labels)


@pytest.mark.parametrize("kind", KINDS)
def test_every_place_of_a_document_has_a_label_of_letters(kind: ItemKind) -> None:
    assert not [path for path, one in places(kind).items() if not str(one.label)[:1].isupper()]


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_a_form_has_a_label_and_an_id_of_its_own(kind: ItemKind) -> None:
    items = list(every(form_items(kind, {})))
    assert all(one.label for one in items)
    assert len({one.id for one in items}) == len(items)
    assert {one.path for one in items if one.tag == "rows"} == {
        path for path, one in places(kind).items() if one.more
    }


EXAMPLES = {
    ItemKind.PERSON: PERSON,
    ItemKind.YARN: YARN,
    ItemKind.MACHINE: MACHINE,
    ItemKind.SWATCH: SWATCH,
    ItemKind.DESIGN: DESIGN,
}

PLACES = [
    (ItemKind.PERSON, {"foot.length": "24.5"}, "foot.length"),
    (ItemKind.PERSON, {"foot.left.length": "a boot"}, "foot.left.length"),
    (ItemKind.PERSON, {"wearer.name": ""}, "wearer.name"),
    (ItemKind.YARN, {"fibres[1].value": "180 %"}, "fibres[1].value"),
    (ItemKind.YARN, {"fibres[1].name": ""}, "fibres[1].name"),
    (ItemKind.YARN, {"fibres[2].name": "chalk"}, "fibres"),
    (ItemKind.YARN, {"fineness": "thin"}, "fineness"),
    (ItemKind.MACHINE, {"cylinders[1].needles": "many"}, "cylinders[1].needles"),
    (ItemKind.MACHINE, {"cylinders[2].needles": ""}, "cylinders[2].needles"),
    (ItemKind.MACHINE, {"cylinders[2].needles": "54"}, "cylinders"),
    (ItemKind.MACHINE, {"marks.home.name": "x" * 300}, "marks.home.name"),
    (ItemKind.SWATCH, {"wales[2]": "30"}, "wales[2]"),
    (ItemKind.SWATCH, {"wales[1]": "50 in 10 cm", "wales[2]": "50 in 10 cm"}, "wales"),
    (ItemKind.SWATCH, {"unravelled[1].length": "8 m"}, "unravelled[1]"),
    (ItemKind.DESIGN, {"leg.leg": "12 cm"}, "leg.leg"),
]


@pytest.mark.parametrize(("kind", "typed_wrong", "place"), PLACES)
def test_a_problem_stands_at_its_field(
    kind: ItemKind, typed_wrong: dict[str, str], place: str
) -> None:
    fields = {**sent(kind, EXAMPLES[kind]), **typed_wrong}
    texts = tidy(fields.items())
    back = written(TYPES[kind].grammar, texts, EXAMPLES[kind])
    problems = problems_of(kind, back.document)
    assert problems
    form = troubled(kind, form_items(kind, texts), texts, problems)
    assert {one.path for one in every(form.items) if one.problems} == {place}
    assert [one.id for one in form.troubles] == [
        next(
            f.id
            for f in every([next(one for one in every(form.items) if one.path == place)])
            if isinstance(f, Field)
        )
    ] * len(problems)


def test_a_swatch_without_readings_is_told_where_the_first_is_filled_in() -> None:
    texts = dict(typed(TYPES[ItemKind.SWATCH].grammar, {"state": "washed", "needles": 60}))
    problems = problems_of(ItemKind.SWATCH, {"name": "bare", "state": "washed", "needles": 60})
    form = troubled(ItemKind.SWATCH, form_items(ItemKind.SWATCH, texts), texts, problems)
    (trouble,) = form.troubles
    assert (trouble.label, trouble.id) == ("Wales", "field-wales-1")
    assert "Unravelled yarn" in trouble.problem.right
    assert "flat_width" not in trouble.problem.right


def test_a_problem_of_no_field_is_told_all_the_same() -> None:
    problem = Problem("nowhere", "is odd", "mend it")
    form = troubled(ItemKind.SWATCH, form_items(ItemKind.SWATCH, {}), {}, [problem])
    assert [(one.label, one.id) for one in form.troubles] == [("", "")]
    assert form.troubles[0].problem.wrong == "is odd"


def test_a_name_given_twice_and_a_number_in_words_are_told() -> None:
    texts = {"fibres[1].name": "wool", "fibres[1].value": "50 %", "fibres[2].name": "wool"}
    found = written(TYPES[ItemKind.YARN].grammar, {**texts, "plies": "four"}, {})
    assert [(one.path, one.wrong) for one in found.problems] == [
        ("plies", '"four" is not a number'),
        ("fibres[2].name", "gives a name twice"),
    ]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("60", 60),
        ("60,5", 60.5),
        ("60.50", 60.5),
        ("1,250", None),
        ("six", None),
        ("9" * 5000, None),
        ("1e5", 1e5),
        ("", None),
        ("٣", None),
    ],
)
def test_numbers_are_read_with_either_sign(text: str, number: float | None) -> None:
    assert number_of(text) == number
    assert type(number_of(text)) is type(number)


def test_rows_that_say_nothing_are_left_out_and_one_can_be_taken_away() -> None:
    texts = {"wales[1]": " ", "wales[3]": "30 in 10 cm", "wales[7]": "31 in 10 cm"}
    assert tidy(texts.items()) == {"wales[1]": "30 in 10 cm", "wales[2]": "31 in 10 cm"}
    assert without_row(tidy(texts.items()), row("wales", 1)) == {"wales[1]": "31 in 10 cm"}
    (rows,) = [
        one
        for one in form_items(ItemKind.SWATCH, tidy(texts.items()), "wales")
        if one.path == "wales"
    ]
    assert rows.tag == "rows"
    assert len(rows.rows) == 3
    assert rows.fresh == 3


def test_a_cylinder_is_in_short_where_it_was_and_at_length_where_it_was() -> None:
    machine = TYPES[ItemKind.MACHINE].grammar
    before = {"turns": "carrier", "cylinders": [54, {"needles": 60}]}
    texts = {"turns": "carrier", "cylinders[1].needles": "56", "cylinders[2].needles": "64"}
    assert written(machine, texts, before).document["cylinders"] == [56, {"needles": 64}]
    longer = {**texts, "cylinders[1].diameter": "10 cm"}
    assert written(machine, longer, before).document["cylinders"] == [
        {"needles": 56, "diameter": "10 cm"},
        {"needles": 64},
    ]
    fewer = written(machine, {"cylinders[1].needles": "60"}, before)
    assert fewer.document["cylinders"] == [{"needles": 60}]


def test_a_field_with_the_same_name_elsewhere_is_told_with_its_table() -> None:
    assert full_label(ItemKind.PERSON, "foot.left.length") == "Left foot: Foot length"
    assert full_label(ItemKind.MACHINE, "cylinders[2].needles") == "Cylinders 2: Needles"
    assert full_label(ItemKind.SWATCH, "wales[2]") == "Wales 2"
    assert full_label(ItemKind.YARN, "on_hand") == "On hand"


def test_every_kind_of_value_has_a_field_of_its_shape() -> None:
    shapes = {
        one.path: one.shape
        for kind in KINDS
        for one in every(form_items(kind, {}))
        if isinstance(one, Field)
    }
    assert shapes["foot.length"] == "text"
    assert shapes["wearer.age"] == "number"
    assert shapes["wearer.sex"] == "choice"
    assert shapes["leg.shaped"] == "choice"
    assert shapes["landmarks[1].value"] == "text"
    assert shapes["date"] == "day"
    assert shapes["text"] == "lines"
