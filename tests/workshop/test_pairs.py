"""A pair from its plan to its wear: what was meant, what happened, what is left."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sockwright.order import parse_order
from sockwright.store.items import ItemKind, Stale
from sockwright.workshop import Choice, Workshop
from sockwright.workshop.pairs import choice_of
from workshops import MACHINE, YARN, kept, problems


def test_a_planned_pair_keeps_its_choice_and_its_order(one: Workshop, choice: Choice) -> None:
    chosen = replace(choice, title="Boot socks", units="in", what_if={"leg": {"rounds": 50}})
    pair = kept(one.plan_sock(chosen))
    assert choice_of(one.thing(ItemKind.SOCK, pair.id)) == chosen
    assert (pair.name, pair.fields["status"]) == ("Boot socks", "planned")
    order = parse_order(one.export_order(pair.id))
    assert (order.title, order.units, order.sock.leg.rounds) == ("Boot socks", "in", 50)


def test_the_order_of_a_pair_stays_when_its_parts_change(one: Workshop, choice: Choice) -> None:
    pair = kept(one.plan_sock(choice))
    kept(one.change(ItemKind.MACHINE, choice.machine, 1, {**MACHINE, "cylinders": [72]}))
    assert [c.needles for c in parse_order(one.export_order(pair.id)).machine.cylinders] == [54, 60]


def test_another_choice_of_yarns_and_swatches_replaces_the_first(
    one: Workshop, choice: Choice
) -> None:
    pair = kept(one.plan_sock(choice))
    heel = kept(one.keep(ItemKind.YARN, {**YARN, "name": "heel yarn"}))
    toe = kept(one.keep(ItemKind.YARN, {**YARN, "name": "toe yarn"}))
    more = replace(choice, yarns={**choice.yarns, "heel": heel.id, "toe": toe.id}, swatches=())
    pair = kept(one.replan_sock(pair.id, 1, more))
    assert choice_of(one.thing(ItemKind.SOCK, pair.id)) == more
    pair = kept(one.replan_sock(pair.id, 2, choice))
    assert choice_of(one.thing(ItemKind.SOCK, pair.id)) == choice
    assert kept(one.back_to(ItemKind.SOCK, pair.id, 3, 2)).fields["yarns"] == dict(more.yarns)


def test_what_happens_is_logged_in_order(one: Workshop, choice: Choice) -> None:
    pair = kept(one.plan_sock(choice))
    entries = [
        {"time": "2025-11-03 19:20", "sock": "first", "rounds": 0},
        {"time": "2025-11-03 20:05", "rounds": 62, "deviation": "One round more in the leg."},
    ]
    for version, entry in enumerate(entries, start=1):
        pair = kept(one.log_sock(pair.id, version, entry))
    assert pair.fields["log"] == entries
    assert pair.fields["status"] == "being made"
    assert problems(one.replan_sock(pair.id, 3, choice)) == {"status": "this pair is in progress"}
    found = problems(one.log_sock(pair.id, 3, {"time": "yesterday", "rounds": -1, "mood": "good"}))
    assert set(found) == {"time", "rounds", "mood"}


def test_a_finished_pair_says_what_is_left_of_its_yarns(one: Workshop, choice: Choice) -> None:
    heel = kept(one.keep(ItemKind.YARN, {**YARN, "name": "heel yarn", "on_hand": "30 g"}))
    yarns = {**choice.yarns, "heel": heel.id}
    pair = kept(one.plan_sock(replace(choice, yarns=yarns)))
    pair = kept(one.start_sock(pair.id, 1))
    pair = kept(
        one.finish_sock(
            pair.id, 2, {"main": "2 1/4 oz", "heel": "0 g"}, {"state": "washed", "foot": "23.4 cm"}
        )
    )
    assert (pair.fields["status"], pair.fields["measured"]["foot"]) == ("made", "23.4 cm")
    main = one.thing(ItemKind.YARN, choice.yarns["main"])
    assert (main.document["on_hand"], main.fields["used_up"]) == ("2 1/4 oz", False)
    gone = one.thing(ItemKind.YARN, heel.id)
    assert "on_hand" not in gone.document
    assert gone.fields["used_up"] is True
    again = problems(one.compose_order(replace(choice, yarns=yarns)))
    assert again == {"yarn.heel": '"heel yarn" is used up'}
    assert problems(one.finish_sock(pair.id, 3, {})) == {"status": "this pair is finished"}


@pytest.mark.parametrize(
    ("left", "path"),
    [
        ({"main": "80"}, "left.main"),
        ({"main": "6 kg"}, "left.main"),
        ({"heel": "10 g"}, "left.heel"),
        ({"lace": "10 g"}, "left.lace"),
    ],
)
def test_a_wrong_weight_is_refused_and_no_yarn_changes(
    one: Workshop, choice: Choice, left: dict[str, str], path: str
) -> None:
    pair = kept(one.plan_sock(choice))
    assert set(problems(one.finish_sock(pair.id, 1, left))) == {path}
    assert one.thing(ItemKind.YARN, choice.yarns["main"]).version == 1


def test_one_yarn_in_two_parts_is_weighed_once(one: Workshop, choice: Choice) -> None:
    yarns = {**choice.yarns, "heel": choice.yarns["main"]}
    pair = kept(one.plan_sock(replace(choice, yarns=yarns)))
    found = problems(one.finish_sock(pair.id, 1, {"main": "80 g", "heel": "70 g"}))
    assert set(found) == {"left.heel"}
    kept(one.finish_sock(pair.id, 1, {"main": "80 g", "heel": "80 g"}))
    assert one.thing(ItemKind.YARN, choice.yarns["main"]).version == 2


def test_how_a_pair_wears_is_added_later(one: Workshop, choice: Choice) -> None:
    pair = kept(one.plan_sock(choice))
    worn = {"state": "washed", "worn": "Thin at the heel after one winter."}
    assert set(problems(one.measure_sock(pair.id, 1, worn))) == {"status"}
    kept(one.finish_sock(pair.id, 1, {}))
    assert kept(one.measure_sock(pair.id, 2, worn)).fields["measured"] == worn
    assert set(problems(one.measure_sock(pair.id, 3, {"foot": "9 m"}))) == {
        "measured.state",
        "measured.foot",
    }


def test_two_tabs_do_not_both_finish_a_pair(one: Workshop, choice: Choice) -> None:
    pair = kept(one.plan_sock(choice))
    kept(one.finish_sock(pair.id, 1, {"main": "80 g"}))
    with pytest.raises(Stale):
        one.finish_sock(pair.id, 1, {"main": "60 g"})
    assert one.thing(ItemKind.YARN, choice.yarns["main"]).document["on_hand"] == "80 g"
