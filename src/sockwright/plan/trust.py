"""How far a plan's numbers may be trusted, and what measurement would sharpen them.

The dry run proves that the steps hold together; it says nothing of the size, which is as good as
the measures of foot and fabric are.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from math import hypot

from sockwright.estimates import Estimate, rectangular_sd
from sockwright.facts import fact
from sockwright.i18n import N_, Message, _, joined
from sockwright.measure.belief import NAMES, Belief, believe, from_setting
from sockwright.measure.foot_measures import reading_error, spoken, swells
from sockwright.measure.gauge import Gauge
from sockwright.measure.gauge_parts import ROWS
from sockwright.measure.next_reading import PHRASES, SPAN_MM, planned_readings, tools_of
from sockwright.measure.opening import firm_pulls
from sockwright.measure.swatch import division, ratio_sd
from sockwright.measure.swatches import SortedSwatches
from sockwright.measure.yarn import MM_G_PER_TEX, ROLES
from sockwright.order.model import Load
from sockwright.plan.make import SockPlan
from sockwright.quantities import format_length
from sockwright.sock.passing import Passing


class Trust(IntEnum):
    """How far a size is to be trusted, best first."""

    GOOD = 0
    FAIR = 1
    ROUGH = 2
    DOUBTFUL = 3


TRUST_WORDS = {
    Trust.GOOD: N_("good"),
    Trust.FAIR: N_("fair"),
    Trust.ROUGH: N_("rough"),
    Trust.DOUBTFUL: N_("doubtful"),
}


@dataclass(frozen=True)
class SizeVerdict:
    """How a sock goes on, and how far its size is to be trusted.

    `trust` is the worst of what was found; `reasons` say why it is not good, the worst first;
    `foot_sd_mm` is one standard deviation of sock against foot in length.
    """

    goes_on: Passing
    trust: Trust
    reasons: tuple[Message, ...]
    foot_sd_mm: float

    def words(self, units: str) -> Message:
        """As "goes on easily; size rough, no swatch (foot ± 1.30 in)"."""
        return _(
            "{goes_on}; size {verdict} (foot ± {sd})",
            goes_on=self.goes_on.words,
            verdict=joined(", ", (_(TRUST_WORDS[self.trust]), *self.reasons)),
            sd=format_length(self.foot_sd_mm, units, 2),
        )


def size_verdict(plan: SockPlan) -> SizeVerdict:
    """The verdict on the size of one sock.

    Length and girth: good within `fit.size_good_within` and `fit.girth_good_within`, fair within
    twice as much, else rough. Rough where nothing of the fabric was measured or its readings
    contradict each other. Fair where the tube is snug or loose; doubtful where there is a doubt
    about fabric or tube, or where it hardly goes on. It goes on as the harder of heel and top does.
    """
    ways = (plan.fit.heel, plan.top.hardest)
    goes_on = max(ways, key=lambda one: (one.word, -one.at_least[1]))
    length = hypot(plan.fabric.foot_length.sd, plan.foot.length.estimate.sd)
    found = sorted(
        (
            *_fabric(plan),
            *_spreads(plan, length),
            *_ease(plan.fit.girth_ease),
            *_doubts(plan),
        ),
        key=lambda one: -one[0],
    )
    worst = found[0][0] if found else Trust.GOOD
    return SizeVerdict(goes_on, worst, tuple(reason for _, reason in found), length)


Found = Iterator[tuple[Trust, Message]]


def _spreads(plan: SockPlan, length_sd: float) -> Found:
    """Nothing of a fabric that was not measured, which is reason enough."""
    if plan.gauge.readings_used:
        yield from _spread(length_sd, "size_good_within", _("its length is uncertain"))
        girth_sd = plan.fit.girth_ease.sd
        yield from _spread(girth_sd, "girth_good_within", _("its girth is uncertain"))


def _spread(sd: float, name: str, reason: Message) -> Found:
    good = fact("fit", name).number
    if sd > good:
        yield (Trust.ROUGH if sd > 2 * good else Trust.FAIR), reason


def _fabric(plan: SockPlan) -> Found:
    if not plan.gauge.readings_used:
        yield Trust.ROUGH, _("no swatch")
    elif plan.gauge.conflicts:
        yield Trust.ROUGH, _("readings contradict each other")


def _ease(ease: Estimate) -> Found:
    if ease.value > fact("fit", "girth_ease_most").number:
        yield Trust.FAIR, _("snug")
    elif ease.value < fact("fit", "girth_ease_least").number:
        yield Trust.FAIR, _("loose")


def _doubts(plan: SockPlan) -> Found:
    """Doubts, in short: what they are about."""
    fit, top = plan.fit, plan.top
    if plan.foot.unusual:
        yield Trust.DOUBTFUL, _("an odd measure of the foot")
    if fit.heel.doubtful:
        yield Trust.DOUBTFUL, _("tight over the heel")
    if top.hardest.doubtful:
        yield Trust.DOUBTFUL, _("tight at the top")
    if top.slips:
        yield Trust.DOUBTFUL, _("the top may slip")
    if top.presses:
        yield Trust.DOUBTFUL, _("the top presses")
    if len(fit.doubts) > fit.heel.doubtful:
        yield Trust.DOUBTFUL, _("see the cylinder")


@dataclass(frozen=True)
class Candidate:
    """A measurement, and for the keys of the numbers that it tells of the share of their variance
    that it would leave."""

    measurement: str
    left: Mapping[str, float]


@dataclass(frozen=True)
class _Fabric:
    """The fabric on one cylinder, the readings that tell it, and what its keys begin with."""

    plan: SockPlan
    gauge: Gauge
    needles: int
    own: bool

    @property
    def seen(self) -> SortedSwatches:
        """The swatches that tell it."""
        return self.gauge.seen

    def key(self, name: str) -> str:
        """The key of one of its numbers; of what swatches alone tell, where socks taught more."""
        if self.own and self.gauge.learned is not None and name in NAMES:
            return f"gauge.without_learning.{name}"
        return f"gauge.{name}" if self.own else f"fit.cylinders.{self.needles}.{name}"

    def belief(self, tex: Estimate) -> Belief:
        """What is believed of it, of a yarn so fine."""
        seen = self.gauge.seen
        return believe(from_setting(replace(seen.setting, tex=tex)), seen.observations)

    def left(self, before: Belief, after: Belief) -> dict[str, float]:
        """What is left of the variance of each of its numbers."""
        sds = {
            name: (before.sd(before.row(row)), after.sd(after.row(row)))
            for name, row in ROWS.items()
        }
        return {self.key(name): (new / old) ** 2 for name, (old, new) in sds.items() if old}

    def on(self, phrase: str) -> str:
        """A reading of a swatch, with its cylinder where that is not the sock's."""
        if self.own:
            return phrase
        return _("{reading}, knitted on {needles} needles", reading=phrase, needles=self.needles)


