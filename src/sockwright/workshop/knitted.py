"""What a kept pair was: each of its socks as its own order planned it, with the rounds more and
fewer of its log."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sqlalchemy.orm import Session

from sockwright.errors import CannotMake, OrderError
from sockwright.estimates import Estimate
from sockwright.measure.fabrics import leg_fabric
from sockwright.once import Memory
from sockwright.order.file import parse_order
from sockwright.order.finished import COUNTS
from sockwright.order.model import RibEnd
from sockwright.plan.make import SockPlan, make_plan
from sockwright.store.items import Thing
from sockwright.store.kept import entries_of
from sockwright.workshop.answers import Composed, Planned
from sockwright.workshop.bench import socks_at_bench

AT_HAND = 256
"""Pairs kept at hand: more than a composed order takes."""

HALF_A_COURSE = 0.5

IN_A_SOCK = ("main", "cuff", "heel", "toe")
"""The yarns that a finished sock is weighed with; scrap yarn and cord come out again."""


@dataclass(frozen=True)
class KnittedSock:
    """A sock by its plan. `counts` are its rounds and rows by the keys of [[finished]]; `loops` are
    worth as much yarn as the sock. `wale`, `course` and `loop` (mm) are what its swatches foretold,
    `fineness` its yarn's (tex) and `mass` (g) what was foretold of its weight.

    `along` tells whether rows and rounds add up to the foot's courses, `plain` whether the foot is
    plain all round, `straight` whether the leg was knitted at one setting, `one_yarn` whether every
    part is of yarn as fine as the main one.
    """

    needles: int
    cam: float | None
    counts: Mapping[str, int]
    loops: int
    leg_fabric: str
    wale: float
    course: float
    loop: float
    fineness: Estimate
    mass: float
    along: bool
    plain: bool
    straight: bool
    one_yarn: bool

    def as_counted(self, said: Mapping[str, int]) -> KnittedSock:
        """The same with the rounds and rows that a maker says were really knitted."""
        if not said:
            return self
        half, counts = self.needles / 2, {**self.counts, **said}
        more = {name: counts[name] - self.counts[name] for name in counts}
        rounds = more["hem_rounds"] + more["leg_rounds"] + more["foot_rounds"]
        # The longest rows of a cup are those that come or go.
        rows = more["heel_rows"] + more["toe_rows"]
        loops = self.loops + round(self.needles * rounds + half / 2 * rows)
        return replace(self, counts=counts, loops=loops)


def knitted_socks(session: Session, pair: Thing, logged: bool) -> tuple[KnittedSock, ...]:
    """Both socks of a kept pair, the first first; none where its order makes no plan any more.
    `logged` tells that they were counted at the machine."""
    toml = pair.fields["order_toml"]
    log = [entries_of(session, pair.id, which) for which in ("first", "second")] if logged else []
    key = toml, tuple(entry.id for entries in log for entry in entries)
    return _KNOWN.of(key, lambda: _knitted(session, pair, toml, logged))


_KNOWN: Memory[tuple[KnittedSock, ...]] = Memory(AT_HAND)


def _knitted(session: Session, pair: Thing, toml: str, logged: bool) -> tuple[KnittedSock, ...]:
    try:
        order = parse_order(toml)
        planned = Planned(Composed(order, toml), make_plan(order))
    except (OrderError, CannotMake):
        return ()
    if not logged:
        return tuple(_sock(plan, plan, {}) for plan in planned.pair.both)
    at_bench = socks_at_bench(session, pair, planned)
    assert isinstance(at_bench, tuple)  # as it was planned
    return tuple(_sock(one.planned, one.knitted, one.more) for one in at_bench)


def _sock(planned: SockPlan, knitted: SockPlan, more: Mapping[str, int]) -> KnittedSock:
    sizing, gauge, order = planned.sizing, planned.gauge, planned.order
    counts = {
        "hem_rounds": int(sizing.cuff.rounds) + more.get("cuff", 0),
        "leg_rounds": int(sizing.leg_rounds) + more.get("leg", 0),
        "foot_rounds": int(sizing.foot_rounds) + more.get("foot", 0),
        "heel_rows": int(sizing.heel.rows),
        "toe_rows": int(sizing.toe.rows),
    }
    assert tuple(counts) == tuple(key.name for key in COUNTS)
    plainly = (sizing.heel.rows + sizing.toe.rows) / 2 + sizing.foot_rounds
    use = [knitted.use[role] for role in IN_A_SOCK if role in knitted.use]
    foretold = gauge.learned.without if gauge.learned else (gauge.wale, gauge.course, gauge.loop)
    wale, course, loop = (one.value for one in foretold)
    return KnittedSock(
        needles=int(sizing.needles),
        cam=gauge.seen.cam,
        counts=counts,
        loops=round(sum(one.length.value for one in use) / knitted.gauge.loop.value),
        leg_fabric=leg_fabric(order.sock.cuff),
        wale=wale,
        course=course,
        loop=loop,
        fineness=planned.yarns["main"].tex,
        mass=sum(one.mass.value for one in use),
        along=(
            bool(sizing.heel.cups)
            and sizing.heel.corner.value == 0
            and abs(sizing.total_courses - plainly) < HALF_A_COURSE
            and not more.keys() & {"heel", "toe"}
        ),
        plain=order.sock.cuff.rib_to is not RibEnd.INSTEP,
        straight=all(factor == 1 for _, factor in sizing.leg_shape),
        one_yarn=len({order.yarn(role).tex for role in IN_A_SOCK}) == 1,
    )


def weighed_before(pair: Thing) -> Mapping[str, float]:
    """What there was of each yarn of a kept pair when it was planned, g by role, by its own order;
    nothing where that does not read."""
    toml = pair.fields["order_toml"]
    return _WEIGHED.of(toml, lambda: _weighed(toml))


_WEIGHED: Memory[Mapping[str, float]] = Memory(AT_HAND)


def _weighed(toml: str) -> Mapping[str, float]:
    try:
        yarns = parse_order(toml).yarns
    except OrderError:
        return {}
    return {yarn.role: yarn.on_hand_g for yarn in yarns if yarn.on_hand_g is not None}
