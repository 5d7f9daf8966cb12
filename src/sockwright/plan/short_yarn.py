"""Whether the yarn on hand reaches for the pair, and what would do where it does not.

What would do is worked out, not guessed: fewer rounds and other cylinders are planned anew, and
what a part takes is counted on the loop table.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import islice
from math import erf, floor, sqrt

import numpy as np

from sockwright.errors import CannotMake
from sockwright.estimates import Estimate
from sockwright.i18n import N_, Message, _, joined, listed, ngettext
from sockwright.measure.fabrics import PLAIN, ratio
from sockwright.needlebed.findings import Code
from sockwright.once import once
from sockwright.order.changes import changed
from sockwright.order.model import Order, RibEnd
from sockwright.plan.make import SockPlan, fabrics_of, make_plan
from sockwright.program.draft import CORD, WASTE
from sockwright.quantities import format_both, format_mass
from sockwright.sock.fit import ease_words
from sockwright.sock.leg import FEWEST_LEG_ROUNDS, PRE_HEEL_ROUNDS
from sockwright.sock.passing import FRACTIONS
from sockwright.steps import Section, Thread
from sockwright.wording.instructions import group_steps

SDS = 2.0
"""Yarn is enough where it reaches even if the pair takes so many sds more than expected."""
PARTS = {"cuff": Section.CUFF, "heel": Section.HEEL, "toe": Section.TOE}
SETS = (("heel", "toe"), ("cuff", "heel", "toe"))
"""Parts that are put in another yarn together where none alone does."""
MOST_PLANNED = 4
"""Plans made to find the rounds of the leg, and other cylinders planned on."""


class Reach(StrEnum):
    """How far a yarn reaches."""

    ENOUGH = "enough"
    TIGHT = "tight"
    SHORT = "not enough"


@dataclass(frozen=True)
class Supply:
    """A yarn of a pair: what the pair takes of it, and what there is, g."""

    role: str
    need: Estimate
    have: float

    @property
    def left(self) -> Estimate:
        """What would be left, g; below zero what is short."""
        return Estimate(self.have - self.need.value, self.need.sd, "g")

    @property
    def odds(self) -> float:
        """The probability, 0 to 1, that it reaches."""
        left = self.left
        return (1 + erf(left.value / left.sd / sqrt(2))) / 2 if left.sd else float(left.value >= 0)

    @property
    def reach(self) -> Reach:
        """How far it reaches."""
        return reach_of(self.left)


def reach_of(left: Estimate) -> Reach:
    """How far a yarn reaches of which so much would be left, g."""
    if left.value < 0:
        return Reach.SHORT
    return Reach.ENOUGH if left.value >= SDS * left.sd else Reach.TIGHT


@dataclass(frozen=True)
class Cure:
    """What would do: the change, what else it changes, what would be left of the yarn that is
    short, g, and the keys of [sock] that make it ({} for another yarn)."""

    change: Message
    effect: Message
    left: Estimate
    what: Mapping[str, str | int] = field(default_factory=dict, hash=False)
    parts: tuple[str, ...] = ()
    """Those that take another yarn."""

    @property
    def reach(self) -> Reach:
        """How far the yarn reaches then."""
        return reach_of(self.left)

    @property
    def left_words(self) -> Message:
        """What would be left, or be short still."""
        if self.left.value < 0:
            return _(
                "still {grams} short", grams=format_mass(replace(self.left, value=-self.left.value))
            )
        if self.reach is Reach.TIGHT:
            return _("{grams} left, which is tight", grams=format_mass(self.left))
        return _("{grams} left", grams=format_mass(self.left))

    @property
    def message(self) -> Message:
        """All of it in a line."""
        return _(
            "{change} ({left}, {effect})",
            change=self.change,
            left=self.left_words,
            effect=self.effect,
        )


@dataclass(frozen=True)
class Shortage:
    """A yarn that does not reach for the pair: which, how short, where it gives out, what would do.

    `second` tells whether one sock can be knitted whole; `step` is the printed step at which it
    gives out, `section` the part.
    """

    supply: Supply
    name: str
    second: bool
    step: int
    section: str
    cures: tuple[Cure, ...]

    @property
    def short(self) -> Estimate:
        """What is short for the pair, g."""
        return replace(self.supply.left, value=-self.supply.left.value)

    @property
    def message(self) -> Message:
        """What is short, and where that shows."""
        where = N_(
            "{yarn}: {grams} short for the pair, which takes {need}; it gives out in the second "
            "sock knitted, at step {step} ({section})"
        )
        if not self.second:
            where = N_(
                "{yarn}: {grams} short for the pair, which takes {need}; it gives out in the first "
                "sock knitted, at step {step} ({section})"
            )
        return _(
            where,
            yarn=self.name,
            grams=format_mass(self.short),
            need=format_mass(self.supply.need),
            step=self.step,
            section=_(self.section),
        )

    @property
    def cures_words(self) -> Message:
        """What would do, in one sentence."""
        if not self.cures:
            return _("more of it, or another yarn for the whole pair, would do")
        cures = joined("; ", (one.message for one in self.cures))
        if self.cures[0].reach is Reach.SHORT:
            return _("nothing alone would be enough; what would help: {cures}", cures=cures)
        return _("what would do: {cures}", cures=cures)


def supplies(plan: SockPlan) -> tuple[Supply, ...]:
    """The yarns of which it is known what there is."""
    return tuple(
        Supply(role, use.mass, have)
        for role, use in plan.pair_use.items()
        for have in (plan.yarns[role].on_hand_g,)
        if have is not None and role not in (WASTE, CORD)
    )


def odds_words(supply: Supply) -> Message:
    """How sure it is that a yarn reaches."""
    of, among = min(FRACTIONS, key=lambda one: abs(supply.odds - one[0] / one[1]))
    return ngettext(
        "{n} time in {among} it reaches", "{n} times in {among} it reaches", of, among=among
    )


def yarn_at(plan: SockPlan, step: int) -> str:
    """The yarn in the carrier at a step of the program."""
    threaded = [one.yarn for one in plan.program.steps[:step] if isinstance(one, Thread)]
    return threaded[-1]


@once
def shortages(plan: SockPlan) -> tuple[Shortage, ...]:
    """The yarns that do not reach for the pair, the one that gives out first first."""
    short = {one.role: one for one in supplies(plan) if one.reach is Reach.SHORT}
    gone = [each.step for each in plan.dry_run.findings if each.code is Code.YARN_GONE]
    found = []
    for step in gone:
        role = yarn_at(plan, step)
        if role in short:
            found.append(_shortage(plan, short[role], step))
    return tuple(found)


def short_words(plan: SockPlan) -> tuple[Message, ...]:
    """What is to be known before all else where yarn is short: that it is, and what would do."""
    return tuple(words for one in shortages(plan) for words in (one.message, one.cures_words))


def _shortage(plan: SockPlan, supply: Supply, step: int) -> Shortage:
    role = supply.role
    groups = group_steps(plan.program.steps)
    yarn = plan.yarns[role]
    cures = sorted(_cures(plan, supply), key=lambda one: list(Reach).index(one.reach))
    return Shortage(
        supply,
        yarn.name,
        plan.use[role].mass.value <= supply.have,
        next(number for number, (__, end) in enumerate(groups, 1) if step <= end),
        plan.program.steps[step - 1].section.value,
        tuple(cures),
    )


def _cures(plan: SockPlan, supply: Supply) -> Iterator[Cure]:
    if supply.role != "main":
        yield from _of_main(plan, supply)
    elif plan.as_sized:
        yield from _shorter_leg(plan, supply)
    if supply.role == "main":
        yield from _other_yarn(plan, supply)
    if plan.as_sized:
        yield from _smaller(plan, supply)


def _planned(plan: SockPlan, what: Mapping[str, str | int]) -> SockPlan | None:
    """The first sock with keys of [sock] changed, and all the yarn in the world."""
    order: Order = changed(plan.order, what)
    try:
        pair = make_plan(
            replace(order, yarns=tuple(replace(yarn, on_hand_g=None) for yarn in order.yarns))
        )
    except CannotMake:
        return None
    return next((one for one in pair.socks if one.side == plan.side), pair.first)


def _left(plan: SockPlan, supply: Supply) -> Estimate:
    return replace(supply, need=plan.pair_use[supply.role].mass).left


def _shorter_leg(plan: SockPlan, supply: Supply) -> Iterator[Cure]:
    """As few rounds fewer as do; all that the leg can spare where that is still too few."""
    cuff, had = plan.order.sock.cuff, int(plan.sizing.leg_rounds)
    ribbed = plan.sizing.cuff.rib is not None and cuff.rib_to is not RibEnd.CUFF
    fewest = FEWEST_LEG_ROUNDS + (PRE_HEEL_ROUNDS if ribbed else 0)
    each = 2 * plan.sizing.needles * plan.gauge.loop_mass.value / 1e3
    rounds, left, best = had, supply.left, None
    for __ in range(MOST_PLANNED):
        spare = left.value - SDS * left.sd
        wanted = rounds + floor(spare / each)
        wanted = min(max(wanted, fewest), had - 1)
        if wanted == rounds or wanted < fewest:
            break
        keys = {"leg.rounds": wanted}
        shorter = _planned(plan, keys)
        if shorter is None:
            break
        rounds, left = wanted, _left(shorter, supply)
        cure = Cure(
            ngettext("{n} round fewer in the leg", "{n} rounds fewer in the leg", had - rounds),
            _("{height} high", height=format_both(shorter.fabric.leg_length.value)),
            left,
            keys,
        )
        if best is None or cure.reach is Reach.ENOUGH or best.reach is not Reach.ENOUGH:
            best = cure
    if best is not None:
        yield best


def _other_yarn(plan: SockPlan, supply: Supply) -> Iterator[Cure]:
    """Each part that alone makes the main yarn reach, else the fewest together that do."""
    own = {yarn.role for yarn in plan.order.yarns}
    shares = {name: share for name, share in part_shares(plan).items() if name not in own}

    def cure(parts: tuple[str, ...]) -> Cure:
        share = sum(shares[name] for name in parts)
        takes = Estimate(supply.need.value * share, supply.need.sd * share, "g")
        need = Estimate(supply.need.value - takes.value, supply.need.sd - takes.sd, "g")
        return Cure(
            _("{parts} in another yarn", parts=listed([_(name) for name in parts], "and")),
            _("{grams} of that", grams=format_mass(takes)),
            replace(supply, need=need).left,
            parts=parts,
        )

    alone = [cure((name,)) for name in sorted(shares, key=lambda name: shares[name])]
    reached = [one for one in alone if one.reach is Reach.ENOUGH]
    if reached or not shares:
        yield from reached[:1]
        return
    sets = [tuple(name for name in names if name in shares) for names in SETS]
    together = [cure(names) for names in sets if len(names) > 1] or alone
    yield next((one for one in together if one.reach is Reach.ENOUGH), together[-1])


def part_shares(plan: SockPlan) -> dict[str, float]:
    """The share of the main yarn that cuff, heel and toe take, counted on the loop table."""
    table, fabrics = plan.dry_run.loops, fabrics_of(plan.order)
    if "main" not in table.yarns:
        return {}
    number = table.yarns.index("main")
    sizes = [len(run.slots) * run.rounds for run in table.runs]
    sections = np.repeat([run.section for run in table.runs], sizes)
    mine = table.yarn == number
    used = np.diff(table.yarn_at[mine], prepend=0.0)
    whole = table.used_mm[number]
    shares = {}
    for name, section in PARTS.items():
        part = float(used[sections[mine] == section.value].sum())
        kind = fabrics.cuff if section is Section.CUFF else PLAIN
        if part:
            shares[name] = part / whole * _against_plain(plan, kind)
    return shares


def _against_plain(plan: SockPlan, kind: str) -> float:
    """The loop of a fabric against the plain one's."""
    if kind == PLAIN:
        return 1.0
    if kind not in plan.gauge.fabrics:
        return ratio(kind, "loop").value
    return plan.gauge.of(kind).loop.value / plan.gauge.loop.value


