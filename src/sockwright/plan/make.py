"""The pipeline: from an order to a proven plan, in one function."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, cached_property, partial

from sockwright.errors import CannotMake
from sockwright.estimates import Estimate
from sockwright.fabric.compare import compared
from sockwright.fabric.lengths import FabricMeasures, Fabrics, measure_fabric
from sockwright.fabric.use import YarnUse, minutes, of_pair, yarn_use
from sockwright.i18n import _
from sockwright.machine import Machine
from sockwright.measure.fabrics import cuff_fabric, leg_fabric
from sockwright.measure.foot import FeetComparison, Foot, compare_feet, estimate_foot
from sockwright.measure.gauge import Gauge, estimate_gauge
from sockwright.measure.next_reading import NextReading, best_next_reading
from sockwright.measure.yarn import Yarn, yarn_from
from sockwright.needlebed.execute import DryRun, Execution, dry_run, execute
from sockwright.order.model import YARN_ROLES, FootGiven, Order
from sockwright.plan.cam import cam_settings
from sockwright.plan.ways_out import Sized, with_ways_out
from sockwright.plan.wishes import Wishes, wishes_of
from sockwright.program.build import build_program
from sockwright.program.draft import CORD, WASTE, YarnPlan
from sockwright.sock.choice import choose_cylinder, cylinder_offers, scores
from sockwright.sock.fit import CylinderFit, rank_cylinders
from sockwright.sock.heel import OF_SOCK
from sockwright.sock.leg import LegShape, shape_leg
from sockwright.sock.sizing import Sizing, length_ease, size_sock
from sockwright.sock.top import TopFit, check_top, fit_top
from sockwright.steps import Program


@dataclass(frozen=True)
class SockPlan:
    """A proven plan for one sock.

    `side` is "both" where one sock serves both feet, else "left" or "right". `ranking` lists the
    machine's cylinders, the best first. `use` is the yarn of one sock; `pair_use` that of both.
    `units` are those it is shown in ("cm" or "in"), `as_sized` tells whether the program is the
    sizing's own.
    """

    order: Order
    side: str
    feet: FeetComparison
    foot: Foot
    yarns: dict[str, Yarn]
    gauge: Gauge
    fit: CylinderFit
    ranking: tuple[CylinderFit, ...]
    sizing: Sizing
    program: Program
    dry_run: DryRun
    fabric: FabricMeasures
    use: dict[str, YarnUse]
    pair_use: dict[str, YarnUse]
    minutes: Estimate
    next_reading: NextReading
    leg_shape: LegShape
    top: TopFit
    wishes: Wishes
    units: str
    as_sized: bool = True

    @property
    def ok(self) -> bool:
        """True when the sock has no error-level finding."""
        return self.dry_run.ok

    @cached_property
    def length_ease(self) -> Estimate:
        """How much shorter than the foot the sock is, as a share."""
        return (1.0 - self.sizing.foot_length / self.foot.length.estimate).named(
            "fit.length_ease",
            _("shorter than the foot by"),
            "1",
            _("1 − foot length of the sock ÷ foot length"),
            OF_SOCK,
            also=(length_ease(self.order.sock),),
        )

    @property
    def foot_given(self) -> FootGiven:
        """What the order gives of the foot."""
        wearer = self.order.wearer
        side = self.feet.longer if self.side == "both" else self.side
        return wearer.right if side == "right" else wearer.left

    @property
    def tube_length(self) -> Estimate | None:
        """From top to toe, of a sock without a heel."""
        return None if self.sizing.heel.cups else self.fabric.tube_length

    @cached_property
    def execution(self) -> Execution:
        """The program with the machine's state before and after each step."""
        return execute(self.program)

    def in_units(self, units: str) -> SockPlan:
        """The same plan, told in other units."""
        return self if units == self.units else replace(self, units=units)


