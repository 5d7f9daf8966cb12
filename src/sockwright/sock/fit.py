"""Fit: how a cylinder's tube suits a foot, which of the cylinders suits best, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import hypot

from sockwright.estimates import Estimate, Propagated, wished
from sockwright.facts import fact
from sockwright.i18n import N_, _
from sockwright.machine import Cylinder, Machine
from sockwright.measure.foot import Foot
from sockwright.measure.gauge import Gauge
from sockwright.measure.yarn import drape_tightness
from sockwright.order.model import SockGiven
from sockwright.sock.passing import Passing, PuttingOn, passing_words

_FIRMER = N_("firmer than a {drape} drape (tightness {tightness:.2f})")
_LIMPER = N_("limper than a {drape} drape (tightness {tightness:.2f})")
_NET = N_("a net rather than a fabric (tightness {tightness:.2f}): it will not hold its shape")
CALM_SDS = 2.0
"""A fabric is refused for its jam only when it is out by so many standard deviations."""


@dataclass(frozen=True)
class CylinderFit:
    """How a tube on one cylinder suits the foot.

    `girth` mm relaxed; `girth_ease` how much smaller than the ball girth, as a share;
    `opening_needed` how many times its relaxed width the tube must open to pass the heel,
    `opening_possible` what the fabric does in a firm pull; `score` 0 is perfect. `refusals` say why
    it cannot be made or worn, `doubts` what to think twice about, `reasons` all that should be
    known of it. Its numbers have the keys of the fit of the sock, "fit.girth".
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
    doubts: tuple[str, ...] = ()

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
        unmade = fabric_refusals(self.gauge)
        return _("cannot be made") if unmade else _("cannot be worn")


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
        _("must open for the heel"),
        "1",
        _("heel girth ÷ girth of the tube"),
        OF_TUBE,
    )
    possible = gauge.open_ratio.propagated().named(
        "fit.fabric_opening",
        _("the fabric opens to"),
        "1",
        _("as far as fabric of this gauge opens in a firm pull"),
        OF_TUBE,
    )
    heel = Passing(needed, possible)
    asked_again = "heel_girth" in foot.unusual or "ball_girth" in foot.unusual
    refused = (
        *fabric_refusals(gauge),
        *(() if asked_again else refusals(ease, heel)),
    )
    doubts = (*_doubts(ease, heel, gauge), *_fabric_doubts(gauge)) if not refused else ()
    reasons = (*refused, *_reasons(ease, heel, gauge, sock, doubts))
    score = _score(gauge, ease, wish, needed, sock)
    return CylinderFit(
        cylinder, gauge, girth, ease, needed, possible, score, reasons, refused, doubts
    )


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

    Those that fit come before those that do not; then those without a doubt, and not loose on the
    foot, before the others; of like ones the better score first.
    """
    fits = [fit_cylinder(c, gauge_on(c.needles), foot, sock) for c in machine.cylinders]
    least, step = fact("fit", "girth_ease_least").number, fact("fit", "ease_weight").number

    def place(fit: CylinderFit) -> tuple[bool, bool, float, int]:
        loose = fit.girth_ease.value < min(least, sock.ease.girth - step)
        worse = loose or bool(fit.doubts)
        return (not fit.fits, worse, fit.score.value, fit.cylinder.needles)

    return tuple(sorted(fits, key=place))


def refusals(ease: Estimate, heel: Passing) -> tuple[str, ...]:
    """Why a tube with this ease cannot be worn, or nothing; `heel` is how it passes the heel."""
    found = []
    if ease.value < fact("fit", "girth_ease_refused_below").number:
        found.append(_("the tube is {ease}", ease=ease_words(ease.value)))
    if ease.value > fact("fit", "girth_ease_refused_above").number:
        found.append(_("the tube is {ease}", ease=ease_words(ease.value)))
    if heel.word is PuttingOn.NOT:
        found.append(passing_words(OVER_THE_HEEL, heel))
    return tuple(found)


def fabric_refusals(gauge: Gauge) -> tuple[str, ...]:
    """Why a fabric cannot be knitted on such needles, or nothing."""
    found = list(jam_refusals(gauge.tightness, gauge.jam))
    ring_known = gauge.seen.setting.pitch.sd == 0
    if ring_known and gauge.ring < fact("fit", "ring_least").number:
        found.append(
            _(
                "its wales would lie wider ({wale:.1f} mm) than the needles that knit them "
                "({pitch:.1f} mm apart)",
                wale=gauge.wale.value,
                pitch=gauge.ring * gauge.wale.value,
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


def _doubts(ease: Estimate, heel: Passing, gauge: Gauge) -> Iterator[str]:
    """What to think twice about before a tube is knitted for this foot."""
    if heel.doubtful:
        yield passing_words(OVER_THE_HEEL, heel)
    if ease.value < fact("fit", "girth_ease_doubted_below").number:
        yield _("a sack: {words}", words=ease_words(ease.value))


def _fabric_doubts(gauge: Gauge) -> Iterator[str]:
    """What to think twice about in a fabric."""
    if gauge.tightness.value < fact("fit", "tightness_least").number:
        yield _(_NET, tightness=gauge.tightness.value)
    if gauge.tightness.value >= gauge.jam.value:
        yield _(
            "hardly to be knitted so tight: its yarn is {at_jam}",
            at_jam=_at_jam(gauge.tightness, gauge.jam),
        )


def _reasons(
    ease: Estimate, heel: Passing, gauge: Gauge, sock: SockGiven, doubts: Sequence[str]
) -> list[str]:
    """What should be known of a tube besides why it is refused."""
    found = list(doubts)
    if ease.value >= fact("fit", "girth_ease_doubted_below").number and not refusals(ease, EASY):
        found.append(_ease_reason(ease.value, sock.ease.girth))
    if not heel.doubtful:
        found.append(passing_words(OVER_THE_HEEL, heel))
    tight = gauge.tightness.value - drape_tightness(sock.drape)
    if abs(tight) > fact("fit", "tightness_tolerance").number and not doubts:
        found.append(
            _(
                _FIRMER if tight > 0 else _LIMPER,
                drape=_(sock.drape.value),
                tightness=gauge.tightness.value,
            )
        )
    if not gauge.readings_used:
        found.append(_("no swatch gives this gauge: it follows from yarn and needles alone"))
    return found


OVER_THE_HEEL = _("over the heel")
EASY = Passing(Estimate(1.0, 0.0, "1"), Estimate(2.0, 0.0, "1"))
"""A tube that passes whatever it must."""


def _ease_reason(ease: float, wish: float) -> str:
    words = ease_words(ease)
    if words == ease_words(wish):
        return _("{words}, as wished", words=words)
    if ease > fact("fit", "girth_ease_most").number:
        words = _("snug: {words}", words=words)
    elif ease < fact("fit", "girth_ease_least").number:
        words = _("loose: {words}", words=words)
    return _("{words}; the wish was {wish:.0f} % smaller", words=words, wish=100 * wish)
