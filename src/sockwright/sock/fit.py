"""Fit: how a cylinder's tube suits a foot, which of the cylinders suits best, and why."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import erf, hypot, inf, sqrt

from sockwright.estimates import Estimate, Propagated, wished
from sockwright.facts import fact
from sockwright.i18n import N_, _, ngettext
from sockwright.machine import Cylinder, Machine
from sockwright.measure.foot import Foot
from sockwright.measure.gauge import Gauge
from sockwright.measure.yarn import drape_tightness
from sockwright.order.model import SockGiven

FRACTIONS = (
    *((1, 20), (1, 10), (1, 5), (1, 4), (1, 3), (2, 5), (1, 2)),
    *((3, 5), (2, 3), (3, 4), (4, 5), (9, 10), (19, 20)),
)
"""Odds are said as the nearest of these: nobody feels finer ones."""
PRINTED = 2
"""Decimals with which openings are printed: what prints alike is said to be alike."""


@dataclass(frozen=True)
class Passing:
    """A tube over the heel or the leg: how many times its relaxed width it must open (`needed`),
    and how many times the fabric opens in comfort (`possible`)."""

    needed: Estimate
    possible: Estimate

    @property
    def short_sds(self) -> float:
        """By how many standard deviations of both together the fabric opens too little; below 0
        where it opens far enough."""
        short = self.needed.value - self.possible.value
        spread = hypot(self.needed.sd, self.possible.sd)
        return short / spread if spread else inf * short if short else 0.0

    @property
    def too_tight(self) -> float:
        """The probability, 0 to 1, that it must open farther than the fabric does; both taken as
        normal and independent."""
        return (1 + erf(self.short_sds / sqrt(2))) / 2

    @property
    def likely_tight(self) -> bool:
        """Whether it must open farther, as printed, than the fabric most likely does."""
        return round(self.needed.value, PRINTED) > round(self.possible.value, PRINTED)

    @property
    def just(self) -> bool:
        """Whether it passes, but with odds worth a word (`fit.tight_odds_worth_a_word`)."""
        worth = fact("fit", "tight_odds_worth_a_word").number
        return not self.likely_tight and self.too_tight >= worth


def passing_words(what: str, passing: Passing) -> str:
    """`what` is said of it, then both openings and, where they are worth a word, the odds."""
    openings = _(
        "{what}: it must stretch to {needed:.2f} times its width; this fabric stretches to "
        "{possible:.2f} ± {possible_sd:.2f} times",
        what=what,
        needed=passing.needed.value,
        possible=passing.possible.value,
        possible_sd=passing.possible.sd,
    )
    if not passing.likely_tight and not passing.just:
        return openings
    return _("{openings}; {odds}", openings=openings, odds=odds_words(passing.too_tight))


def odds_words(share: float) -> str:
    """The odds of being too tight as a maker says them."""
    if share > fact("fit", "tight_odds_almost_sure").number:
        return _("it will almost surely be too tight")
    of, among = min(FRACTIONS, key=lambda one: abs(share - one[0] / one[1]))
    return ngettext(
        "about {n} sock in {among} will be too tight",
        "about {n} socks in {among} will be too tight",
        of,
        among=among,
    )


_FIRMER = N_("firmer than a {drape} drape (tightness {tightness:.2f})")
_LIMPER = N_("limper than a {drape} drape (tightness {tightness:.2f})")
CALM_SDS = 2.0
"""A tube is refused for heel or jam only when it is out by so many standard deviations."""


@dataclass(frozen=True)
class CylinderFit:
    """How a tube on one cylinder suits the foot.

    `girth` mm relaxed; `girth_ease` how much smaller than the ball girth, as a share;
    `opening_needed` how many times its relaxed width the tube must open to pass the heel,
    `opening_possible` what the fabric does in comfort; `score` 0 is perfect. `refusals` say why it
    cannot be worn, `reasons` all that should be known of it. Its numbers have the keys of the fit
    of the sock, "fit.girth".
    """

    cylinder: Cylinder
    gauge: Gauge
    girth: Estimate
    girth_ease: Estimate
    opening_needed: Estimate
    opening_possible: Estimate
    score: Estimate
    reasons: tuple[str, ...]
    refusals: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Whether the sock can be knitted and worn at all."""
        return not self.refusals

    @property
    def heel(self) -> Passing:
        """How the tube passes the heel."""
        return Passing(self.opening_needed, self.opening_possible)

    @property
    def verdict(self) -> str:
        """What a refusal comes to, to be followed by the `refusals`; "" for a tube that fits."""
        if self.fits:
            return ""
        jammed = jam_refusals(self.gauge.tightness, self.gauge.jam)
        return _("cannot be made") if jammed else _("cannot be worn")


