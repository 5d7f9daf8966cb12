"""The choice of a cylinder, and what to offer instead of one that cannot be worn."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import THIS_PLAN, Derivation, Estimate
from sockwright.facts import fact
from sockwright.i18n import N_, _, joined
from sockwright.quantities import format_both
from sockwright.sock.fit import CylinderFit, ease_words, jam_refusals, refusals
from sockwright.sock.passing import Passing

MOST_OFFERED = 2
"""Cylinders offered at once."""


def choose_cylinder(
    ranking: tuple[CylinderFit, ...],
    needles: int | None,
    wish: float,
    can_size: Callable[[CylinderFit], bool] = lambda fit: True,
) -> CylinderFit:
    """The cylinder of so many needles, or the best; `wish` is the girth ease asked for.

    Raises CannotMake where it could not be knitted or worn, with the nearest plans that can be
    made; only cylinders on which `can_size` finds the whole sock possible are offered.
    """
    chosen = ranking[0]
    if needles is not None:
        chosen = next(fit for fit in ranking if fit.cylinder.needles == needles)
    if chosen.fits:
        return chosen
    raise CannotMake(
        _(
            "on {needles} needles this sock {verdict}: {refusals}",
            needles=chosen.cylinder.needles,
            verdict=chosen.verdict,
            refusals=joined("; ", chosen.refusals),
        ),
        _offers(chosen, ranking, wish, can_size),
    )


def scores(ranking: Iterable[CylinderFit]) -> tuple[Estimate, ...]:
    """The score of each cylinder by its needles, as the choice rests on it."""
    return tuple(_score(fit) for fit in ranking)


def _score(fit: CylinderFit) -> Estimate:
    needles = fit.cylinder.needles
    key, label = f"fit.cylinders.{needles}.score", _("score of {n} needles", n=needles)
    return fit.score.called(Derivation(key, label, THIS_PLAN))


def cylinder_offers(
    ranking: tuple[CylinderFit, ...], can_size: Callable[[CylinderFit], bool]
) -> tuple[Offer, ...]:
    """The best cylinders at hand on which the whole sock can be made without a doubt, or else
    those with one."""
    sure = [fit for fit in ranking if fit.fits and not fit.doubts]
    usable = (fit for fit in sure or [f for f in ranking if f.fits] if can_size(fit))
    return tuple(
        Offer(
            _("the {needles}-needle cylinder", needles=fit.cylinder.needles),
            _(
                "a tube of {girth}, {ease}",
                girth=format_both(fit.girth.value),
                ease=ease_words(fit.girth_ease.value),
            ),
            {"needles": fit.cylinder.needles},
        )
        for fit, __ in zip(usable, range(MOST_OFFERED), strict=False)
    )


def _offers(
    chosen: CylinderFit,
    ranking: tuple[CylinderFit, ...],
    wish: float,
    can_size: Callable[[CylinderFit], bool],
) -> tuple[Offer, ...]:
    """Cylinders at hand that fit, the loop that would make the chosen one fit, or else a cylinder
    to look for."""
    offers = cylinder_offers(ranking, can_size) + _loop_that_fits(chosen, wish)
    if offers:
        return offers
    growth = (1 - wish) / (1 - chosen.girth_ease.value)
    if jam_refusals(chosen.gauge.tightness, chosen.gauge.jam) or _tube_refused(chosen, growth):
        why = _("no tube of this fabric is narrow enough for the foot and still goes over the heel")
        if jam_refusals(chosen.gauge.tightness, chosen.gauge.jam):
            why = _("loops long enough for this yarn make the tube too wide for the foot")
        return (Offer(_("a thinner yarn or a softer fabric, and a swatch of it"), why),)
    wanted = chosen.cylinder.needles * growth
    return (
        Offer(
            _("a cylinder of about {needles:.0f} needles", needles=wanted),
            _("at the gauge of this yarn"),
        ),
    )


def _growth_wanted(chosen: CylinderFit, wish: float) -> float:
    """By what factor the girth must change to come to the ease wished for, and where the heel
    would not pass or the yarn would jam then, to open to the heel and keep clear of the jam."""
    growth = (1 - wish) / (1 - chosen.girth_ease.value)
    if _refused(chosen, growth):
        tightness, jam = chosen.gauge.tightness, chosen.gauge.jam
        growth = max(growth, chosen.opening_needed.value / chosen.opening_possible.value)
        if tightness.value / growth >= jam.value:
            growth = tightness.value / (jam.value - jam.sd)
    return growth


def _refused(chosen: CylinderFit, growth: float) -> bool:
    """Whether the tube would be refused or doubted if its loops were so many times as long and it
    were as many times as wide and opened in the same proportion."""
    jammed = chosen.gauge.tightness.value / growth >= chosen.gauge.jam.value
    return jammed or _tube_refused(chosen, growth)


def _tube_refused(chosen: CylinderFit, growth: float) -> bool:
    """Whether a tube so many times as wide would be refused or doubted."""
    ease, needed = chosen.girth_ease, chosen.opening_needed
    wide = Estimate(1 - (1 - ease.value) * growth, ease.sd * growth, "1")
    heel = Passing(
        replace(needed, value=needed.value / growth, sd=needed.sd / growth),
        chosen.opening_possible,
    )
    sack = wide.value < fact("fit", "girth_ease_doubted_below").number
    return bool(refusals(wide, heel)) or sack or heel.doubtful


def _loop_that_fits(chosen: CylinderFit, wish: float) -> tuple[Offer, ...]:
    """Another loop length on the same cylinder, where knitted fabric can have it."""
    growth = _growth_wanted(chosen, wish)
    tightness = chosen.gauge.tightness.value / growth
    low = fact("constants", "tightness_low").number
    high = fact("constants", "tightness_high").number
    if not low <= tightness <= high or _refused(chosen, growth):
        return ()
    loop = chosen.gauge.loop.value * growth
    change = N_("a tighter stitch cam on the same cylinder: loops of {loop:.1f} mm")
    if growth > 1:
        change = N_("a looser stitch cam on the same cylinder: loops of {loop:.1f} mm")
    return (
        Offer(
            _(change, loop=loop),
            _(
                "tightness {tightness:.2f}; knit a new swatch, as all rounds change",
                tightness=tightness,
            ),
        ),
    )
