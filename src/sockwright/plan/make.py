"""The pipeline: from an order to a proven plan, in one function."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, cached_property, partial
from math import log

from sockwright.errors import CannotMake
from sockwright.estimates import Estimate
from sockwright.fabric.compare import compared
from sockwright.fabric.lengths import FabricMeasures, measure_fabric
from sockwright.fabric.use import YarnUse, minutes, of_pair, yarn_use
from sockwright.i18n import _
from sockwright.machine import Machine
from sockwright.measure.foot import FeetComparison, Foot, compare_feet, estimate_foot
from sockwright.measure.gauge import Gauge, estimate_gauge
from sockwright.measure.next_reading import NextReading, best_next_reading
from sockwright.measure.swatches import cam_slope, sort_swatches
from sockwright.measure.yarn import Yarn, yarn_from
from sockwright.needlebed.execute import DryRun, Execution, dry_run, execute
from sockwright.order.model import YARN_ROLES, FootGiven, Order
from sockwright.program.build import build_program
from sockwright.program.draft import CORD, WASTE, YarnPlan
from sockwright.sock.choice import choose_cylinder, cylinder_offers, scores
from sockwright.sock.fit import CylinderFit, rank_cylinders
from sockwright.sock.heel import OF_SOCK
from sockwright.sock.leg import LegShape, shape_leg
from sockwright.sock.sizing import Sizing, length_ease, size_sock
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
    right = estimate_foot(order.wearer, order.wearer.right)
    yarns = yarns_of(order)
    gauge_on = gauges(order, yarns)
    ranking = rank(order, left, gauge_on)
    feet = compare_feet(left, right, ranking[0].gauge.course.value)
    if feet.one_sock_serves_both:
        longer = {"left": left, "right": right}[feet.longer]
        ranking = ranking if longer is left else rank(order, longer, gauge_on)
        plan = _plan_sock(order, "both", feet, longer, yarns, ranking)
        return PairPlan(_with_supply(plan, plan))
    first = _plan_sock(order, "left", feet, left, yarns, ranking)
    other = _plan_sock(order, "right", feet, right, yarns, rank(order, right, gauge_on))
    return PairPlan(_with_supply(first, other), _with_supply(other, first))


def with_program(plan: SockPlan, program: Program, other: SockPlan | None = None) -> SockPlan:
    """The plan of one sock with another program: run, measured and weighed again beside the `other`
    sock of its pair, itself where that is the same. What was sized stays as it was."""
    run = dry_run(program, plan.gauge.loop.value)
    changed = replace(
        plan,
        program=program,
        dry_run=run,
        fabric=_measured(run, plan.gauge, plan.sizing),
        use=yarn_use(run.loops, plan.gauge, plan.yarns),
        minutes=minutes(program),
        as_sized=False,
    )
    return _with_supply(changed, other or plan)


def _measured(run: DryRun, gauge: Gauge, sizing: Sizing) -> FabricMeasures:
    return measure_fabric(run.loops, gauge, sizing.gather_loss, sizing.heel.corner)


def yarns_of(order: Order) -> dict[str, Yarn]:
    """The yarn of every role. A role without its own is as fine as the main yarn, which it takes
    nothing from."""
    own = {yarn.role for yarn in order.yarns}
    yarns = {role: yarn_from(order.yarn(role)) for role in YARN_ROLES}
    return {
        role: yarn if role in own else replace(yarn, role=role, name=role, on_hand_g=None)
        for role, yarn in yarns.items()
    }


def gauges(order: Order, yarns: dict[str, Yarn]) -> Callable[[int], Gauge]:
    """Tells the gauge on so many needles, worked out once whatever the foot."""
    main = yarns["main"]

    @cache
    def gauge_on(needles: int) -> Gauge:
        return estimate_gauge(order.swatches, main, needles, order.sock.drape)

    return gauge_on


def rank(order: Order, foot: Foot, gauge_on: Callable[[int], Gauge]) -> tuple[CylinderFit, ...]:
    """The machine's cylinders for `foot`, the best first."""
    return rank_cylinders(order.machine, gauge_on, foot, order.sock)


