"""Keeping, changing, deleting, undoing: as typed, checked by the order's own reader."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from sockwright.store.items import ItemKind, NotKept, Stale
from sockwright.workshop import Workshop
from workshops import (
    DESIGN,
    MACHINE,
    PERSON,
    SWATCH,
    YARN,
    everything,
    furnish,
    kept,
    note,
    problems,
)

NOBODY = "00000000-0000-4000-8000-000000000000"


def test_what_is_kept_is_kept_as_it_was_typed(one: Workshop) -> None:
    typed = {"wearer": {"name": "dog handler"}, "foot": {"length": "9 5/8 in", "load": "sitting"}}
    thing = kept(one.keep(ItemKind.PERSON, typed))
    found = one.thing(ItemKind.PERSON, thing.id)
    assert found == thing
    assert found.document == typed
    assert (found.name, found.version, found.example, found.deleted) == (
        "dog handler",
        1,
        False,
        None,
    )


def test_a_day_of_a_toml_file_becomes_a_text(one: Workshop) -> None:
    choice = furnish(one)
    fields = {"yarn_id": choice.yarns["main"], "machine_id": choice.machine}
    swatch = kept(one.keep(ItemKind.SWATCH, {**SWATCH, "date": date(2025, 10, 12)}, fields=fields))
    assert one.thing(ItemKind.SWATCH, swatch.id).document["date"] == "2025-10-12"


WRONG: tuple[tuple[ItemKind, dict[str, Any], str], ...] = (
    (ItemKind.PERSON, {}, "wearer.name"),
    (ItemKind.PERSON, {"wearer": {}}, "wearer.name"),
    (ItemKind.PERSON, {**PERSON, "foot": {"length": "245 cm"}}, "foot.length"),
    (
        ItemKind.PERSON,
        {**PERSON, "foot": {"length": "22 cm", "ball_girth": "37.5 cm"}},
        "foot.ball_girth",
    ),
    (ItemKind.YARN, {"name": "grey"}, "fineness"),
    (ItemKind.YARN, {**YARN, "plys": 4}, "plys"),
    (ItemKind.MACHINE, {**MACHINE, "cylinders": []}, "cylinders"),
    (ItemKind.MACHINE, {"file": "bench.toml"}, "file"),
    (ItemKind.DESIGN, {"cuff": {"rounds": -3}}, "cuff.rounds"),
    (ItemKind.NOTE, {"text": " \n"}, "text"),
    (ItemKind.NOTE, {"text": "bell\a"}, "text"),
)
"""Documents that do not read, and where."""


def test_what_does_not_read_is_refused_with_its_place(one: Workshop) -> None:
    for kind, document, path in WRONG:
        fields = {"about_kind": "yarn", "about_id": NOBODY} if kind is ItemKind.NOTE else {}
        assert path in problems(one.keep(kind, document, "a name", fields)), document
    assert everything(one) == {}


def test_all_problems_are_told_at_once(one: Workshop) -> None:
    document = {"wearer": {"age": "old"}, "foot": {"length": "9", "toes": 5}}
    found = problems(one.keep(ItemKind.PERSON, document))
    assert set(found) == {"wearer.age", "wearer.name", "foot.length", "foot.toes"}


def test_a_design_needs_a_name_beside_its_document(one: Workshop) -> None:
    assert problems(one.keep(ItemKind.DESIGN, DESIGN)) == {"name": "is empty"}
    assert kept(one.keep(ItemKind.DESIGN, DESIGN, " boot ")).name == "boot"


def test_a_swatch_names_its_yarn_and_machine(one: Workshop) -> None:
    choice = furnish(one)
    assert set(problems(one.keep(ItemKind.SWATCH, SWATCH))) == {"yarn_id", "machine_id"}
    fields = {"yarn_id": choice.yarns["main"], "machine_id": NOBODY}
    found = problems(one.keep(ItemKind.SWATCH, SWATCH, fields=fields))
    assert set(found) == {"machine_id"}
    with_role = {**SWATCH, "yarn": "main"}
    fields["machine_id"] = choice.machine
    assert set(problems(one.keep(ItemKind.SWATCH, with_role, fields=fields))) == {"yarn"}


def test_nothing_new_refers_to_what_was_deleted(one: Workshop) -> None:
    choice = furnish(one)
    one.delete(ItemKind.MACHINE, choice.machine, 1)
    fields = {"yarn_id": choice.yarns["main"], "machine_id": choice.machine}
    found = problems(one.keep(ItemKind.SWATCH, SWATCH, fields=fields))
    assert found == {"machine_id": '"the bench machine" was deleted'}
    # What referred to it before may still be changed.
    swatch = choice.swatches[0]
    assert kept(one.change(ItemKind.SWATCH, swatch, 1, {**SWATCH, "cam": 15})).version == 2


def test_a_change_may_be_of_one_thing_only(one: Workshop) -> None:
    machine = kept(one.keep(ItemKind.MACHINE, MACHINE))
    serviced = kept(one.change(ItemKind.MACHINE, machine.id, 1, fields={"serviced": "2025-10-01"}))
    assert serviced.document == MACHINE
    renamed = kept(one.change(ItemKind.MACHINE, machine.id, 2, {**MACHINE, "name": "bench"}))
    assert (renamed.name, renamed.fields["serviced"]) == ("bench", "2025-10-01")
    found = problems(one.change(ItemKind.MACHINE, machine.id, 3, fields={"serviced": "1 October"}))
    assert set(found) == {"serviced"}


def test_a_stale_change_is_refused_before_anything_else(one: Workshop) -> None:
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    kept(one.change(ItemKind.YARN, yarn.id, 1, {**YARN, "colour": "slate"}))
    with pytest.raises(Stale) as refusal:
        one.change(ItemKind.YARN, yarn.id, 1, {"nonsense": 1})
    assert [(change.path, change.now) for change in refusal.value.changes] == [("colour", "slate")]


def test_a_thing_is_made_again_what_it_was_at_any_version(one: Workshop) -> None:
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    documents = [YARN, *({**YARN, "on_hand": f"{grams} g"} for grams in (120, 90, 20))]
    for seen, document in enumerate(documents[1:], 1):
        kept(one.change(ItemKind.YARN, yarn.id, seen, document))
    for seen, version in enumerate((3, 2, 1, 4), 4):
        again = kept(one.back_to(ItemKind.YARN, yarn.id, seen, version))
        assert (again.document, again.version) == (documents[version - 1], seen + 1)


def test_going_back_to_the_same_writes_nothing(one: Workshop) -> None:
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    assert kept(one.back_to(ItemKind.YARN, yarn.id, 1, 1)) == yarn
    assert one.thing(ItemKind.YARN, yarn.id) == yarn


def test_going_back_neither_deletes_nor_puts_back(one: Workshop) -> None:
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    kept(one.change(ItemKind.YARN, yarn.id, 1, {**YARN, "on_hand": "20 g"}))
    one.delete(ItemKind.YARN, yarn.id, 2)
    one.restore(ItemKind.YARN, yarn.id, 3)
    assert kept(one.back_to(ItemKind.YARN, yarn.id, 4, 3)).deleted is None
    gone = one.delete(ItemKind.YARN, yarn.id, 4)
    assert kept(one.back_to(ItemKind.YARN, yarn.id, 5, 1)).deleted == gone.deleted


def test_a_deletion_can_be_taken_back(one: Workshop) -> None:
    person = kept(one.keep(ItemKind.PERSON, PERSON))
    gone = one.delete(ItemKind.PERSON, person.id, 1)
    assert gone.deleted is not None
    assert one.things(ItemKind.PERSON) == ()
    assert one.restore(ItemKind.PERSON, person.id, 2).document == PERSON
    assert [thing.id for thing in one.things(ItemKind.PERSON)] == [person.id]


def test_a_version_that_never_was_is_told(one: Workshop) -> None:
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    answer = one.back_to(ItemKind.YARN, yarn.id, 1, 7)
    assert problems(answer) == {"version": "there was no version 7"}


def test_what_is_not_kept_is_told(one: Workshop) -> None:
    for deed in (one.delete, one.restore, one.change):
        with pytest.raises(NotKept):
            deed(ItemKind.YARN, NOBODY, 1)
    with pytest.raises(NotKept):
        one.back_to(ItemKind.YARN, NOBODY, 1, 1)


def test_notes_attach_to_anything(one: Workshop) -> None:
    choice = furnish(one)
    pair = kept(one.plan_sock(choice))
    for thing in [thing for kind in ItemKind for thing in one.things(kind)]:
        written = note(one, thing, f"About the {thing.kind}.\nSecond line.")
        assert written.name == f"About the {thing.kind}."
        assert written in one.used_by(thing.kind, thing.id)
    assert pair in one.used_by(ItemKind.PERSON, choice.person)
    assert {thing.kind for thing in one.used_by(ItemKind.MACHINE, choice.machine)} == {
        ItemKind.SWATCH,
        ItemKind.SOCK,
        ItemKind.NOTE,
    }


@pytest.mark.parametrize("text", ["17\u00a0°C\r\nin the drying room", "👩\u200d🚒 asks\tfor two"])
def test_a_note_may_hold_what_a_browser_sends(one: Workshop, text: str) -> None:
    written = note(one, kept(one.keep(ItemKind.YARN, YARN)), text)
    assert one.thing(ItemKind.NOTE, written.id).document == {"text": text}
    assert written.name in ("17 °C", "👩\u200d🚒 asks for two")


def test_a_yarn_is_used_up_or_on_hand(one: Workshop) -> None:
    found = problems(one.keep(ItemKind.YARN, YARN, fields={"used_up": True}))
    assert set(found) == {"used_up"}
    bare = {key: value for key, value in YARN.items() if key != "on_hand"}
    yarn = kept(one.keep(ItemKind.YARN, bare, fields={"used_up": True}))
    # More of it was bought.
    assert kept(one.change(ItemKind.YARN, yarn.id, 1, YARN)).fields == {"used_up": False}


def test_a_pair_is_not_kept_like_a_thing(one: Workshop) -> None:
    with pytest.raises(ValueError, match="plan_sock"):
        one.keep(ItemKind.SOCK, {})
