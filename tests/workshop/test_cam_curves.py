"""A machine's curves from what is kept: classes of yarn, services, what is left out, readings."""

from __future__ import annotations

import tomllib
from math import pi, sqrt
from typing import Any

import pytest

from sockwright.measure.cam_points import YarnClass
from sockwright.order.model import Drape
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop import Workshop
from sockwright.workshop.answers import Choice, Composed, Planned, Problems
from sockwright.workshop.cam_curves import (
    CamAnswer,
    CamQuestion,
    ClassCurve,
    answer,
    of_machine,
)
from workshops import MACHINE, YARN, furnish, kept

pytestmark = pytest.mark.parametrize("url", ["sqlite"], indirect=True)
"""Curves are worked out from what was read: one kind of database is enough."""

LINES = {"word": "lines", "larger_is_looser": False}


class Bench:
    """A machine with a yarn, on which swatches are knitted."""

    def __init__(self, shop: Workshop, **more: Any) -> None:
        self.shop = shop
        self.machine = kept(shop.keep(ItemKind.MACHINE, {**MACHINE, **more}))
        self.yarn = kept(shop.keep(ItemKind.YARN, YARN))

    def swatch(
        self, cam: float | None, loop: float, yarn: Thing | None = None, **more: Any
    ) -> Thing:
        """A swatch of which the yarn of ten rounds was measured, with wales and courses to fit."""
        needles = more.get("needles", 60)
        document = {
            "name": f"at {cam}",
            "state": "washed",
            "needles": needles,
            "date": "2025-10-11",
            "wales": f"{100 / (loop / 4.1):.2f} in 10 cm",
            "courses": f"{100 / (loop / 5.3):.2f} in 10 cm",
            "unravelled": {"rounds": 10, "length": f"{needles * loop / 100:.3f} m"},
            **({} if cam is None else {"cam": cam}),
            **more,
        }
        fields = {"yarn_id": (yarn or self.yarn).id, "machine_id": self.machine.id}
        return kept(self.shop.keep(ItemKind.SWATCH, document, fields=fields))

    def yarn_of(self, fineness: str) -> Thing:
        return kept(
            self.shop.keep(ItemKind.YARN, {"name": f"wool {fineness}", "fineness": fineness})
        )

    def service(self, day: str) -> None:
        machine = self.shop.thing(ItemKind.MACHINE, self.machine.id)
        self.machine = kept(
            self.shop.change(
                ItemKind.MACHINE, machine.id, machine.version, fields={"serviced": day}
            )
        )

    @property
    def curves(self) -> tuple[ClassCurve, ...]:
        return of_machine(self.machine, self.shop.gauge_memory(self.machine.id))

    def ask(self, yarn: Thing | None = None, **more: Any) -> CamAnswer:
        told = answer(self.curves, CamQuestion(yarn.id if yarn else "", **more))
        assert told is not None
        return told


def test_a_machine_without_swatches_has_no_curve(one: Workshop) -> None:
    bench = Bench(one)
    assert bench.curves == ()
    assert answer(bench.curves, CamQuestion()) is None


def test_every_class_of_yarn_has_its_own(one: Workshop) -> None:
    bench = Bench(one)
    fingering = bench.yarn_of("100 g / 420 m")
    bench.swatch(12, 12.8)
    bench.swatch(15, 14.1)
    bench.swatch(9, 11.6, fingering)
    heavy, thin = (
        next(each for each in bench.curves if each.yarn_class is of)
        for of in (YarnClass.HEAVY, YarnClass.FINGERING)
    )
    assert len(bench.curves) == 2
    assert [one.name for one in heavy.yarns] == [YARN["name"]]
    assert thin.yarns == (fingering,)
    assert thin.curve.one_setting
    assert not heavy.curve.one_setting