@dataclass(frozen=True)
class PairPlan:
    """The plans of a pair: one that both socks are knitted by, or one for each foot."""

    first: SockPlan
    second: SockPlan | None = None

    @property
    def socks(self) -> tuple[SockPlan, ...]:
        """The plans there are, one or two."""
        return (self.first,) if self.second is None else (self.first, self.second)

    @property
    def both(self) -> tuple[SockPlan, SockPlan]:
        """The plan of the first sock and that of the second, maybe the same."""
        return self.first, self.second or self.first

    @property
    def order(self) -> Order:
        """What was asked for."""
        return self.first.order

    @property
    def ok(self) -> bool:
        """True when no sock has an error-level finding."""
        return all(sock.ok for sock in self.socks)

    def in_units(self, units: str) -> PairPlan:
        """The same plans, told in other units."""
        socks = (sock.in_units(units) for sock in self.socks)
        return self if units == self.first.units else PairPlan(*socks)


def make_plan(order: Order) -> PairPlan:
    """Plan both socks of `order`: estimate, fit, size, write the program, run it, measure it.

    One plan serves both feet where they are alike, that of the longer. Raises OrderError where a
    foot cannot be estimated and CannotMake, with offers, where the sock cannot be made as asked.
    """
    left = estimate_foot(order.wearer, order.wearer.left)
    alike = order.wearer.left == order.wearer.right
    right = left if alike else estimate_foot(order.wearer, order.wearer.right)
    yarns = yarns_of(order)
    gauge_on = gauges(order, yarns)
    asked = _socks_asked(order, left, right, gauge_on)
    try:
        socks = [_plan_sock(order, one, yarns) for one in asked]
    except CannotMake as refusal:
        size = partial(_way_out, order, left, right, gauge_on)
        raise with_ways_out(refusal, order, asked[0].ranking, size) from None
    both = (socks[0], socks[-1])
    pairs = (both, both[::-1])[: len(socks)]
    return PairPlan(*(_with_supply(one, other) for one, other in pairs))


@dataclass(frozen=True)
class _SockAsked:
    """One sock to plan: whose it is, its foot, and the cylinders for that, the best first."""

    side: str
    feet: FeetComparison
    foot: Foot
    ranking: tuple[CylinderFit, ...]


def _socks_asked(
    order: Order, left: Foot, right: Foot, gauge_on: Callable[[int], Gauge]
) -> tuple[_SockAsked, ...]:
    """One sock for feet that are alike, else the left one and the right one."""
    ranking = rank(order, left, gauge_on)
    feet = compare_feet(left, right, ranking[0].gauge.course.value)
    if not feet.one_sock_serves_both:
        own = rank(order, right, gauge_on)
        return _SockAsked("left", feet, left, ranking), _SockAsked("right", feet, right, own)
    longer = {"left": left, "right": right}[feet.longer]
    ranking = ranking if longer is left else rank(order, longer, gauge_on)
    return (_SockAsked("both", feet, longer, ranking),)


def _way_out(
    order: Order, left: Foot, right: Foot, gauge_on: Callable[[int], Gauge], instead: Order
) -> Sized | CannotMake:
    """How the first sock of another order of the same feet, yarn and machine would be made, or why
    a sock of it cannot be."""
    if instead.sock.drape is not order.sock.drape:
        gauge_on = gauges(instead, yarns_of(instead))
    try:
        asked = _socks_asked(instead, left, right, gauge_on)
        sized = [_size(instead, one.foot, one.ranking)[:2] for one in asked]
    except CannotMake as refusal:
        return refusal
    return sized[0]


def with_program(plan: SockPlan, program: Program, other: SockPlan | None = None) -> SockPlan:
    """The plan of one sock with another program: run, measured and weighed again beside the `other`
    sock of its pair, itself where that is the same. What was sized stays as it was."""
    run = dry_run(program, plan.gauge.loop.value)
    changed = replace(
        plan,
        program=program,
        dry_run=run,
        fabric=_measured(plan.order, run, plan.gauge, plan.sizing),
        use=yarn_use(run.loops, plan.gauge, plan.yarns, fabrics_of(plan.order)),
        minutes=minutes(program, plan.order.machine.pace),
        as_sized=False,
    )
    return _with_supply(changed, other or plan)


