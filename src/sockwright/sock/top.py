"""The top of a sock, judged both ways: it goes over heel and calf, and it stays up.

A top is measured at the leg's girth where it ends. Worn it must be a little narrower than the leg,
or it slips; on the way there it must pass the heel, and the calf where it ends above that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import erf, floor, hypot, log, sqrt

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import Estimate, Propagated, wished
from sockwright.facts import fact
from sockwright.i18n import Message, _, ngettext
from sockwright.measure.fabrics import FabricGauge, fabric_word, ratios_of
from sockwright.measure.foot import Foot
from sockwright.measure.gauge import Gauge
from sockwright.order.model import CuffKind, Fabric
from sockwright.quantities import format_both
from sockwright.sock.fit import OF_TUBE
from sockwright.sock.leg import girth_at
from sockwright.sock.passing import FRACTIONS, Passing, PuttingOn

MOCK_RIB = str(Fabric.MOCK_RIB)
FOLDED = (str(Fabric.HEM), MOCK_RIB)
"""Fabrics that a cuff has twice, one behind the other."""
MG_PER_G = 1e3

Keys = Mapping[str, str | int]
NO_KEYS: Keys = {}
LEAST_GRAMS = 0.5


@dataclass(frozen=True)
class TopFit:
    """How the top of a sock suits the leg.

    `height` is that of the top, mm from the floor; `girth` of the top relaxed, `leg` of the leg
    there, mm; `needed` how many times its relaxed width the top must open to pass, `opens` what its
    fabric does in a firm pull; `calf` is how the leg below it passes the calf, and `looser` how
    leg and top do if they are knitted as loose as the cam allows; None where it ends lower.
    """

    fabric: str
    height: float
    girth: Estimate
    leg: Estimate
    worn: Estimate
    needed: Estimate
    opens: Estimate
    calf: Passing | None = None
    looser: Passing | None = None

    @property
    def passing(self) -> Passing:
        """How the top itself goes on."""
        return Passing(self.needed, self.opens)

    @property
    def hardest(self) -> Passing:
        """How top and leg go on, the harder of both; a sock that would not pass the calf, as that
        does if it is knitted looser there."""
        planned = harder(self.passing, self.calf)
        if planned.word is PuttingOn.NOT and self.looser is not None:
            return self.looser
        return planned

    @cached_property
    def stays(self) -> float:
        """The probability, 0 to 1, that it stays up."""
        grip = fact("fit", "grip_least")
        own = hypot(grip.sd or 0.0, self.worn.sd / self.worn.value)
        return (1 + erf(log(self.worn.value / grip.number) / own / sqrt(2))) / 2

    @property
    def slips(self) -> bool:
        """Whether it more likely than two in three does not hold."""
        return self.stays < fact("fit", "slips_below_odds").number

    @property
    def may_slip(self) -> bool:
        """Whether that it stays up is not sure enough to go without a word."""
        return self.stays < fact("fit", "may_slip_below_odds").number

    @property
    def press(self) -> float:
        """How far it is worn against what is worn in comfort; above 1 it is firm."""
        comfort = fact("fit", "worn_most").number
        if self.fabric != "plain":
            ratios = ratios_of(self.fabric)
            comfort *= ratios.opened.number / ratios.wide
        return self.worn.value / comfort

    @property
    def presses(self) -> bool:
        """Whether it is worn too tight all day."""
        return self.press > fact("fit", "press_most").number


def fit_top(
    foot: Foot,
    gauge: Gauge,
    needles: int,
    height_mm: float,
    cuff: str,
    leg: str = "plain",
    factor: float = 1.0,
) -> TopFit:
    """How the top of a sock so high suits the leg; `cuff` and `leg` are its fabrics, `factor` the
    loop-length factor of its top."""
    top, around = gauge.of(cuff), girth_at(foot, height_mm)
    girth = _girth(top, needles, factor).named(
        "top.girth",
        _("girth of the top, relaxed"),
        "mm",
        _("needles × wale of the cuff's fabric × how much looser it is knitted"),
        OF_TUBE,
    )
    passes = max(
        foot.heel_girth.estimate,
        around,
        *([foot.calf_girth.estimate] if _above_calf(foot, height_mm) else []),
        key=lambda one: one.value,
    )
    needed = (passes / girth).named(
        "top.needed",
        _("the top must open to"),
        "1",
        _("the widest that it passes, heel, leg or calf ÷ girth of the top"),
        OF_TUBE,
    )
    opens = top.open_ratio.propagated().named(
        "top.opens",
        _("the top opens to"),
        "1",
        _("as far as the cuff's fabric opens in a firm pull"),
        OF_TUBE,
    )
    worn = (around / girth).named(
        "top.worn",
        _("worn, the top is stretched to"),
        "1",
        _("girth of the leg ÷ girth of the top"),
        OF_TUBE,
    )
    planned = TopFit(cuff, height_mm, girth, around, worn, needed, opens)
    if not _above_calf(foot, height_mm):
        return planned
    calf = _over_calf(foot, gauge.of(leg), needles, factor)
    most = fact("fit", "cam_shaping_most").number
    eased = needed.value * factor / most
    looser = Passing(replace(needed, value=eased, sd=needed.sd * factor / most), opens)
    of_leg = _over_calf(foot, gauge.of(leg), needles, most)
    return replace(planned, calf=calf, looser=harder(looser, of_leg))


def harder(one: Passing, other: Passing | None) -> Passing:
    """The harder of two ways."""
    if other is None:
        return one
    return max(one, other, key=lambda way: (way.word, -way.at_least[1]))


def _girth(fabric: FabricGauge, needles: int, factor: float) -> Propagated:
    return wished("fit.needles", _("needles"), needles, "needle") * fabric.wale * factor


def _above_calf(foot: Foot, height_mm: float) -> bool:
    level = fact("fit", "calf_level_by_length").number * foot.length.estimate.value
    return height_mm > level


def _over_calf(foot: Foot, leg: FabricGauge, needles: int, factor: float) -> Passing:
    """How a leg passes the calf, knitted so much looser there."""
    needed = foot.calf_girth.estimate / _girth(leg, needles, factor)
    return Passing(Estimate(needed.value, needed.sd, "1"), leg.open_ratio)


def check_top(foot: Foot, top: TopFit) -> None:
    """Raise CannotMake for a sock that ends above the knee, or that will not pass the calf."""
    knee = fact("fit", "knee_level_by_length").number * foot.length.estimate.value
    if top.height > knee:
        lower = floor(0.9 * knee)
        raise CannotMake(
            _(
                "the sock would end {height} above the floor, over the knee, and nothing is known "
                "of the thigh there",
                height=format_both(top.height),
            ),
            (
                Offer(
                    _("a height of {height}", height=format_both(lower)),
                    _("a knee sock that ends below the knee"),
                    {"leg.height": f"{lower} mm"},
                ),
            ),
        )
    if top.hardest.word is PuttingOn.NOT:
        level = fact("fit", "ankle_level_by_length").number * foot.length.estimate.value
        lower = floor(1.6 * level)
        raise CannotMake(
            _(
                "the top will not go on: it must open to {needed:.2f} times its width, and pulled "
                "firmly it opens to {possible:.2f} ± {sd:.2f} times",
                needed=top.hardest.needed.value,
                possible=top.hardest.possible.value,
                sd=top.hardest.possible.sd,
            ),
            (
                Offer(
                    _("a 1x1 rib as the cuff"),
                    _("opens twice as far"),
                    {"cuff.kind": str(CuffKind.TRUE_RIB), "cuff.rib": "1x1"},
                ),
                Offer(
                    _("a height of {height}", height=format_both(lower)),
                    _("ends below the calf"),
                    {"leg.height": f"{lower} mm"},
                ),
                Offer(_("a cylinder with more needles"), _("a wider tube")),
            ),
        )


def stays_words(top: TopFit) -> Message:
    """Whether it stays up, as a maker says it."""
    of, among = min(FRACTIONS, key=lambda one: abs(top.stays - one[0] / one[1]))
    return ngettext(
        "{n} time in {among} it stays up",
        "{n} times in {among} it stays up",
        of,
        among=among,
    )


@dataclass(frozen=True)
class Cures:
    """What may be tried instead of a top: the `ribs` that the machine can make on these needles,
    the `depth` of the cuff in courses that show, and the gauge on its other cylinders by needles.
    """

    ribs: tuple[str, ...]
    depth: float
    others: Mapping[int, Gauge]


def top_offers(
    top: TopFit, foot: Foot, gauge: Gauge, needles: int, cures: Cures
) -> tuple[Offer, ...]:
    """What would do instead of this top, the usual cures first, each with what it changes."""

    def tried(kind: str, factor: float = 1.0, on: int = needles) -> TopFit:
        of_cylinder = gauge if on == needles else cures.others[on]
        return fit_top(foot, of_cylinder, on, top.height, kind, factor=factor)

    offers = [
        _offer(
            _("{fabric} as the cuff", fabric=fabric_word(kind)), tried(kind), _keys_of(kind), grams
        )
        for kind in (*cures.ribs, MOCK_RIB)
        if kind != top.fabric
        for grams in [_grams_more(top.fabric, kind, gauge, needles, cures.depth)]
    ]
    if top.worn.value < 1 or top.may_slip:
        tighter = 2 - fact("fit", "cam_shaping_most").number
        change = _("a tighter stitch cam at the cuff, {n:.0f} %", n=100 * (1 - tighter))
        offers.append(_offer(change, tried(top.fabric, tighter)))
        if top.fabric in FOLDED:
            effect = _("holds it up whatever its width; not round a swollen leg")
            offers.append((Offer(_("elastic in the hem"), effect), True))
    offers += [
        _offer(
            _("the {needles}-needle cylinder", needles=on),
            tried(top.fabric, on=on),
            {"needles": on},
        )
        for on in cures.others
    ]
    return tuple(offer for offer, cures_it in offers if cures_it)


def _keys_of(kind: str) -> Keys:
    """The keys of [sock] that make a cuff of this fabric."""
    if kind == MOCK_RIB:
        return {"cuff.kind": str(CuffKind.MOCK_RIB_HEM)}
    return {"cuff.kind": str(CuffKind.TRUE_RIB), "cuff.rib": kind}


def _offer(
    change: Message, top: TopFit, what: Keys = NO_KEYS, grams: float = 0.0
) -> tuple[Offer, bool]:
    """A change with what it does to the top, and whether that cures it."""
    effect = _(
        "{girth} round, {goes_on}, {stays}",
        girth=format_both(top.girth.value),
        goes_on=top.hardest.words,
        stays=stays_words(top),
    )
    if abs(grams) >= LEAST_GRAMS:
        less = _("{effect}, {grams:.0f} g less for the pair", effect=effect, grams=-grams)
        more = _("{effect}, {grams:.0f} g more for the pair", effect=effect, grams=grams)
        effect = less if grams < 0 else more
    return Offer(change, effect, what), not (top.hardest.doubtful or top.slips or top.presses)


def _grams_more(was: str, now: str, gauge: Gauge, needles: int, depth: float) -> float:
    """What another cuff of the same depth in courses weighs more, for a pair, g: a hem lies
    double."""
    rounds = {kind: depth * (2 if kind in FOLDED else 1) for kind in (was, now)}
    return 2 * (rounds[now] - rounds[was]) * needles * gauge.loop_mass.value / MG_PER_G