def rank_for_order(order: Order) -> tuple[CylinderFit, ...]:
    """The machine's cylinders for the (left) foot of `order`, the best first."""
    foot = estimate_foot(order.wearer, order.wearer.left)
    return rank(order, foot, gauges(order, yarns_of(order)))


def _plan_sock(
    order: Order,
    side: str,
    feet: FeetComparison,
    foot: Foot,
    yarns: dict[str, Yarn],
    ranking: tuple[CylinderFit, ...],
) -> SockPlan:
    """One sock, with all the yarn in the world."""
    fit, sizing, shape = _size(order, foot, ranking)
    gauge, needles = fit.gauge, sizing.needles
    parts = yarn_plan(order)
    program = build_program(sizing, parts, _cam_settings(order, yarns, sizing))
    run = compared(dry_run(program, gauge.loop.value), sizing, program, parts)
    use = yarn_use(run.loops, gauge, yarns)
    return SockPlan(
        order=order,
        side=side,
        feet=feet,
        foot=foot,
        yarns=yarns,
        gauge=gauge,
        fit=fit,
        ranking=ranking,
        sizing=sizing,
        program=program,
        dry_run=run,
        fabric=_measured(run, gauge, sizing),
        use=use,
        pair_use={},
        minutes=minutes(program),
        next_reading=best_next_reading(
            order.swatches,
            yarns["main"].tex,
            needles,
            order.sock.drape,
            sizing.total_courses,
            foot.length.estimate.sd,
        ),
        leg_shape=shape,
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
    size = partial(
        size_sock,
        order.sock,
        fit.cylinder,
        machine,
        fit.gauge,
        foot.length.estimate,
        scores=scores(ranking),
    )
    sizing = size()
    shape = LegShape((1.0,), ())
    if order.sock.leg.shaped:
        height, ease = sizing.leg_height.value, order.sock.ease.girth
        shape = shape_leg(foot, fit.gauge, sizing.needles, height, ease)
        sizing = size(leg_shape=shape.factors)
    return sizing, shape


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


def _cam_settings(order: Order, yarns: dict[str, Yarn], sizing: Sizing) -> dict[float, float]:
    """The user's cam number for every loop-length factor, where her swatches tell it: that of the
    gauge from one swatch, others from two settings or more."""
    tex, needles = yarns["main"].tex, sizing.needles
    own = sort_swatches(order.swatches, tex, needles, order.sock.drape).own
    base = own[0].cam if own else None
    if base is None:
        return {}
    slope = cam_slope(order.swatches, tex, needles)
    if slope is None or abs(slope.value) <= slope.sd:
        return {1.0: base}
    factors = {factor for _, factor in sizing.leg_shape} | {1.0}
    return {factor: round(base + log(factor) / slope.value, 1) for factor in factors}


def _with_supply(plan: SockPlan, other: SockPlan) -> SockPlan:
    """The plan with the use of the pair, and run again on what the other sock leaves of a yarn
    that does not reach for both."""
    pair = {name: of_pair(name, use, other.use.get(name)) for name, use in plan.use.items()}
    supply = {}
    for name, use in pair.items():
        have = plan.yarns[name].on_hand_g
        if have is not None and name not in (WASTE, CORD) and use.mass.value > have:
            left = have - other.use[name].mass.value if name in other.use else have
            supply[name] = max(left, 0.0) / plan.yarns[name].tex.value * 1e6
    if not supply:
        return replace(plan, pair_use=pair)
    run = dry_run(plan.program, plan.gauge.loop.value, supply)
    if plan.as_sized:
        run = compared(run, plan.sizing, plan.program, yarn_plan(plan.order))
    return replace(plan, pair_use=pair, dry_run=run)