def _measured(order: Order, run: DryRun, gauge: Gauge, sizing: Sizing) -> FabricMeasures:
    fabrics = fabrics_of(order)
    return measure_fabric(run.loops, gauge, sizing.gather_loss, sizing.heel.corner, fabrics)


def fabrics_of(order: Order) -> Fabrics:
    """What cuff and leg of the sock are made of."""
    cuff = order.sock.cuff
    return Fabrics(cuff_fabric(cuff), leg_fabric(cuff))


def yarns_of(order: Order) -> dict[str, Yarn]:
    """The yarn of every role. A role without its own is as fine as the main yarn, which it takes
    nothing from."""
    own = {yarn.role: yarn_from(yarn) for yarn in order.yarns}
    main = own["main"]
    return {
        role: own.get(role) or replace(main, role=role, name=role, on_hand_g=None)
        for role in YARN_ROLES
    }


def gauges(order: Order, yarns: dict[str, Yarn]) -> Callable[[int], Gauge]:
    """Tells the gauge on so many needles, worked out once whatever the foot."""
    main = yarns["main"]

    @cache
    def gauge_on(needles: int) -> Gauge:
        return estimate_gauge(
            order.swatches,
            main,
            order.machine,
            needles,
            order.sock.drape,
            order.finished,
            yarns,
        )

    return gauge_on


def rank(order: Order, foot: Foot, gauge_on: Callable[[int], Gauge]) -> tuple[CylinderFit, ...]:
    """The machine's cylinders for `foot`, the best first, each with its fabric as the wearer's
    answers about finished socks have it."""

    def answered_on(needles: int) -> Gauge:
        gauge = gauge_on(needles)
        return wishes_of(order, foot, gauge).of_gauge(gauge)

    any_needles = order.machine.cylinders[0].needles
    wishes = wishes_of(order, foot, gauge_on(any_needles))
    return rank_cylinders(order.machine, answered_on, foot, wishes.of_sock(order.sock))


def rank_for_order(order: Order) -> tuple[CylinderFit, ...]:
    """The machine's cylinders for the (left) foot of `order`, the best first."""
    foot = estimate_foot(order.wearer, order.wearer.left)
    return rank(order, foot, gauges(order, yarns_of(order)))


def _plan_sock(order: Order, asked: _SockAsked, yarns: dict[str, Yarn]) -> SockPlan:
    """One sock, with all the yarn in the world."""
    foot, ranking = asked.foot, asked.ranking
    fit, sizing, shape = _size(order, foot, ranking)
    gauge, needles = fit.gauge, sizing.needles
    parts = yarn_plan(order)
    program = build_program(sizing, parts, cam_settings(order, yarns, gauge, sizing))
    run = compared(dry_run(program, gauge.loop.value), sizing, program, parts)
    use = yarn_use(run.loops, gauge, yarns, fabrics_of(order))
    return SockPlan(
        order=order,
        side=asked.side,
        feet=asked.feet,
        foot=foot,
        yarns=yarns,
        gauge=gauge,
        fit=fit,
        ranking=ranking,
        sizing=sizing,
        program=program,
        dry_run=run,
        fabric=_measured(order, run, gauge, sizing),
        use=use,
        pair_use={},
        minutes=minutes(program, order.machine.pace),
        next_reading=best_next_reading(
            gauge.seen, needles, sizing.total_courses, foot.length.estimate.sd
        ),
        leg_shape=shape,
        top=top_of(order, foot, gauge, sizing),
        wishes=wishes_of(order, foot, gauge),
        units=order.units,
    )


