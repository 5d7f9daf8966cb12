"""Plans for any cylinder, made once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from orders import order
from sockwright.machine import Cylinder
from sockwright.plan.make import SockPlan, make_plan

COUNTS = (36, 60, 61, 72, 84, 100, 200)


@pytest.fixture(scope="session")
def any_plan() -> dict[int, SockPlan]:
    """A plan for each of COUNTS, on a foot whose ball girth suits the tube."""
    return {needles: _plan(needles) for needles in COUNTS}


def _plan(needles: int) -> SockPlan:
    base = order()
    machine = replace(base.machine, cylinders=(Cylinder(needles, 1.8 * needles),))
    wide = needles / 60
    sock = replace(base.sock, needles=needles, leg=replace(base.sock.leg, rounds=40))
    foot = replace(
        base.wearer.left,
        length_mm=250.0 * max(1.0, wide),
        ball_girth_mm=(base.wearer.left.mm("ball_girth") or 220.0) * wide,
        heel_girth_mm=(base.wearer.left.mm("heel_girth") or 305.0) * wide,
    )
    wearer = replace(base.wearer, left=foot, right=foot)
    swatches = tuple(replace(swatch, needles=needles) for swatch in base.swatches)
    changed = replace(base, machine=machine, sock=sock, wearer=wearer, swatches=swatches)
    return make_plan(changed).first
