"""Whole orders to plan: a station order with a fabric known to a hair, and random ones."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

from sockwright.machine import Cylinder, Machine, Turning
from sockwright.order.model import (
    Count,
    FootGiven,
    HeelGiven,
    HeelKind,
    Order,
    Pull,
    Sex,
    SockGiven,
    State,
    Stretch,
    SwatchGiven,
    Unravelled,
    WearerGiven,
    YarnGiven,
)

ROOT = Path(__file__).parents[1]
sys.path.append(str(ROOT))

from benchmarks.random_orders import random_order  # noqa: E402

INCH_MM = 25.4
FOOT = FootGiven(length_mm=245.0, ball_girth_mm=220.0, heel_girth_mm=302.0, ankle_girth_mm=208.0)
YARN = YarnGiven("main", "grey boot-sock wool", 277.0, tex_sd=1.0)


def swatch(
    needles: int,
    wale_mm: float,
    course_mm: float,
    loop_mm: float,
    stretch: float | None = 1.8,
    **more: object,
) -> SwatchGiven:
    """A washed swatch measured so well that its fabric is known to about a tenth of a per cent."""
    return SwatchGiven(
        name="grey, washed",
        state=State.WASHED,
        needles=needles,
        wales=(Count(2000 / wale_mm, 2000.0),) * 3,
        courses=(Count(2000 / course_mm, 2000.0),) * 3,
        unravelled=(Unravelled(5000, 5000 * loop_mm),) * 3,
        stretch=() if stretch is None else (Stretch(1000.0, 1000.0 * stretch, Pull.FIRM),),
        ruler_mm=0.1,
        **more,  # type: ignore[arg-type]
    )


def order(
    *cylinders: int | Cylinder,
    wale_mm: float = 3.3,
    course_mm: float = 2.55,
    loop_mm: float = 13.7,
    stretch: float | None = 1.8,
    foot: FootGiven = FOOT,
    right: FootGiven | None = None,
    sock: SockGiven | None = None,
    yarns: tuple[YarnGiven, ...] = (YARN,),
) -> Order:
    """Plain socks for the winch operator on the station's machine, 60 needles unless said."""
    mounted = [c if isinstance(c, Cylinder) else Cylinder(c) for c in cylinders or (60,)]
    return Order(
        title="Boot socks for the winch operator",
        wearer=WearerGiven("winch operator", Sex.WOMAN, left=foot, right=right or foot),
        machine=Machine("the station's machine", Turning.CARRIER, tuple(mounted)),
        yarns=yarns,
        swatches=(swatch(mounted[0].needles, wale_mm, course_mm, loop_mm, stretch),),
        sock=sock or SockGiven(),
    )


def as_tube(asked: Order) -> Order:
    """The same order for a sock without a heel, its toe the usual cup where it was the heel's."""
    return replace(asked, sock=replace(asked.sock, heel=HeelGiven(HeelKind.NONE)))


def longer(foot: FootGiven, by_mm: float) -> FootGiven:
    """The same foot, so much longer."""
    assert foot.length_mm is not None
    return replace(foot, length_mm=foot.length_mm + by_mm)


def random_orders(first: int, count: int) -> list[Order]:
    """Random orders, the same ones each time."""
    return [random_order(np.random.default_rng(number)) for number in range(first, first + count)]