def test_cylinders_of_one_class_share_a_curve(one: Workshop) -> None:
    """One line of drops: 54 needles without a diameter are taken to lie on a ring like the other
    cylinder's, of 108 mm."""
    bench = Bench(one)
    bench.swatch(12, 12.8)
    bench.swatch(15, 14.3, needles=54)
    (heavy,) = bench.curves
    assert heavy.needles == (54, 60)
    assert [point.pitch.value for point in heavy.curve.counted] == pytest.approx(
        [pi * 108 / 54, pi * 108 / 60]
    )
    assert heavy.at(60, 14).pitch.sd == 0
    assert heavy.at(54, 14).assumed_ring
    assert heavy.at(54, 14).ring.value == pytest.approx(108)
    assert heavy.at(54, 14).loop.loop.value > heavy.at(60, 14).loop.loop.value


def test_before_a_service_counts_only_while_nothing_is_newer(one: Workshop) -> None:
    bench = Bench(one)
    bench.swatch(12, 12.8)
    bench.swatch(15, 14.1)
    bench.service("2025-11-01")
    (old,) = bench.curves
    assert old.curve.outdated
    assert old.curve.reading(13, old.at(60, 13).pitch).loop.sd > 0.03 * 13
    bench.swatch(14, 13.9, date="2025-11-02")
    (new,) = bench.curves
    assert [point.cam for point in new.curve.counted] == [14]
    assert sum(point.stale for point in new.curve.points) == 2
    assert new.curve.one_setting


def test_what_tells_nothing_is_named(one: Workshop) -> None:
    bench = Bench(one)
    bench.swatch(12, 12.8)
    bench.swatch(None, 13.5)
    bench.swatch(14, 5.4, name="thread")
    (heavy,) = bench.curves
    assert heavy.without_setting == ("at None",)
    assert heavy.odd == ("thread",)
    assert [point.name for point in heavy.curve.counted] == ["at 12"]


def test_a_swatch_on_which_nothing_was_read_is_no_point(one: Workshop) -> None:
    bench = Bench(one)
    fields = {"yarn_id": bench.yarn.id, "machine_id": bench.machine.id}
    document: dict[str, Any] = {"name": "bare", "state": "washed", "needles": 60, "cam": 14}
    document["stretch"] = {"relaxed": "9.9 cm", "stretched": "15 cm"}
    kept(one.keep(ItemKind.SWATCH, document, fields=fields))
    assert bench.curves == ()


def test_a_reading_has_the_newest_swatch_s_setting_where_none_is_asked_for(one: Workshop) -> None:
    bench = Bench(one)
    bench.swatch(12, 12.8, date="2025-10-20")
    bench.swatch(16, 14.6, date="2025-10-11")
    told = bench.ask()
    assert (told.at.cam, told.at.needles, told.yarn.id) == (12, 60, bench.yarn.id)
    assert (told.before, told.after) == (11, 13)
    assert told.at.loop.loop.value == pytest.approx(12.8, abs=0.15)
    assert told.at.girth is not None
    assert told.at.girth.value == pytest.approx(60 * 12.8 / 4.1, rel=0.02)
    assert told.tightness.value == pytest.approx(sqrt(277.8) / 12.8, rel=0.02)


def test_what_is_asked_for_is_kept_within_what_is_worth_looking_at(one: Workshop) -> None:
    bench = Bench(one)
    bench.swatch(12, 12.8)
    bench.swatch(16, 14.6)
    (heavy,) = bench.curves
    first, *_, last = heavy.settings()
    assert (first, last) == (10, 18)
    assert bench.ask(cam=0).at.cam == first
    assert bench.ask(cam=900).at.cam == last
    assert bench.ask(cam=13.4).at.cam == 13
    assert bench.ask(cam=last).after is None
    assert bench.ask(needles=72).at.needles == 60
    assert bench.ask(needles=54).at.needles == 54


def test_a_cam_of_a_hundred_thousand_settings_is_looked_at_in_larger_steps(one: Workshop) -> None:
    bench = Bench(one)
    bench.swatch(1.37, 12.8)
    bench.swatch(900, 14.6)
    (heavy,) = bench.curves
    settings = heavy.settings()
    assert len(settings) < 100
    assert {1.37, 900.0} <= set(settings)
    assert sum(1 for _ in heavy.readings()) < 300


