"""What finished pairs teach the next plan on their machine, through the workshop."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import UUID

import pytest

from sockwright.measure.cam_points import PointKind
from sockwright.order import parse_order
from sockwright.order.model import FinishedGiven, LengthAnswer
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop import Choice, Planned, Workshop
from sockwright.workshop.answers import Composed
from sockwright.workshop.cam_curves import CamQuestion, answer, of_machine
from sockwright.workshop.order_exchange import Taken
from workshops import PERSON, YARN, kept, problems

pytestmark = pytest.mark.parametrize("url", ["sqlite"], indirect=True)
"""Orders are worked out from what was read: one kind of database is enough."""


def planned(shop: Workshop, choice: Choice) -> SockPlan:
    outcome = shop.plan_for(choice)
    assert isinstance(outcome, Planned), outcome
    return outcome.pair.first


def finish(
    shop: Workshop, choice: Choice, left: dict[str, str] | None = None, **said: Any
) -> Thing:
    """A pair that was planned, knitted and measured."""
    pair = kept(shop.plan_sock(choice))
    return kept(shop.finish_sock(pair.id, pair.version, left or {}, said or None))


def told(shop: Workshop, choice: Choice) -> tuple[FinishedGiven, ...]:
    """The finished socks that the next order tells of."""
    return parse_order(composed(shop, choice)).finished


def composed(shop: Workshop, choice: Choice) -> str:
    order = shop.compose_order(choice)
    assert isinstance(order, Composed), order
    return order.toml


def as_long(plan: SockPlan, times: float) -> str:
    return f"{plan.fabric.foot_length.value * times:.1f} mm"


def test_a_pair_that_came_out_long_makes_the_next_foot_shorter(
    one: Workshop, choice: Choice
) -> None:
    before = planned(one, choice)
    assert before.gauge.learned is None
    pair = finish(one, choice, state="washed", foot=as_long(before, 1.03), date="2025-11-20")
    after = planned(one, choice)
    assert after.gauge.learned is not None
    assert after.gauge.learned.socks == 1
    assert 1.005 < after.gauge.learned.course.value < 1.03
    assert after.sizing.foot_rounds < before.sizing.foot_rounds
    # The order it was knitted by stays as it was.
    assert not parse_order(one.export_order(pair.id)).finished


@pytest.mark.parametrize("undo", ["delete", "back"])
def test_a_pair_that_is_gone_teaches_no_more(one: Workshop, choice: Choice, undo: str) -> None:
    before = planned(one, choice)
    pair = finish(one, choice, state="washed", foot=as_long(before, 1.03))
    assert told(one, choice)
    if undo == "delete":
        one.delete(ItemKind.SOCK, pair.id, pair.version)
    else:
        kept(one.back_to(ItemKind.SOCK, pair.id, pair.version, 1))
    assert not told(one, choice)
    assert planned(one, choice).sizing.foot_rounds == before.sizing.foot_rounds


def test_an_order_tells_what_the_sock_was(one: Workshop, choice: Choice) -> None:
    was = planned(one, choice)
    finish(
        one,
        choice,
        state="washed",
        foot="23.6 cm",
        leg="14 cm",
        flat_width="9.9 cm",
        leg_flat_width="10.1 cm",
        mass="44 g",
        date="2025-11-20",
        washes=3,
        foot_rounds=int(was.sizing.foot_rounds) + 2,
        cam=13,
        answers={"length": "long"},
        second={"foot": "23.8 cm", "mass": "45 g"},
    )
    first, second = told(one, choice)
    sizing = was.sizing
    assert (first.needles, first.cam, first.yarn, first.tex) == (60, 13.0, "main", None)
    assert (first.hem_rounds, first.leg_rounds) == (sizing.cuff.rounds, sizing.leg_rounds)
    assert first.foot_rounds == second.foot_rounds == sizing.foot_rounds + 2
    assert (first.heel_rows, first.toe_rows) == (sizing.heel.rows, sizing.toe.rows)
    assert (first.foot_length_mm, second.foot_length_mm) == (236, 238)
    assert (first.leg_length_mm, first.flat_width_mm, first.leg_flat_width_mm) == (140, 99, 101)
    assert (first.mass_g, first.washes, first.date) == (44, 3, "2025-11-20")
    assert first.answers.length is LengthAnswer.LONG
    assert second.answers.length is None
    # Two rounds more than the plan's loops, which weigh what the plan says.
    yarn = was.use["main"]
    assert first.loops == round(yarn.length.value / was.gauge.loop.value) + 2 * 60
    assert first.name != second.name


def test_a_yarn_that_the_order_has_not_is_told_by_what_its_swatches_foretold(
    one: Workshop, choice: Choice
) -> None:
    was = planned(one, choice)
    finish(one, choice, state="washed", flat_width="9.9 cm")
    other = kept(one.keep(ItemKind.YARN, {**YARN, "name": "another wool"}))
    (sock,) = told(one, replace(choice, yarns={"main": other.id}, swatches=()))
    assert sock.tex == pytest.approx(was.yarns["main"].tex.value, rel=1e-5)
    assert sock.foretold.wale_mm == pytest.approx(was.gauge.wale.value, rel=1e-4)
    assert sock.foretold.course_mm == pytest.approx(was.gauge.course.value, rel=1e-4)
    assert sock.foretold.loop_mm == pytest.approx(was.gauge.loop.value, rel=1e-4)
    as_heel = {"main": other.id, "heel": choice.yarns["main"]}
    (sock,) = told(one, replace(choice, yarns=as_heel))
    assert (sock.yarn, sock.tex) == ("heel", None)


def test_what_was_foretold_is_what_swatches_say_without_learning(
    one: Workshop, choice: Choice
) -> None:
    was = planned(one, choice)
    finish(one, choice, state="washed", foot=as_long(was, 1.03))
    finish(one, choice, state="washed", foot=as_long(was, 1.03))
    other = kept(one.keep(ItemKind.YARN, {**YARN, "name": "another wool"}))
    both = told(one, replace(choice, yarns={"main": other.id}, swatches=()))
    first, second = (sock.foretold.course_mm for sock in both)
    assert first == pytest.approx(second, rel=1e-4)


def test_answers_are_told_of_the_same_wearer_alone(one: Workshop, choice: Choice) -> None:
    finish(one, choice, state="washed", foot="24 cm", answers={"length": "short"})
    someone = kept(one.keep(ItemKind.PERSON, {**PERSON, "wearer": {"name": "someone else"}}))
    (own,), (others,) = told(one, choice), told(one, replace(choice, person=someone.id))
    assert own.answers.length is LengthAnswer.SHORT
    assert others == replace(own, answers=type(own.answers)())


@pytest.mark.parametrize("state", [{"state": "rested"}, {"state": "washed", "washes": 0}])
def test_a_sock_that_was_not_washed_teaches_by_its_answers_alone(
    one: Workshop, choice: Choice, state: dict[str, Any]
) -> None:
    finish(one, choice, foot="24.9 cm", mass="44 g", answers={"length": "long"}, **state)
    (sock,) = told(one, choice)
    assert (sock.foot_length_mm, sock.mass_g, sock.loops) == (None, None, None)
    assert sock.answers.length is LengthAnswer.LONG
    plan = planned(one, choice)
    assert plan.gauge.learned is None
    assert plan.wishes.length is not None


def test_an_answer_alone_needs_no_state(one: Workshop, choice: Choice) -> None:
    finish(one, choice, answers={"stays_up": "slips"})
    assert planned(one, choice).wishes.slipped


def test_pairs_of_other_machines_and_unmeasured_ones_tell_nothing(
    one: Workshop, choice: Choice
) -> None:
    finish(one, choice)
    machine = one.thing(ItemKind.MACHINE, choice.machine)
    other = kept(one.keep(ItemKind.MACHINE, {**machine.document, "name": "another machine"}))
    finish(one, replace(choice, machine=other.id), state="washed", foot="24 cm")
    assert not told(one, choice)


def test_what_is_left_of_the_yarn_weighs_the_sock(one: Workshop, choice: Choice) -> None:
    mass = planned(one, choice).use["main"].mass.value
    left = {"main": f"{150 - 2 * mass:.1f} g"}
    finish(one, choice, left, state="washed", foot="24 cm")
    (sock,) = told(one, choice)
    assert sock.mass_g == pytest.approx(mass, abs=0.1)


def test_what_is_left_after_two_pairs_weighs_neither(one: Workshop, choice: Choice) -> None:
    mass = planned(one, choice).use["main"].mass.value
    kept(one.start_sock(kept(one.plan_sock(choice)).id, 1))
    finish(one, choice, {"main": f"{150 - 2 * mass:.1f} g"}, state="washed", foot="24 cm")
    (sock,) = told(one, choice)
    assert sock.mass_g is None


def test_a_yarn_of_which_more_went_than_a_pair_takes_weighs_no_sock(
    one: Workshop, choice: Choice
) -> None:
    mass = planned(one, choice).use["main"].mass.value
    finish(one, choice, {"main": f"{150 - 3 * mass:.1f} g"}, state="washed", foot="24 cm")
    (sock,) = told(one, choice)
    assert sock.mass_g is None


def test_rounds_counted_at_the_machine_are_the_socks(one: Workshop, choice: Choice) -> None:
    was = planned(one, choice)
    pair = kept(one.plan_sock(choice))
    leg = next(
        each.number
        for each in instructions(was)
        if each.section.value == "leg" and each.count and each.count.last > each.count.first
    )
    more = {"deed": "extra", "by": 3, "at": leg, "clock": 1, "device": str(UUID(int=2))}
    more |= {"id": str(UUID(int=1)), "time": "2025-11-03T20:20:00+01:00"}
    one.add_to_bench_log(pair.id, "first", [more])
    pair = one.thing(ItemKind.SOCK, pair.id)
    kept(one.finish_sock(pair.id, pair.version, {}, {"state": "washed", "leg": "15 cm"}))
    (sock,) = told(one, choice)
    assert sock.leg_rounds == was.sizing.leg_rounds + 3


def test_sizes_need_a_state_and_each_problem_is_at_its_field(one: Workshop, choice: Choice) -> None:
    pair = kept(one.plan_sock(choice))
    said = {
        "leg": "2 kg",
        "mass": "9",
        "washes": -1,
        "date": "yesterday",
        "heel_rows": "many",
        "answers": {"length": "huge", "colour": "red"},
        "second": {"foot": "9 m", "height": "20 cm"},
    }
    assert set(problems(one.finish_sock(pair.id, 1, {}, said))) == {
        "measured.state",
        "measured.leg",
        "measured.mass",
        "measured.washes",
        "measured.date",
        "measured.heel_rows",
        "measured.answers.length",
        "measured.answers.colour",
        "measured.second.foot",
        "measured.second.height",
    }


def test_an_order_that_came_with_finished_socks_keeps_them(one: Workshop, choice: Choice) -> None:
    was = planned(one, choice)
    finish(one, choice, state="washed", foot=as_long(was, 1.03))
    text = composed(one, choice)
    taken = one.import_order(text)
    assert isinstance(taken, Taken)
    assert parse_order(one.export_order(taken.sock.id)).finished == parse_order(text).finished
    again = one.import_order(text)
    assert isinstance(again, Taken)
    assert again.sock.id == taken.sock.id


def test_a_weighed_sock_is_a_point_of_the_machines_curve(one: Workshop, choice: Choice) -> None:
    was = planned(one, choice)
    length, loop = was.use["main"].length.value, was.gauge.loop.value
    for cam, times in ((14, 1.0), (18, 0.9)):
        mass = was.use["main"].mass.value * times
        finish(one, choice, state="washed", mass=f"{mass:.3f} g", cam=cam, foot="23.4 cm")
    finish(one, choice, state="rested", mass="30 g", cam=16)
    machine = one.thing(ItemKind.MACHINE, choice.machine)
    loops = one.sock_loops(machine.id)
    assert [point.cam for point in loops] == [14, 18]
    tex, loops_knitted = was.yarns["main"].tex.value, round(length / loop)
    mass = was.use["main"].mass.value
    assert loops[0].loop.value == pytest.approx(mass * 1e6 / (tex * loops_knitted), rel=1e-3)
    assert loops[1].loop.value == pytest.approx(0.9 * loops[0].loop.value, rel=1e-3)
    (curve,) = of_machine(machine, one.gauge_memory(machine.id), loops)
    kinds = [point.kind for point in curve.curve.counted]
    assert kinds.count(PointKind.SOCK) == 2
    assert curve.curve.most == 18
    # Without any swatch the socks alone tell the curve, and which yarn it is of.
    (alone,) = of_machine(machine, (), loops)
    assert [yarn.id for yarn in alone.yarns] == [choice.yarns["main"]]
    told = answer((alone,), CamQuestion())
    assert told is not None
    assert told.at.cam in (14, 18)


def test_socks_from_before_the_service_are_outdated(one: Workshop, choice: Choice) -> None:
    for day in ("2025-10-01", "2025-12-01"):
        finish(one, choice, state="washed", mass="36 g", cam=14, date=day)
    one.change(ItemKind.MACHINE, choice.machine, 1, fields={"serviced": "2025-11-01"})
    assert [point.stale for point in one.sock_loops(choice.machine)] == [True, False]