def _of_main(plan: SockPlan, supply: Supply) -> Iterator[Cure]:
    """A part knitted in the main yarn, where there is enough left of that."""
    main = next((one for one in supplies(plan) if one.role == "main"), None)
    if main is not None and supply.role in PARTS:
        left = Estimate(main.left.value - supply.need.value, main.need.sd + supply.need.sd, "g")
        if reach_of(left) is not Reach.SHORT:
            yield Cure(
                _("{parts} in the main yarn", parts=_(supply.role)),
                _("that is what is left of the main yarn"),
                left,
            )


def _smaller(plan: SockPlan, supply: Supply) -> Iterator[Cure]:
    """The first cylinder with fewer needles that fits and makes it reach, else the one that leaves
    most."""
    fewer = (
        fit
        for fit in plan.ranking
        if fit.cylinder.needles < plan.sizing.needles and fit.fits and not fit.doubts
    )
    cures = []
    for fit in islice(fewer, MOST_PLANNED // 2):
        needles = fit.cylinder.needles
        keys = {"needles": needles}
        smaller = _planned(plan, keys)
        if smaller is not None and (left := _left(smaller, supply)).value > supply.left.value:
            words = _(
                "a tube of {girth}, {ease}",
                girth=format_both(fit.girth.value),
                ease=ease_words(fit.girth_ease.value),
            )
            cures.append(
                Cure(_("the {needles}-needle cylinder", needles=needles), words, left, keys)
            )
    reached = (one for one in cures if one.reach is Reach.ENOUGH)
    if cures:
        yield next(reached, max(cures, key=lambda one: one.left.value))