OF_TUBE = _("geometry of a tube")
FIT_AND_SIZING = _("How to Knit Socks (Storey Publishing), chapter 3, Sock Fit and Sizing")


def fit_cylinder(cylinder: Cylinder, gauge: Gauge, foot: Foot, sock: SockGiven) -> CylinderFit:
    """How a plain tube on `cylinder` suits `foot`."""
    needles = wished("fit.needles", _("needles"), cylinder.needles, "needle")
    girth = (needles * gauge.wale).named(
        "fit.girth", _("girth of the tube"), "mm", _("needles × wale"), OF_TUBE
    )
    wish = wished("sock.ease.girth", _("ease wished for"), sock.ease.girth)
    ease = (1.0 - girth / foot.ball_girth.estimate).named(
        "fit.girth_ease",
        _("narrower than the foot by"),
        "1",
        _("1 − girth of the tube ÷ ball girth"),
        FIT_AND_SIZING,
        "published",
        also=(wish,),
    )
    needed = (foot.heel_girth.estimate / girth).named(
        "fit.heel_opening",
        _("must stretch for the heel"),
        "1",
        _("heel girth ÷ girth of the tube"),
        OF_TUBE,
    )
    possible = gauge.open_ratio.propagated().named(
        "fit.fabric_opening",
        _("the fabric stretches to"),
        "1",
        _("as far as fabric of this gauge stretches"),
        OF_TUBE,
    )
    tight = gauge.tightness.value - drape_tightness(sock.drape)
    refused = (
        *jam_refusals(gauge.tightness, gauge.jam),
        *refusals(ease, needed, possible),
    )
    reasons = (*refused, *_reasons(ease, needed, possible, tight, gauge, sock))
    score = _score(gauge, ease, wish, needed, sock)
    return CylinderFit(cylinder, gauge, girth, ease, needed, possible, score, reasons, refused)


def _score(
    gauge: Gauge, ease: Estimate, wish: Estimate, needed: Estimate, sock: SockGiven
) -> Estimate:
    """How far a tube is from what was wished for, 0 being perfect."""
    weight, tolerance = fact("fit", "ease_weight"), fact("fit", "tightness_tolerance")
    drape = wished(
        "sock.drape",
        _("tightness of the wished drape"),
        drape_tightness(sock.drape),
        "tex^0.5/mm",
    )
    misses = (
        (ease.value - wish.value) / weight.number,
        max(0.0, Passing(needed, gauge.open_ratio).short_sds),
        (gauge.tightness.value - drape.value) / tolerance.number,
    )
    score = sum(miss**2 for miss in misses) + (1.0 if gauge.readings_used == 0 else 0.0)
    return Propagated(score, {}).named(
        "fit.score",
        _("score of the cylinder (0 is perfect)"),
        "1",
        _(
            "((ease − wish) ÷ {weight})² + (opening lacking ÷ its ±)² + ((tightness − that of the "
            "drape) ÷ {tolerance})², and 1 more where no swatch was measured",
            weight=weight.number,
            tolerance=tolerance.number,
        ),
        weight.told,
        weight.standing,
        also=(ease, wish, needed, gauge.open_ratio, gauge.tightness, drape),
    )


def rank_cylinders(
    machine: Machine, gauge_on: Callable[[int], Gauge], foot: Foot, sock: SockGiven
) -> tuple[CylinderFit, ...]:
    """All cylinders of `machine`, the best first; `gauge_on` gives the gauge on so many needles.

    Those that fit come before those that do not; then those that go over the heel, and are not
    loose on the foot, before those that probably do not; of like ones the better score first.
    """
    fits = [fit_cylinder(c, gauge_on(c.needles), foot, sock) for c in machine.cylinders]
    least, step = fact("fit", "girth_ease_least").number, fact("fit", "ease_weight").number
    most_odds = fact("fit", "tight_odds_another_first").number

    def place(fit: CylinderFit) -> tuple[bool, bool, float, int]:
        loose = fit.girth_ease.value < min(least, sock.ease.girth - step)
        worse = loose or fit.heel.too_tight > most_odds
        return (not fit.fits, worse, fit.score.value, fit.cylinder.needles)

    return tuple(sorted(fits, key=place))


