"""A pair keeps the plan it was planned by, and tells which of its parts were changed since."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sockwright.order import parse_order
from sockwright.plan.data import plan_data
from sockwright.plan.make import make_plan
from sockwright.store.items import ItemKind, NotKept
from sockwright.workshop import Choice, Planned, Problems, Workshop
from workshops import DESIGN, MACHINE, PERSON, SWATCH, YARN, kept


def planned(answer: object) -> Planned:
    assert isinstance(answer, Planned), answer
    return answer


def test_the_plan_of_a_pair_is_that_of_its_order_whatever_became_of_its_parts(
    one: Workshop, choice: Choice
) -> None:
    pair = kept(one.plan_sock(choice))
    before = plan_data(planned(one.plan_of(pair.id)).pair)
    assert before == plan_data(make_plan(parse_order(one.export_order(pair.id))))
    longer = {**PERSON, "foot": {**PERSON["foot"], "length": "26 cm"}}
    kept(one.change(ItemKind.PERSON, choice.person, 1, longer))
    one.delete(ItemKind.MACHINE, choice.machine, 1)
    assert plan_data(planned(one.plan_of(pair.id)).pair) == before
    assert isinstance(one.plan_for(choice), Problems)


def test_a_pair_that_is_not_kept_has_no_plan(one: Workshop) -> None:
    with pytest.raises(NotKept):
        one.plan_of("0" * 8 + "-0000" * 3 + "-" + "0" * 12)


def test_nothing_is_changed_of_a_pair_just_planned(one: Workshop, choice: Choice) -> None:
    what_if = {"leg": {"rounds": 50}, "ease": {"girth": "8 %"}}
    for other in (choice, replace(choice, what_if=what_if, needles=None, design=None)):
        pair = kept(one.plan_sock(other))
        assert one.changed_parts(pair.id) == ()


def test_parts_that_were_changed_are_named_and_no_others(one: Workshop, choice: Choice) -> None:
    heel = kept(one.keep(ItemKind.YARN, {**YARN, "name": "heel yarn"}))
    pair = kept(one.plan_sock(replace(choice, yarns={**choice.yarns, "heel": heel.id})))

    def changed() -> list[str]:
        return [thing.id for thing in one.changed_parts(pair.id)]

    kept(one.change(ItemKind.YARN, heel.id, 1, {**YARN, "name": "heel yarn", "colour": "red"}))
    assert changed() == [heel.id]
    kept(one.change(ItemKind.SWATCH, choice.swatches[0], 1, {**SWATCH, "cam": 15}))
    kept(one.change(ItemKind.MACHINE, choice.machine, 1, {**MACHINE, "turns": "cylinder"}))
    assert set(changed()) == {heel.id, choice.swatches[0], choice.machine}
    assert choice.design is not None
    kept(one.change(ItemKind.DESIGN, choice.design, 1, {**DESIGN, "leg": {"height": "30 cm"}}))
    kept(one.change(ItemKind.PERSON, choice.person, 1, {**PERSON, "wearer": {"name": "cook"}}))
    assert set(changed()) == {
        heel.id,
        choice.swatches[0],
        choice.machine,
        choice.design,
        choice.person,
    }
    for id, kind in ((heel.id, ItemKind.YARN), (choice.machine, ItemKind.MACHINE)):
        kept(one.back_to(kind, id, 2, 1))
    assert set(changed()) == {choice.swatches[0], choice.design, choice.person}


def test_yarn_that_was_used_is_not_yarn_that_was_changed(one: Workshop, choice: Choice) -> None:
    pair = kept(one.plan_sock(choice))
    kept(one.finish_sock(pair.id, 1, {"main": "60 g"}))
    assert one.thing(ItemKind.YARN, choice.yarns["main"]).document["on_hand"] == "60 g"
    assert one.changed_parts(pair.id) == ()
