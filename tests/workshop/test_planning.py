"""Choosing among kept things: the order the choice makes, its plan, or why there is none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from databases import ON_ANY_KIND
from sockwright.grammar.bounds import most
from sockwright.order import parse_order
from sockwright.order.model import CuffKind
from sockwright.plan.make import make_plan
from sockwright.store.items import ItemKind
from sockwright.workshop import Choice, Composed, Planned, Refused, Workshop
from workshops import (
    DESIGN,
    PERSON,
    SWATCH,
    YARN,
    kept,
    problems,
)

NOBODY = "00000000-0000-4000-8000-000000000000"

pytestmark = ON_ANY_KIND


def composed(one: Workshop, choice: Choice) -> Composed:
    answer = one.compose_order(choice)
    assert isinstance(answer, Composed), answer
    return answer


def test_the_order_has_every_part(one: Workshop, choice: Choice) -> None:
    order = composed(one, choice).order
    assert order.title == "Socks for winch operator"
    assert order.wearer.left.length_mm == 245.0
    assert (order.yarns[0].role, order.yarns[0].on_hand_g) == ("main", 150.0)
    assert [cylinder.needles for cylinder in order.machine.cylinders] == [54, 60]
    assert (order.swatches[0].name, order.swatches[0].yarn) == ("grey, washed", "main")
    assert (order.sock.needles, order.sock.cuff.depth_mm) == (60, 30.0)


def test_the_toml_is_the_order_as_typed(one: Workshop, choice: Choice) -> None:
    answer = composed(one, choice)
    assert parse_order(answer.toml) == answer.order
    assert 'wales = [\n    "30.5 in 10 cm",' in answer.toml


def test_the_plan_is_the_plan_of_that_order(one: Workshop, choice: Choice) -> None:
    answer = one.plan_for(choice)
    assert isinstance(answer, Planned)
    assert answer.pair.first.sizing == make_plan(parse_order(answer.composed.toml)).first.sizing
    assert answer.pair.first.sizing.needles == 60


def test_a_refusal_comes_with_its_offers(one: Workshop, choice: Choice) -> None:
    ribbed = replace(choice, what_if={"cuff": {"kind": "true rib"}})
    answer = one.plan_for(ribbed)
    assert isinstance(answer, Refused)
    assert "dial" in answer.refusal.reason
    assert one.plan_sock(ribbed) == answer or isinstance(one.plan_sock(ribbed), Refused)
    assert one.things(ItemKind.SOCK) == ()


def test_a_foot_of_unknown_length_is_a_problem_of_the_order(one: Workshop, choice: Choice) -> None:
    doctor = kept(one.keep(ItemKind.PERSON, {"wearer": {"name": "station doctor"}}))
    answer = one.plan_for(replace(choice, person=doctor.id))
    assert problems(answer) == {"foot.length": "is missing"}


def test_everything_that_is_not_there_is_told(one: Workshop, choice: Choice) -> None:
    lost = Choice(NOBODY, NOBODY, {"heel": NOBODY, "lace": NOBODY}, NOBODY, (NOBODY,))
    assert set(problems(one.compose_order(lost))) == {
        "person",
        "machine",
        "design",
        "yarn.main",
        "yarn.heel",
        "yarn.lace",
        "swatch[1]",
    }


def test_what_was_deleted_cannot_be_chosen(one: Workshop, choice: Choice) -> None:
    one.delete(ItemKind.PERSON, choice.person, 1)
    assert problems(one.compose_order(choice)) == {"person": '"winch operator" was deleted'}


def test_a_swatch_of_another_yarn_is_refused(one: Workshop, choice: Choice) -> None:
    berry = kept(one.keep(ItemKind.YARN, {**YARN, "name": "berry"}))
    answer = one.compose_order(replace(choice, yarns={"main": berry.id}))
    assert set(problems(answer)) == {"swatch[1]"}
    with_heel = composed(one, replace(choice, yarns={"main": berry.id, **_heel(choice)}))
    assert with_heel.order.swatches[0].yarn == "heel"


def _heel(choice: Choice) -> dict[str, str]:
    return {"heel": choice.yarns["main"]}


def test_a_part_of_the_main_yarn_does_not_count_it_twice(one: Workshop, choice: Choice) -> None:
    answer = composed(one, replace(choice, yarns={**choice.yarns, **_heel(choice)}))
    assert [yarn.role for yarn in answer.order.yarns] == ["main"]


def test_what_if_holds_instead_of_the_design(one: Workshop, choice: Choice) -> None:
    tried = replace(choice, what_if={"leg": {"rounds": 40}, "ease": {"girth": 0.12}})
    sock = composed(one, tried).order.sock
    assert (sock.leg.rounds, sock.leg.height_mm) == (40, None)
    assert (sock.ease.girth, sock.cuff.depth_mm) == (0.12, 30.0)


def test_another_cuff_takes_nothing_of_the_last_ones_kind(one: Workshop, choice: Choice) -> None:
    ribbed = {"cuff": {"kind": "true rib", "rib": "3x1", "depth": "5 cm"}}
    design = kept(one.keep(ItemKind.DESIGN, ribbed, "ribbed"))
    tried = replace(choice, design=design.id, what_if={"cuff": {"kind": "picot hem"}})
    cuff = composed(one, tried).order.sock.cuff
    assert (cuff.kind, cuff.depth_mm) == (CuffKind.PICOT_HEM, 50.0)


def test_a_swatch_from_before_the_service_is_noted(one: Workshop, choice: Choice) -> None:
    assert composed(one, choice).notes == ()
    kept(one.change(ItemKind.MACHINE, choice.machine, 1, fields={"serviced": "2025-10-20"}))
    (said,) = composed(one, choice).notes
    assert "serviced on 2025-10-20" in said


def test_gauge_is_remembered_by_machine_cylinder_and_date(one: Workshop, choice: Choice) -> None:
    fields = {"yarn_id": choice.yarns["main"], "machine_id": choice.machine}
    for name, cam, day in (("tight", 12, "2025-10-25"), ("loose", 16, None)):
        document = {**SWATCH, "name": name, "cam": cam, **({"date": day} if day else {})}
        if day is None:
            del document["date"]
        kept(one.keep(ItemKind.SWATCH, document, fields=fields))
    kept(one.change(ItemKind.MACHINE, choice.machine, 1, fields={"serviced": "2025-10-20"}))
    found = one.gauge_memory()
    assert [(each.cam, each.date, bool(each.stale)) for each in found] == [
        (12.0, "2025-10-25", False),
        (14.0, "2025-10-11", True),
        (16.0, "", True),
    ]
    assert {each.needles for each in found} == {60}
    # 30.5 and 30 wales in 10 cm are 3.31 mm a wale; what the yarn makes one expect weighs little.
    assert found[1].wale.value == pytest.approx(100 / 30.25, abs=0.05)
    assert found[1].course.value == pytest.approx(100 / 39.5, abs=0.05)
    assert one.gauge_memory(machine_id=NOBODY) == ()
    assert len(one.gauge_memory(choice.machine, choice.yarns["main"])) == 3


def test_of_one_setting_the_newest_gauge_comes_first(one: Workshop, choice: Choice) -> None:
    fields = {"yarn_id": choice.yarns["main"], "machine_id": choice.machine}
    kept(one.keep(ItemKind.SWATCH, {**SWATCH, "date": "2025-10-30"}, fields=fields))
    kept(one.keep(ItemKind.SWATCH, {**SWATCH, "date": "2025-09-30"}, fields=fields))
    assert [each.date for each in one.gauge_memory()] == ["2025-10-30", "2025-10-11", "2025-09-30"]


def test_a_choice_among_many_things_is_composed_alone(one: Workshop, choice: Choice) -> None:
    kept(one.keep(ItemKind.PERSON, {**PERSON, "wearer": {"name": "cook"}}))
    kept(one.keep(ItemKind.DESIGN, {**DESIGN, "drape": "firm"}, "firm"))
    plain = composed(one, replace(choice, design=None, needles=None, swatches=()))
    assert (plain.order.sock.needles, plain.order.swatches) == (None, ())


def test_of_more_swatches_than_an_order_may_hold_the_newest_fit(
    one: Workshop, choice: Choice
) -> None:
    machine, yarn = choice.machine, choice.yarns["main"]
    (first,) = choice.swatches
    swatch = one.thing(ItemKind.SWATCH, first)
    for day in range(most("swatches") + 5):
        document = {
            **swatch.document,
            "name": f"of day {day}",
            "date": f"2026-0{day // 28 + 1}-{day % 28 + 1:02}",
        }
        kept(one.keep(ItemKind.SWATCH, document, fields={"machine_id": machine, "yarn_id": yarn}))
    found = one.fitting_swatches(machine, [yarn])
    assert len(found) == most("swatches")
    days = sorted(str(one.thing(ItemKind.SWATCH, id).document["date"]) for id in found)
    assert days[0] == "2026-01-06"
    answer = one.plan_for(replace(choice, swatches=found))
    assert isinstance(answer, Planned)