def refusals(ease: Estimate, needed: Estimate, possible: Estimate) -> tuple[str, ...]:
    """Why a tube with this ease cannot be worn, or nothing; `needed` and `possible` are how many
    times its relaxed width it must open for the heel, and does."""
    found = []
    if ease.value < fact("fit", "girth_ease_refused_below").number:
        found.append(_("the tube is {ease}", ease=ease_words(ease.value)))
    if ease.value > fact("fit", "girth_ease_refused_above").number:
        found.append(_("the tube is {ease}", ease=ease_words(ease.value)))
    if Passing(needed, possible).short_sds > CALM_SDS:
        found.append(
            _(
                "to go over the heel it must stretch to {needed:.2f} times its width; this "
                "fabric stretches to {possible:.2f} ± {possible_sd:.2f} times",
                needed=needed.value,
                possible=possible.value,
                possible_sd=possible.sd,
            )
        )
    return tuple(found)


def jam_refusals(tightness: Estimate, jam: Estimate) -> tuple[str, ...]:
    """Why fabric of this tightness cannot be knitted of a yarn that jams at `jam`, or nothing;
    both in tex^0.5/mm."""
    if tightness.value - jam.value <= CALM_SDS * hypot(tightness.sd, jam.sd):
        return ()
    return (
        _(
            "it cannot be knitted so tight, for its yarn is {at_jam}",
            at_jam=_at_jam(tightness, jam),
        ),
    )


def _at_jam(tightness: Estimate, jam: Estimate) -> str:
    return _(
        "at its jam at a tightness of {jam:.2f} ± {jam_sd:.2f}, and this would be "
        "{tightness:.2f} ± {tightness_sd:.2f}",
        jam=jam.value,
        jam_sd=jam.sd,
        tightness=tightness.value,
        tightness_sd=tightness.sd,
    )


def ease_words(ease: float) -> str:
    """An ease (0.10 = 10 %) as it is said of a tube."""
    if round(ease, 2) == 0:
        return _("as wide as the foot")
    if ease > 0:
        return _("{ease:.0f} % smaller than the foot", ease=100 * ease)
    return _("{ease:.0f} % wider than the foot", ease=-100 * ease)


def _reasons(
    ease: Estimate,
    needed: Estimate,
    possible: Estimate,
    tight: float,
    gauge: Gauge,
    sock: SockGiven,
) -> list[str]:
    """What should be known of a tube besides why it is refused."""
    found = []
    if not refusals(ease, possible, possible):
        found.append(_ease_reason(ease.value, sock.ease.girth))
    if not refusals(Estimate(0.0, 0.0, "1"), needed, possible):
        found.append(_heel_reason(needed, possible))
    if gauge.tightness.value >= gauge.jam.value and not jam_refusals(gauge.tightness, gauge.jam):
        found.append(
            _(
                "hardly to be knitted so tight: its yarn is {at_jam}",
                at_jam=_at_jam(gauge.tightness, gauge.jam),
            )
        )
    tolerance = fact("fit", "tightness_tolerance").number
    if abs(tight) > tolerance:
        found.append(
            _(
                _FIRMER if tight > 0 else _LIMPER,
                drape=_(sock.drape.value),
                tightness=gauge.tightness.value,
            )
        )
    if not gauge.readings_used:
        found.append(_("no swatch gives this gauge: it follows from the yarn alone"))
    return found


def _ease_reason(ease: float, wish: float) -> str:
    words = ease_words(ease)
    if words == ease_words(wish):
        return _("{words}, as wished", words=words)
    if ease > fact("fit", "girth_ease_most").number:
        words = _("snug: {words}", words=words)
    elif ease < fact("fit", "girth_ease_least").number:
        words = _("loose: {words}", words=words)
    return _("{words}; the wish was {wish:.0f} % smaller", words=words, wish=100 * wish)


def _heel_reason(needed: Estimate, possible: Estimate) -> str:
    """How it passes the heel: well, just, or more likely not."""
    heel = Passing(needed, possible)
    what = _("goes over the heel")
    if heel.likely_tight:
        what = _("may not go over the heel")
    elif heel.just:
        what = _("only just goes over the heel")
    return passing_words(what, heel)


def heel_doubt(fit: CylinderFit) -> tuple[str, ...]:
    """The words for a tube that more likely does not pass the heel, or nothing."""
    heel = fit.heel
    return (_heel_reason(heel.needed, heel.possible),) if heel.likely_tight else ()
