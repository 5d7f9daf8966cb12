"""Where the fit of a tube comes from: needles and wales against the girths of the foot."""

from __future__ import annotations

from collections.abc import Iterator

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.loop_laws import drape_tightness
from sockwright.plan import Plan
from sockwright.plan_data import length_ease
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.foot_inputs import measure_input
from sockwright.plan_sources.gauge_numbers import Fabric, fabric_of, gauge_numbers
from sockwright.plan_sources.inputs import chosen, exactly, reckoned, share, told
from sockwright.plan_sources.opening_numbers import opening, opening_input
from sockwright.sock.fit import CylinderFit
from sockwright.words import said

GEOMETRY = said("geometry of a tube")
LABELS = {
    "girth": said("girth of the tube"),
    "girth_ease": said("ease in girth"),
    "heel_opening": said("opening needed to pass the heel"),
    "fabric_opening": said("opening the fabric gives"),
    "score": said("score of the cylinder (0 is perfect)"),
    "length_ease": said("ease in length"),
}


def fit_numbers(plan: Plan) -> Iterator[Explained]:
    """The fit of the sock and of every cylinder of the machine; a cylinder's keys hold its number
    of needles, as "fit.cylinders.72.girth_ease"."""
    chosen_fabric = fabric_of(plan, plan.gauge, plan.sizing.needles)
    yield from _fit(plan, plan.fit, chosen_fabric, "fit")
    yield _length_ease(plan)
    for fit in plan.ranking:
        needles = fit.cylinder.needles
        fabric = fabric_of(plan, fit.gauge, needles)
        if needles != plan.sizing.needles:
            yield from gauge_numbers(fabric)
        yield from _fit(plan, fit, fabric, f"fit.cylinders.{needles}")


def _fit(plan: Plan, fit: CylinderFit, fabric: Fabric, prefix: str) -> Iterator[Explained]:
    yield _girth(fit, fabric, prefix)
    yield _girth_ease(plan, fit, prefix)
    yield _heel_opening(plan, fit, prefix)
    yield _fabric_opening(fit, fabric, prefix)
    yield _score(plan, fit, fabric, prefix)


def _girth(fit: CylinderFit, fabric: Fabric, prefix: str) -> Explained:
    needles = exactly(fit.cylinder.needles, "needle")
    return Explained(
        f"{prefix}.girth",
        LABELS["girth"],
        fit.girth,
        said("needles × wale"),
        (
            chosen(_needles_key(fit, prefix), said("needles"), needles),
            fabric.taken("wale", 1.0 if fit.girth.sd else 0.0),
        ),
        GEOMETRY,
        "derived",
    )


def _needles_key(fit: CylinderFit, prefix: str) -> str:
    """The sock's needles are chosen by the scores of cylinders, whose own needles are given."""
    return "sizing.needles" if prefix == "fit" else f"machine.cylinders.{fit.cylinder.needles}"


def _of_quotient(ratio: Estimate, above: Estimate, below: Estimate) -> tuple[float, float]:
    """The shares of the variance of above / below that come from each."""
    quotient = above.value / below.value
    of_above, of_below = (share(quotient * one.sd / one.value, ratio) for one in (above, below))
    return of_above, of_below


def _girth_ease(plan: Plan, fit: CylinderFit, prefix: str) -> Explained:
    ball = plan.foot.ball_girth.estimate
    of_tube, of_ball = _of_quotient(fit.girth_ease, fit.girth, ball)
    return Explained(
        f"{prefix}.girth_ease",
        LABELS["girth_ease"],
        fit.girth_ease,
        said("1 − girth of the tube ÷ ball girth"),
        (
            reckoned(f"{prefix}.girth", LABELS["girth"], fit.girth, of_tube),
            measure_input(plan, "ball_girth", of_ball),
            _wish(plan.order.sock.ease.girth, "sock.ease.girth"),
        ),
        said("How to Knit Socks (Storey Publishing), chapter 3, Sock Fit and Sizing"),
        "published",
    )


def _wish(ease: float, key: str) -> Input:
    return chosen(key, said("ease wished for"), exactly(ease))


def _heel_opening(plan: Plan, fit: CylinderFit, prefix: str) -> Explained:
    heel = plan.foot.heel_girth.estimate
    of_heel, of_tube = _of_quotient(fit.opening_needed, heel, fit.girth)
    return Explained(
        f"{prefix}.heel_opening",
        LABELS["heel_opening"],
        fit.opening_needed,
        said("heel girth ÷ girth of the tube"),
        (
            measure_input(plan, "heel_girth", of_heel),
            reckoned(f"{prefix}.girth", LABELS["girth"], fit.girth, of_tube),
        ),
        GEOMETRY,
        "derived",
    )


def _fabric_opening(fit: CylinderFit, fabric: Fabric, prefix: str) -> Explained:
    """As the fabric's own opening where that has a key of its own, else in full."""
    whole = opening(fabric)
    key = f"{prefix}.fabric_opening"
    if whole.key == key:
        return whole
    part = 1.0 if fit.opening_possible.sd else 0.0
    return Explained(
        key,
        LABELS["fabric_opening"],
        fit.opening_possible,
        said("as far as the fabric of this gauge opens"),
        (opening_input(fabric, part),),
        whole.source,
        whole.standing,
    )


def _score(plan: Plan, fit: CylinderFit, fabric: Fabric, prefix: str) -> Explained:
    sock = plan.order.sock
    drape = exactly(drape_tightness(sock.drape), "tex^0.5/mm")
    weight, tolerance = fact("fit", "ease_weight"), fact("fit", "tightness_tolerance")
    return Explained(
        f"{prefix}.score",
        LABELS["score"],
        exactly(fit.score),
        said(
            "((ease − wish) ÷ {weight})² + (opening lacking ÷ its ±)² + ((tightness − that of the "
            "drape) ÷ {tolerance})², and 1 more where no swatch was measured",
            weight=weight.number,
            tolerance=tolerance.number,
        ),
        (
            reckoned(f"{prefix}.girth_ease", LABELS["girth_ease"], fit.girth_ease),
            _wish(sock.ease.girth, "sock.ease.girth"),
            reckoned(f"{prefix}.heel_opening", LABELS["heel_opening"], fit.opening_needed),
            opening_input(fabric, 0.0),
            fabric.taken("tightness"),
            chosen("sock.drape", said("tightness of the wished drape"), drape),
        ),
        told(weight),
        weight.standing,
    )


def _length_ease(plan: Plan) -> Explained:
    ease, sock = length_ease(plan), plan.sizing.foot_length
    foot = plan.foot.length.estimate
    of_sock, of_foot = _of_quotient(ease, sock, foot)
    return Explained(
        "fit.length_ease",
        LABELS["length_ease"],
        ease,
        said("1 − foot length of the sock ÷ foot length"),
        (
            reckoned("sizing.foot_length", said("foot length of the sock"), sock, of_sock),
            measure_input(plan, "length", of_foot),
            _wish(plan.order.sock.ease.length, "sock.ease.length"),
        ),
        said("geometry of the sock"),
        "derived",
    )
