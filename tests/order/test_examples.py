"""The example orders are sound, each shows what it is there to show, and none is improbable."""

from __future__ import annotations

from math import sqrt
from pathlib import Path

import pytest

from sockwright.machine import DialKind, Turning
from sockwright.order import load_machine, load_order
from sockwright.order.model import CuffKind, Fabric, Order, Pull, RibEnd, ToeHalf, Widening

FOLDER = Path(__file__).parents[2] / "examples"
ORDERS = sorted(FOLDER.glob("*.toml"))


def example(name: str) -> Order:
    return load_order(FOLDER / f"{name}.toml")


def test_there_are_examples() -> None:
    assert len(ORDERS) >= 4


@pytest.mark.parametrize("path", ORDERS, ids=lambda path: path.stem)
def test_swatches_of_examples_look_like_sock_fabric(path: Path) -> None:
    """Courses per wale 1.25 to 1.47 in published sock gauges; ordinary hand-cranked socks have a
    tightness of 1.24 +- 0.10. The loop is measured by unravelling, the counts are taken apart from
    it; a firm pull opens plain fabric to about 1.8."""
    order = load_order(path)
    plain = [one for one in order.swatches if one.fabric is Fabric.PLAIN and one.wales]
    assert plain
    for swatch in plain:
        wales = sum(count.number / count.span_mm for count in swatch.wales) / len(swatch.wales)
        courses = sum(count.number / count.span_mm for count in swatch.courses)
        courses /= len(swatch.courses)
        assert 1.25 <= courses / wales <= 1.47
        for reading in swatch.unravelled:
            tightness = sqrt(order.yarn(swatch.yarn).tex) / (reading.length_mm / reading.loops)
            assert 1.04 <= tightness <= 1.44
        for width_mm in swatch.flat_widths_mm:
            assert width_mm == pytest.approx(swatch.needles / wales / 2, rel=0.03)
        for pulled in swatch.stretch:
            assert pulled.pull is Pull.FIRM
            assert pulled.stretched_mm / pulled.relaxed_mm == pytest.approx(1.8, abs=0.1)


def test_winch_operator() -> None:
    order = example("winch-operator")
    assert order.machine.turns is Turning.CARRIER
    assert order.sock.needles == 60
    assert order.wearer.left.pencil_mm == 7.0
    assert order.sock.cuff.kind is CuffKind.HUNG_HEM


def test_avalanche_forecaster() -> None:
    order = example("avalanche-forecaster")
    assert (order.units, order.machine.turns) == ("in", Turning.CYLINDER)
    assert order.machine.cylinders[0].dial is DialKind.HALF
    assert (order.sock.cuff.rib, order.sock.cuff.rib_to) == ((3, 1), RibEnd.INSTEP)
    assert order.sock.heel.cup.widening is Widening.TWO_DOWN_ONE_UP
    assert order.wearer.left.length_mm == pytest.approx(10.7 * 25.4)
    assert order.wearer.right.length_mm == pytest.approx(10.9 * 25.4)


def test_cooks_son() -> None:
    order = example("cooks-son")
    assert (order.wearer.age_years, order.sock.needles) == (8.0, 54)
    assert order.sock.cuff.kind is CuffKind.PICOT_HEM
    assert order.sock.toe.half is ToeHalf.INSTEP


def test_night_dispatcher() -> None:
    order = example("night-dispatcher")
    assert (order.sock.needles, order.sock.leg.shaped) == (84, True)
    assert order.sock.cuff.kind is CuffKind.MOCK_RIB_HEM
    assert order.sock.heel.deep_kept == 24


def test_the_machine_file_stands_alone() -> None:
    machine = load_machine(FOLDER / "machines" / "station-bench.toml")
    assert [cylinder.needles for cylinder in machine.cylinders] == [54, 60, 84]
    assert machine == example("winch-operator").machine