def test_the_setting_for_a_drape_gives_its_tightness(one: Workshop) -> None:
    bench = Bench(one)
    for cam, loop in ((10, 11.9), (14, 13.7), (17, 15.0)):
        bench.swatch(cam, loop)
    told = bench.ask()
    assert set(told.drapes) == set(Drape)
    settings = [told.drapes[drape].exact.value for drape in (Drape.FIRM, Drape.MIDDLE, Drape.SOFT)]
    assert settings == sorted(settings)
    for choice in told.drapes.values():
        assert choice.reading.cam.is_integer()


def test_a_machine_whose_larger_numbers_are_tighter(one: Workshop) -> None:
    bench = Bench(one, cam=LINES)
    bench.swatch(4, 14.4)
    bench.swatch(5.5, 13.4)
    (heavy,) = bench.curves
    assert not heavy.against_profile
    assert heavy.curve.step == 0.5
    assert heavy.curve.drop_a_unit.value < 0
    assert heavy.further == 3


def test_swatches_against_the_machine_s_own_word_are_noticed(one: Workshop) -> None:
    bench = Bench(one)
    bench.swatch(4, 14.6)
    bench.swatch(6, 13.0)
    (heavy,) = bench.curves
    assert heavy.against_profile
    bench.swatch(5, 13.8)
    assert bench.curves[0].against_profile


def test_the_station_s_bench_machine_has_a_curve_to_look_at(station: Workshop) -> None:
    machine = next(one for one in station.things(ItemKind.MACHINE) if "bench" in one.name)
    curves = of_machine(machine, station.gauge_memory(machine.id))
    told = answer(curves, CamQuestion())
    assert told is not None
    assert (told.at.cam, told.at.needles) == (14, 60)
    curve = told.of.curve
    assert curve.tells_slope
    assert not told.of.against_profile
    assert 0.15 < curve.drop_a_unit.value < 0.35
    assert len({point.cam for point in curve.counted}) == 3
    assert told.at.loop.loop.value == pytest.approx(13.7, abs=told.at.loop.loop.sd)


def test_a_rib_tells_the_loop_and_not_the_width_of_plain_fabric(one: Workshop) -> None:
    bench = Bench(one)
    bench.swatch(14, 13.6, fabric="1x1")
    (curve,) = bench.curves
    (point,) = curve.curve.points
    assert point.wale is None
    assert point.loop.value == pytest.approx(13.6, rel=0.03)


def test_an_order_hears_of_the_cam_by_swatches_of_other_yarns(one: Workshop) -> None:
    """Lines of one machine tell how a setting changes the loop; the order's own swatch says itself
    what it says."""
    choice = furnish(one)
    machine = one.thing(ItemKind.MACHINE, choice.machine)
    bench = Bench(one)
    bench.machine = machine
    assert "cam_slope" not in composed(one, choice)
    other = bench.yarn_of(YARN["fineness"])
    for cam, loop in ((11, 12.3), (13, 13.1), (15, 13.9), (17, 14.7)):
        bench.swatch(cam, loop, other)
    (curve,) = of_machine(machine, one.gauge_memory(machine.id))
    told = composed(one, choice)["cam_slope"]
    assert told["change"] == pytest.approx(0.4 / 13.5, rel=0.1)
    assert 0 < told["sd"] < 0.01
    assert curve.curve.tells_slope
    plan = one.plan_for(choice)
    assert isinstance(plan, Planned)
    assert plan.pair.ok
    # It is the workshop's to work out, and no key of a kept machine.
    document = {**machine.document, "cam_slope": told}
    refused = one.change(ItemKind.MACHINE, machine.id, 1, document)
    assert isinstance(refused, Problems)
    assert [problem.path for problem in refused.problems] == ["cam_slope"]


def composed(shop: Workshop, choice: Choice) -> dict[str, Any]:
    """The machine of the order of a choice."""
    order = shop.compose_order(choice)
    assert isinstance(order, Composed)
    machine: dict[str, Any] = tomllib.loads(order.toml)["machine"]
    return machine
