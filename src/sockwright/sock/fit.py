"""Fit: how a cylinder's tube suits a foot, which of the cylinders suits best, and why."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.machine.model import Cylinder, Machine
from sockwright.measure.foot import Foot
from sockwright.measure.gauge import Gauge
from sockwright.measure.tightness import drape_tightness
from sockwright.order.model import SockGiven

CALM_SDS = 2.0
"""A limit is only said to be broken when it is passed by so many standard deviations."""


@dataclass(frozen=True)
class CylinderFit:
    """How a tube on one cylinder suits the foot.

    `girth` mm relaxed; `girth_ease` how much smaller than the ball girth, as a share;
    `opening_needed` how many times its relaxed width the tube must open to pass the heel,
    `opening_possible` what the fabric does in comfort; `score` 0 is perfect. `refusals` say why it
    cannot be worn, `reasons` all that should be known of it.
    """

    cylinder: Cylinder
    gauge: Gauge
    girth: Estimate
    girth_ease: Estimate
    opening_needed: Estimate
    opening_possible: Estimate
    score: float
    reasons: tuple[str, ...]
    refusals: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Whether the sock can be worn at all."""
        return not self.refusals


def fit_cylinder(cylinder: Cylinder, gauge: Gauge, foot: Foot, sock: SockGiven) -> CylinderFit:
    """How a plain tube on `cylinder` suits `foot`."""
    needles = cylinder.needles
    girth = Estimate(needles * gauge.wale.value, needles * gauge.wale.sd, "mm")
    ball = foot.ball_girth.estimate
    ratio = _quotient(girth, ball)
    ease = Estimate(1 - ratio.value, ratio.sd, "1")
    needed = _quotient(foot.heel_girth.estimate, girth)
    possible = gauge.open_ratio
    tight = gauge.tightness.value - drape_tightness(sock.drape)
    misses = (
        (ease.value - sock.ease.girth) / fact("fit", "ease_weight").number,
        max(0.0, (needed.value - possible.value) / hypot(needed.sd, possible.sd)),
        tight / fact("fit", "tightness_tolerance").number,
    )
    score = sum(miss**2 for miss in misses) + (1.0 if gauge.readings_used == 0 else 0.0)
    refusals = _refusals(ease, needed, possible)
    reasons = (*refusals, *_reasons(ease, needed, possible, tight, gauge, sock, bool(refusals)))
    return CylinderFit(cylinder, gauge, girth, ease, needed, possible, score, reasons, refusals)


def rank_cylinders(
    machine: Machine, gauge_on: Callable[[int], Gauge], foot: Foot, sock: SockGiven
) -> tuple[CylinderFit, ...]:
    """All cylinders of `machine`, those that fit first and the best of them first; `gauge_on`
    gives the gauge on so many needles."""
    fits = [fit_cylinder(c, gauge_on(c.needles), foot, sock) for c in machine.cylinders]
    return tuple(sorted(fits, key=lambda fit: (not fit.fits, fit.score, fit.cylinder.needles)))


def choose_cylinder(ranking: tuple[CylinderFit, ...], needles: int | None) -> CylinderFit:
    """The cylinder asked for, or the best.

    Raises CannotMake, with the nearest plans that can be made, where it would not be worn.
    """
    if needles is None:
        chosen = ranking[0]
    else:
        chosen = next(fit for fit in ranking if fit.cylinder.needles == needles)
    if chosen.fits:
        return chosen
    raise CannotMake(
        f"on {chosen.cylinder.needles} needles this sock cannot be worn: "
        + "; ".join(chosen.refusals),
        _offers(chosen, ranking),
    )


def _quotient(a: Estimate, b: Estimate) -> Estimate:
    value = a.value / b.value
    return Estimate(value, value * hypot(a.sd / a.value, b.sd / b.value), "1")


def _refusals(ease: Estimate, needed: Estimate, possible: Estimate) -> tuple[str, ...]:
    found = []
    if ease.value < fact("fit", "girth_ease_refused_below").number:
        found.append(f"the tube is {-ease.value:.0%} wider than the foot")
    if ease.value > fact("fit", "girth_ease_refused_above").number:
        found.append(f"the tube is {ease.value:.0%} smaller than the foot")
    margin = CALM_SDS * hypot(needed.sd, possible.sd)
    if needed.value - possible.value > margin:
        found.append(
            f"to pass the heel it must open {needed.value:.2f} times, and this fabric opens "
            f"{possible.value:.2f} ± {possible.sd:.2f} times"
        )
    return tuple(found)


def _reasons(
    ease: Estimate,
    needed: Estimate,
    possible: Estimate,
    tight: float,
    gauge: Gauge,
    sock: SockGiven,
    refused: bool,
) -> tuple[str, ...]:
    said = []
    least = fact("fit", "girth_ease_least").number
    most = fact("fit", "girth_ease_most").number
    if least <= ease.value <= most:
        said.append(f"{ease.value:.0%} smaller than the foot, for a wish of {sock.ease.girth:.0%}")
    elif not refused:
        word = "snug" if ease.value > most else "loose"
        said.append(f"{word}: {ease.value:+.0%} of ease against a wish of {sock.ease.girth:.0%}")
    if needed.value <= possible.value:
        said.append(f"opens to the heel ({needed.value:.2f} of {possible.value:.2f} times)")
    elif not refused:
        said.append(
            f"may be hard to pull over the heel: it must open {needed.value:.2f} times, "
            f"the fabric opens {possible.value:.2f} ± {possible.sd:.2f} times"
        )
    tolerance = fact("fit", "tightness_tolerance").number
    if abs(tight) > tolerance:
        word = "firmer" if tight > 0 else "limper"
        said.append(
            f"{word} than a {sock.drape.value} drape (tightness {gauge.tightness.value:.2f})"
        )
    if not gauge.readings_used:
        said.append("no swatch tells this gauge: it follows from the yarn alone")
    return tuple(said)


def _offers(chosen: CylinderFit, ranking: tuple[CylinderFit, ...]) -> tuple[Offer, ...]:
    """Cylinders at hand that fit, and the loop that would make the chosen one fit."""
    offers = [
        Offer(
            f"the {fit.cylinder.needles}-needle cylinder",
            f"a tube of {fit.girth.value:.0f} mm, {fit.girth_ease.value:.0%} smaller than the foot",
        )
        for fit in ranking
        if fit.fits
    ][:2]
    loop = _loop_that_fits(chosen)
    if loop is not None:
        offers.append(loop)
    if not offers:
        wanted = chosen.cylinder.needles * _stretch_to_fit(chosen)
        offers.append(
            Offer(f"a cylinder of about {wanted:.0f} needles", "at the gauge of this yarn")
        )
    return tuple(offers)


def _stretch_to_fit(chosen: CylinderFit) -> float:
    """By what factor the girth must change to come to 10 % of ease."""
    return 0.9 / (1 - chosen.girth_ease.value)


def _loop_that_fits(chosen: CylinderFit) -> Offer | None:
    factor = _stretch_to_fit(chosen)
    tightness = chosen.gauge.tightness.value / factor
    low = fact("constants", "tightness_low").number
    high = fact("constants", "tightness_high").number
    if not low <= tightness <= high:
        return None
    loop = chosen.gauge.loop.value * factor
    word = "looser" if factor > 1 else "tighter"
    return Offer(
        f"a {word} stitch cam on the same cylinder: loops of {loop:.1f} mm",
        f"tightness {tightness:.2f}; knit a new swatch, as all rounds change",
    )