def _size(
    order: Order, foot: Foot, ranking: tuple[CylinderFit, ...]
) -> tuple[CylinderFit, Sizing, LegShape]:
    """The cylinder and the sizing. Where the program may choose, the best cylinder on which the
    whole sock can be made; the best one's refusal where none can."""

    def can_size(fit: CylinderFit) -> bool:
        return _sized_on(order, foot, fit, ranking) is not None

    needles = order.sock.needles
    _check_owned(order, ranking, can_size)
    best = choose_cylinder(ranking, needles, order.sock.ease.girth, can_size)
    for fit in [best] if needles else [fit for fit in ranking if fit.fits]:
        if sized := _sized_on(order, foot, fit, ranking):
            return fit, *sized
    able = tuple(fit.cylinder for fit in ranking if fit.fits and can_size(fit))
    return best, *_size_on(order, foot, best, ranking, replace(order.machine, cylinders=able))


def _sized_on(
    order: Order, foot: Foot, fit: CylinderFit, ranking: tuple[CylinderFit, ...]
) -> tuple[Sizing, LegShape] | None:
    """The sizing on one cylinder, None where the sock cannot be made on it."""
    try:
        return _size_on(order, foot, fit, ranking, order.machine)
    except CannotMake:
        return None


def _size_on(
    order: Order,
    foot: Foot,
    fit: CylinderFit,
    ranking: tuple[CylinderFit, ...],
    machine: Machine,
) -> tuple[Sizing, LegShape]:
    """The sizing on one cylinder of the `ranking`; a refusal offers those of `machine`."""
    asked = wishes_of(order, foot, fit.gauge).of_sock(order.sock)
    size = partial(
        size_sock,
        asked,
        fit.cylinder,
        machine,
        fit.gauge,
        foot.length.estimate,
        scores=scores(ranking),
    )
    sizing = size()
    shape = LegShape((1.0,), ())
    if order.sock.leg.shaped:
        height, ease = sizing.leg_height.value, asked.ease.girth
        shape = shape_leg(foot, fit.gauge, sizing.needles, height, ease)
        sizing = size(leg_shape=shape.factors)
    check_top(foot, top_of(order, foot, fit.gauge, sizing))
    return sizing, shape


def top_of(order: Order, foot: Foot, gauge: Gauge, sizing: Sizing) -> TopFit:
    """How the top of the sock suits the leg."""
    made, height = fabrics_of(order), sizing.leg_height.value
    return fit_top(foot, gauge, sizing.needles, height, made.cuff, made.leg, sizing.top_factor)


def _check_owned(
    order: Order, ranking: tuple[CylinderFit, ...], can_size: Callable[[CylinderFit], bool]
) -> None:
    owned = [cylinder.needles for cylinder in order.machine.cylinders]
    if order.sock.needles is not None and order.sock.needles not in owned:
        raise CannotMake(
            _(
                "{machine} has no cylinder of {needles} needles",
                machine=order.machine.name,
                needles=order.sock.needles,
            ),
            cylinder_offers(ranking, can_size),
        )


def yarn_plan(order: Order) -> YarnPlan:
    """Which of the order's yarns knits which part; a role without its own yarn uses the main."""
    given = {yarn.role for yarn in order.yarns}

    def own(role: str) -> str:
        return role if role in given else "main"

    return YarnPlan("main", own("cuff"), own("heel"), own("toe"))


def _with_supply(plan: SockPlan, other: SockPlan) -> SockPlan:
    """The plan with the use of the pair, and run again on what the other sock leaves of a yarn
    that does not reach for both."""
    pair = {name: of_pair(name, use, other.use.get(name)) for name, use in plan.use.items()}
    supply = {}
    for name, use in pair.items():
        have = plan.yarns[name].on_hand_g
        if have is not None and name not in (WASTE, CORD) and use.mass.value > have:
            left = have - other.use[name].mass.value if name in other.use else have
            supply[name] = max(left, 0.0) * use.length.value / use.mass.value
    if not supply:
        return replace(plan, pair_use=pair)
    run = dry_run(plan.program, plan.gauge.loop.value, supply)
    if plan.as_sized:
        run = compared(run, plan.sizing, plan.program, yarn_plan(plan.order))
    return replace(plan, pair_use=pair, dry_run=run)