def candidates(plan: SockPlan) -> tuple[Candidate, ...]:
    """Every measurement that the order could still take in."""
    fabrics = tuple(_fabrics(plan))
    return (
        *(each for fabric in fabrics for each in _readings(fabric)),
        *(_stretch(fabric) for fabric in fabrics),
        *_skeins(plan, fabrics),
        *_feet(plan),
    )


def _fabrics(plan: SockPlan) -> Iterator[_Fabric]:
    """The fabric of the sock, then those on the other cylinders."""
    own = plan.sizing.needles
    gauges = {own: plan.gauge} | {fit.cylinder.needles: fit.gauge for fit in plan.ranking}
    for needles, gauge in (gauges | {own: plan.gauge}).items():
        yield _Fabric(plan, gauge, needles, needles == own)


def _readings(fabric: _Fabric) -> Iterator[Candidate]:
    """Readings of a swatch on this cylinder."""
    tex = fabric.plan.yarns["main"].tex
    belief = fabric.belief(tex)
    for planned in planned_readings(belief, tex, fabric.needles, tools_of(fabric.seen.own)):
        left = fabric.left(belief, believe(belief, [planned]))
        yield Candidate(fabric.on(PHRASES[planned.kind]), left)


def _stretch(fabric: _Fabric) -> Candidate:
    """One more piece stretched."""
    ruler_mm, __ = tools_of(fabric.seen.own)
    half, ratio = division(ruler_mm), fabric.gauge.open_ratio
    hand = fact("gauge", "stretch_relative_sd").number
    weight = 1 / ratio_sd(SPAN_MM * ratio.value, half, SPAN_MM, half) ** 2
    pulled, usual = firm_pulls(fabric.seen.own, ()), fact("gauge", "opening_usual")
    if pulled is not None:
        weight += sum(1 / sd**2 for _, _, sd in pulled.readings)
    read, model = hypot(hand, weight**-0.5), (usual.sd or 0.0) / usual.number
    new = ratio.value * min(read * model / hypot(read, model), ratio.sd / ratio.value)
    phrase = _("pull a washed piece in width with both hands, and measure it relaxed and pulled")
    return Candidate(fabric.on(phrase), {fabric.key("open_ratio"): (new / ratio.sd) ** 2})


def _skeins(plan: SockPlan, fabrics: Sequence[_Fabric]) -> Iterator[Candidate]:
    """A measured length of each yarn, weighed."""
    for given in plan.order.yarns:
        tex = plan.yarns[given.role].tex
        weighed = _weighed(tex, tools_of(fabrics[0].seen.own)[1])
        if weighed.sd >= tex.sd:
            continue
        left = {f"yarn.{given.role}.fineness": (weighed.sd / tex.sd) ** 2}
        if given.role == "main":
            for fabric in fabrics:
                left |= fabric.left(fabric.belief(tex), fabric.belief(weighed))
        skein_m = fact("gauge", "skein_length").number / 1000
        phrase = _("weigh {m:g} m of the {yarn}", m=skein_m, yarn=ROLES[given.role])
        yield Candidate(phrase, left)


def _weighed(tex: Estimate, balance_g: float) -> Estimate:
    """The fineness of a yarn of which a skein was weighed."""
    mass_g = fact("gauge", "skein_length").number * tex.value / MM_G_PER_TEX
    pull = fact("gauge", "pull_relative_sd").number
    return replace(tex, sd=tex.value * hypot(rectangular_sd(division(balance_g)) / mass_g, pull))


def _feet(plan: SockPlan) -> Iterator[Candidate]:
    """Each measure of the foot taken, taken standing or taken once more."""
    sitting = plan.foot_given.load is Load.SITTING
    for name, measure in plan.foot.measures().items():
        taken = (reading_error(name, traced=False).number) ** 2 / measure.estimate.sd**2
        if measure.source != "measured":
            phrase, left = _("measure the {measure}", measure=spoken(name)), taken
        elif sitting and swells(name):
            phrase = _("measure the {measure} standing", measure=spoken(name))
            left = taken
        else:
            phrase, left = _("measure the {measure} again", measure=spoken(name)), 0.5
        if left < 1:
            yield Candidate(phrase, {f"foot.{name}": left})
