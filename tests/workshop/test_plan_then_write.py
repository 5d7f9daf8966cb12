"""A pair is planned before it is written: others write meanwhile, and what they write counts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from databases import new_workshop_url
from sockwright.order.model import Order
from sockwright.plan import make as planner
from sockwright.plan.make import PairPlan
from sockwright.store.items import ItemKind, Stale, Thing
from sockwright.workshop import Choice, Refused, Workshop
from sockwright.workshop.planning import Plans
from workshops import PERSON, YARN, furnish, kept, problems

LONGER = {**PERSON, "foot": {**PERSON["foot"], "length": "25.5 cm"}}

Meanwhile = Callable[[Callable[[], object]], list[float]]
"""Does something during the first plan from now on; the foot of every plan made, mm."""

NOTHING: Callable[[], object] = lambda: None  # noqa: E731


@pytest.fixture
def url(tmp_path: Path) -> str:
    return new_workshop_url("sqlite", tmp_path)


@pytest.fixture
def choice(one: Workshop) -> Choice:
    one.plans = Plans()
    return furnish(one)


@pytest.fixture
def meanwhile(monkeypatch: pytest.MonkeyPatch) -> Meanwhile:
    make_plan = planner.make_plan

    def during_the_first(deed: Callable[[], object]) -> list[float]:
        planned: list[float] = []

        def make(order: Order) -> PairPlan:
            planned.append(order.wearer.left.length_mm or 0.0)
            if len(planned) == 1:
                deed()
            return make_plan(order)

        monkeypatch.setattr(planner, "make_plan", make)
        return planned

    return during_the_first


@pytest.fixture(params=["planned", "planned again"])
def plan_pair(
    request: pytest.FixtureRequest, one: Workshop, choice: Choice
) -> Callable[[], object]:
    """Plans the choice, as a new pair or instead of another one."""
    if request.param == "planned":
        return lambda: one.plan_sock(choice)
    other = kept(one.plan_sock(replace(choice, title="First thought")))
    return lambda: one.replan_sock(other.id, other.version, choice)


def test_nobody_waits_for_a_plan(
    one: Workshop, plan_pair: Callable[[], object], meanwhile: Meanwhile
) -> None:
    planned = meanwhile(lambda: kept(one.keep(ItemKind.YARN, {**YARN, "name": "berry"})))
    kept(plan_pair())
    assert len(planned) == 1
    assert "berry" in {yarn.name for yarn in one.things(ItemKind.YARN)}


def test_what_was_changed_meanwhile_is_planned(
    one: Workshop, choice: Choice, plan_pair: Callable[[], object], meanwhile: Meanwhile
) -> None:
    planned = meanwhile(lambda: kept(one.change(ItemKind.PERSON, choice.person, 1, LONGER)))
    pair = kept(plan_pair())
    assert planned == [245.0, 255.0]
    assert '"25.5 cm"' in one.export_order(pair.id)
    assert one.changed_parts(pair.id) == ()


def test_what_was_deleted_meanwhile_is_not_planned(
    one: Workshop, choice: Choice, plan_pair: Callable[[], object], meanwhile: Meanwhile
) -> None:
    meanwhile(lambda: one.delete(ItemKind.PERSON, choice.person, 1))
    before = one.things(ItemKind.SOCK)
    assert problems(plan_pair()) == {"person": '"winch operator" was deleted'}
    assert one.things(ItemKind.SOCK) == before


def begun(one: Workshop, pair: Thing) -> Thing:
    return kept(one.start_sock(pair.id, pair.version))


def test_a_pair_that_was_begun_meanwhile_is_not_planned_again(
    one: Workshop, choice: Choice, meanwhile: Meanwhile
) -> None:
    pair = kept(one.plan_sock(choice))
    planned = meanwhile(lambda: begun(one, pair))
    with pytest.raises(Stale):
        one.replan_sock(pair.id, pair.version, replace(choice, title="Second thought"))
    assert len(planned) == 1
    assert one.thing(ItemKind.SOCK, pair.id).name == pair.name


def test_a_pair_that_cannot_be_planned_again_is_told_before_its_plan(
    one: Workshop, choice: Choice, meanwhile: Meanwhile
) -> None:
    pair = kept(one.plan_sock(choice))
    now = begun(one, pair)
    planned = meanwhile(NOTHING)
    with pytest.raises(Stale):
        one.replan_sock(pair.id, pair.version, choice)
    assert problems(one.replan_sock(pair.id, now.version, choice)) == {
        "status": "this pair is in progress"
    }
    assert planned == []


def test_what_cannot_be_made_is_not_kept_instead_of_another(one: Workshop, choice: Choice) -> None:
    pair = kept(one.plan_sock(choice))
    ribbed = replace(choice, what_if={"cuff": {"kind": "true rib"}})
    assert isinstance(one.replan_sock(pair.id, pair.version, ribbed), Refused)
    assert one.thing(ItemKind.SOCK, pair.id) == pair
