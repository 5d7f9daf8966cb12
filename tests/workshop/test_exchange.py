"""Orders and whole workshops out and in: without loss, without doubles, never by half."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from sockwright.order import load_order, parse_order
from sockwright.store.items import ItemKind
from sockwright.workshop import Problems, Workshop, backup
from sockwright.workshop.backup import JoinResult, checksum
from sockwright.workshop.order_exchange import Taken
from sockwright.workshop.pairs import choice_of
from workshops import (
    START,
    YARN,
    database_of,
    everything,
    furnish,
    kept,
    note,
    problems,
    workshop,
)

EXAMPLES = Path(__file__).parents[2] / "examples"
ORDERS = sorted(EXAMPLES.glob("*.toml"))


@pytest.fixture
def opened(urls: Callable[[str], str]) -> Iterator[Callable[..., Workshop]]:
    """Opens empty workshops of a kind of database."""
    every: list[Workshop] = []

    def another(kind: str = "sqlite", **start: Any) -> Workshop:
        every.append(workshop(urls(kind), **start))
        return every[-1]

    yield another
    for one in every:
        database_of(one).close()


def taken(answer: object) -> Taken:
    assert isinstance(answer, Taken), answer
    return answer


def joined(answer: object) -> dict[str, int]:
    assert isinstance(answer, JoinResult), answer
    return {name: len(things) for name, things in vars(answer).items() if things}


@pytest.mark.parametrize("path", ORDERS, ids=lambda path: path.stem)
def test_an_order_file_survives_the_workshop(path: Path, opened: Callable[..., Workshop]) -> None:
    one = opened()
    order = load_order(path)
    pair = taken(one.import_order(path.read_text("utf-8"), EXAMPLES)).sock
    assert parse_order(one.export_order(pair.id)) == order
    answer = one.compose_order(choice_of(pair))
    assert not isinstance(answer, Problems), answer
    assert (answer.order, answer.toml) == (order, one.export_order(pair.id))


def test_the_same_order_is_kept_once(opened: Callable[..., Workshop]) -> None:
    one = opened()
    text = ORDERS[0].read_text("utf-8")
    first = taken(one.import_order(text))
    before = everything(one)
    for again in (text, one.export_order(first.sock.id)):
        second = taken(one.import_order(again))
        assert (second.sock, second.new) == (first.sock, ())
        assert everything(one) == before


def test_orders_share_the_machine_they_have_in_common(opened: Callable[..., Workshop]) -> None:
    one = opened()
    shared = [path for path in ORDERS if "station-bench.toml" in path.read_text("utf-8")]
    assert len(shared) == 3
    for path in shared:
        taken(one.import_order(path.read_text("utf-8"), EXAMPLES))
    assert [thing.name for thing in one.things(ItemKind.MACHINE)] == ["the station's bench machine"]
    assert len(one.things(ItemKind.PERSON)) == len(one.things(ItemKind.SOCK)) == 3


def test_parts_without_a_name_get_the_readers(opened: Callable[..., Workshop]) -> None:
    one = opened()
    text = """
        [foot]
        length = "24 cm"
        [yarn.main]
        fineness = "100 g / 400 m"
        [yarn.cuff]
        fineness = "100 g / 400 m"
        [machine]
        turns = "carrier"
        cylinders = 60
        [swatch]
        state = "washed"
        needles = 60
        yarn = "Cuff"
        wales = "30 in 10 cm"
        """
    pair = taken(one.import_order(text)).sock
    assert parse_order(one.export_order(pair.id)) == parse_order(text)
    assert [thing.name for thing in one.things(ItemKind.YARN)] == ["cuff", "main"]
    assert one.things(ItemKind.PERSON)[0].name == "the wearer"


def test_two_skeins_alike_stay_two(opened: Callable[..., Workshop]) -> None:
    one = opened()
    skein = 'name = "grey"\nfineness = "100 g / 400 m"\non_hand = "100 g"\n'
    text = (
        '[wearer]\nshoe_size = "EU 40"\n[machine]\nturns = "carrier"\ncylinders = 60\n'
        f"[yarn.main]\n{skein}[yarn.toe]\n{skein}"
    )
    pair = taken(one.import_order(text)).sock
    assert len(one.things(ItemKind.YARN)) == 2
    assert parse_order(one.export_order(pair.id)) == parse_order(text)


def test_an_order_that_does_not_read_leaves_nothing(opened: Callable[..., Workshop]) -> None:
    one = opened()
    assert "yarn.main.fineness" in problems(one.import_order("[machine]\nturns = 'carrier'"))
    bench = (EXAMPLES / "winch-operator.toml").read_text("utf-8")
    assert set(problems(one.import_order(bench))) == {"machine.file"}
    assert everything(one) == {}


@pytest.mark.parametrize(("there", "back"), [("sqlite", "postgresql"), ("postgresql", "sqlite")])
def test_a_whole_workshop_moves_between_databases(
    there: str, back: str, opened: Callable[..., Workshop]
) -> None:
    one, other = opened(there), opened(back)
    one.add_example()
    pair = kept(one.plan_sock(furnish(one)))
    kept(one.log_sock(pair.id, 1, {"time": "2025-11-03", "note": "grün ½ \u2028"[:6]}))
    one.delete(ItemKind.NOTE, note(one, pair, "wrong").id, 1)
    data = one.export_all()
    assert joined(other.import_all(data)) == {"new": len(everything(one))}
    assert other.export_all() == data
    assert everything(other) == everything(one)


def test_taken_in_twice_is_taken_in_once(opened: Callable[..., Workshop]) -> None:
    one, other = opened(), opened()
    one.add_example()
    own = kept(other.keep(ItemKind.YARN, YARN))
    other.import_all(one.export_all())
    before = other.export_all()
    assert joined(other.import_all(one.export_all())) == {"known": len(everything(one))}
    assert other.export_all() == before
    assert own in other.things(ItemKind.YARN)


def test_what_went_on_elsewhere_brings_ours_up_to_date(opened: Callable[..., Workshop]) -> None:
    one, other = opened(), opened()
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    other.import_all(one.export_all())
    kept(other.change(ItemKind.YARN, yarn.id, 1, {**YARN, "on_hand": "90 g"}))
    newest = kept(other.change(ItemKind.YARN, yarn.id, 2, {**YARN, "on_hand": "40 g"}))
    assert joined(other.import_all(one.export_all())) == {"known": 1}
    assert other.thing(ItemKind.YARN, yarn.id) == newest
    assert joined(one.import_all(other.export_all())) == {"newer": 1}
    assert one.export_all() == other.export_all()


@pytest.mark.parametrize("ours_is_later", [True, False])
def test_of_two_changes_the_later_holds_and_the_other_can_be_undone_to(
    ours_is_later: bool, opened: Callable[..., Workshop]
) -> None:
    one = opened(start=START + timedelta(days=2 if ours_is_later else 0))
    other = opened(start=START + timedelta(days=1))
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    other.import_all(one.export_all())
    kept(one.change(ItemKind.YARN, yarn.id, 1, {**YARN, "on_hand": "90 g"}))
    kept(other.change(ItemKind.YARN, yarn.id, 1, {**YARN, "on_hand": "40 g"}))
    assert joined(one.import_all(other.export_all())) == {"differed": 1}
    now = one.thing(ItemKind.YARN, yarn.id)
    assert now.document["on_hand"] == ("90 g" if ours_is_later else "40 g")
    known = [was.document["on_hand"] for was in one.earlier(yarn.id).values()]
    assert {"150 g", "90 g", "40 g"} <= {*known, now.document["on_hand"]}
    assert joined(one.import_all(other.export_all())) == {"known": 1}
    other.import_all(one.export_all())
    assert other.thing(ItemKind.YARN, yarn.id).document == now.document
    before = max(one.earlier(yarn.id))
    other_one = kept(one.back_to(ItemKind.YARN, yarn.id, now.version, before))
    assert other_one.document["on_hand"] == ("40 g" if ours_is_later else "90 g")


def test_a_deletion_elsewhere_is_taken_over(opened: Callable[..., Workshop]) -> None:
    one, other = opened(), opened()
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    other.import_all(one.export_all())
    other.delete(ItemKind.YARN, yarn.id, 1)
    one.import_all(other.export_all())
    assert one.things(ItemKind.YARN) == ()
    assert one.restore(ItemKind.YARN, yarn.id, 2).document == YARN


def resealed(data: bytes, change: Callable[[dict[str, Any]], object]) -> bytes:
    """The file with a change, its checksums made to fit."""
    document = json.loads(data)
    change(document)
    document["checksums"] = {name: checksum(document[name]) for name in document["checksums"]}
    return json.dumps(document).encode()


def _lose(document: dict[str, Any]) -> None:
    document["yarn"].clear()


def _twice(document: dict[str, Any]) -> None:
    document["person"] *= 2


def _wrong(document: dict[str, Any]) -> None:
    document["yarn"][0]["state"]["document"]["fineness"] = "thin"


def _unnamed(document: dict[str, Any]) -> None:
    document["person"][0]["state"]["name"] = "somebody else"


def _later(document: dict[str, Any]) -> None:
    document["yarn"][0]["earlier"] = [{"version": 7, "state": document["yarn"][0]["state"]}]


def _half(document: dict[str, Any]) -> None:
    state = document["yarn"][0]["state"]
    was = {**state, "document": {"name": "\ud800"}}
    document["yarn"][0] |= {"version": 2, "earlier": [{"version": 1, "state": was}]}


def _zero(document: dict[str, Any]) -> None:
    document["machine"][0]["version"] = 0


def _no_order(document: dict[str, Any]) -> None:
    document["sock"][0]["state"]["fields"]["order_toml"] = "none"


@pytest.mark.parametrize(
    ("change", "path", "wrong"),
    [
        (_lose, "swatch ", "is not in the file"),
        (_twice, "person ", "is there twice"),
        (_wrong, "yarn[1].state.document.fineness", ""),
        (_unnamed, "person[1].state.name", "is not the name in the document"),
        (_later, "yarn[1].earlier", "is not in the order of the versions"),
        (_half, "yarn[1].earlier[1].state.document", "holds half a character"),
        (_zero, "machine[1].version", "is out of range"),
        (_no_order, "sock[1].state.fields.order_toml", "is not an order"),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_a_file_that_is_wrong_within_is_refused_whole(
    change: Callable[[dict[str, Any]], object],
    path: str,
    wrong: str,
    opened: Callable[..., Workshop],
) -> None:
    one, other = opened(), opened()
    kept(one.plan_sock(furnish(one)))
    found = problems(other.import_all(resealed(one.export_all(), change)))
    place, said = next((place, said) for place, said in found.items() if place.startswith(path))
    assert wrong in said
    assert place
    assert everything(other) == {}


def test_an_unchanged_file_sealed_anew_is_taken_in(opened: Callable[..., Workshop]) -> None:
    """The refusals above are of the changes, not of the sealing."""
    one, other = opened(), opened()
    kept(one.plan_sock(furnish(one)))
    other.import_all(resealed(one.export_all(), lambda document: None))
    assert everything(other) == everything(one)


def test_a_thing_that_has_nothing_besides_may_leave_it_out(opened: Callable[..., Workshop]) -> None:
    one = opened("one")
    one.add_example()

    def leave_out(document: dict[str, Any]) -> None:
        for design in document["design"]:
            del design["state"]["fields"]

    answer = opened("other").import_all(resealed(one.export_all(), leave_out))
    assert isinstance(answer, JoinResult)


@pytest.mark.parametrize(
    ("data", "wrong"),
    [
        (b"", "is not JSON"),
        (b'[foot]\nlength = "25.1 cm"\n', "is an order"),
        (b"\xff\xfe", "is not JSON"),
        (b"[" * 100_000, "is not JSON"),
        (b"[]", "is not a workshop"),
        (b'{"format": "sockwright workshop", "version": NaN}', "is not JSON"),
        (b'{"format": "sockwright workshop", "version": 2}', "another version"),
        (b'{"format": "sockwright workshop", "version": 1}', "is damaged"),
    ],
)
def test_what_is_no_workshop_is_refused(
    data: bytes, wrong: str, opened: Callable[..., Workshop]
) -> None:
    one = opened()
    assert wrong in problems(one.import_all(data))["the file"]
    assert everything(one) == {}


def test_an_id_that_is_of_another_kind_here_is_refused(opened: Callable[..., Workshop]) -> None:
    one, other = opened(), opened()
    yarn = kept(one.keep(ItemKind.YARN, YARN))
    machine = furnish(other).machine

    def swap(document: dict[str, Any]) -> None:
        document["yarn"][0]["id"] = machine

    before = everything(other)
    found = problems(other.import_all(resealed(one.export_all(), swap)))
    assert set(found) == {f"yarn {machine}"}
    assert everything(other) == before
    assert yarn.id not in before


def test_a_file_from_before_a_kind_was_kept_does_without_its_list(
    opened: Callable[..., Workshop], monkeypatch: pytest.MonkeyPatch
) -> None:
    one, other = opened(), opened()
    furnish(one)
    document = json.loads(one.export_all())
    del document["note"], document["checksums"]["note"]
    before = json.dumps(document).encode()
    assert isinstance(other.import_all(before), Problems)
    monkeypatch.setitem(backup._SINCE, "note", 2)
    assert joined(other.import_all(before)) == {"new": len(everything(one))}
