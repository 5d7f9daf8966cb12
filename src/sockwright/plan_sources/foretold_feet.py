"""By how much each thing known of a foot makes a foretold measure of it uncertain."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from sockwright.estimates import Estimate
from sockwright.measure.adults import body, known_of
from sockwright.measure.children import best_fit, child_foot
from sockwright.measure.foot_measures import FootMeasure
from sockwright.measure.population import adult_feet
from sockwright.order.model import WearerGiven

STEP = 1e-4
"""By what share a variance is changed to see what comes of it."""

Shares = Mapping[str, Mapping[str, float]]
"""For every measure of a foot the part of its variance from each thing known, by name."""


def adults_shares(wearer: WearerGiven, measured: Mapping[str, FootMeasure]) -> Shares:
    """The shares of an adult's measures in the survey; what is missing to 1 is how much people
    with these measures differ."""
    survey = adult_feet(wearer.sex)
    return _shares(known_of(wearer, measured), survey.foretell)


def childs_shares(wearer: WearerGiven, measures: Mapping[str, FootMeasure]) -> Shares:
    """The shares of a child's measures, its foot's length among `measures` as though it had been
    measured; what is missing to 1 is how much children with these measures differ."""
    told = body(wearer)
    taken = {name: measure.estimate for name, measure in measures.items()}

    def foretell(known: Mapping[str, Estimate]) -> dict[str, Estimate]:
        given = {name: replace(measures[name], estimate=known[name]) for name in taken}
        foot = child_foot(wearer, given, {name: known[name] for name in told})
        return {name: one.estimate for name, one in foot.measures().items()}

    return _shares(taken | told, foretell)


def childs_length_shares(wearer: WearerGiven) -> Shares:
    """The shares of a child's foot length in what its stature and weight foretell of it."""
    age = wearer.age_years or 0.0
    return _shares(body(wearer), lambda known: {"length": best_fit("length", age, known).estimate})


def _shares(
    known: Mapping[str, Estimate],
    foretell: Callable[[Mapping[str, Estimate]], Mapping[str, Estimate]],
) -> Shares:
    """By what share a foretold variance falls with each known one.

    A foretold variance is linear in small changes of the known ones, and grows as they all do.
    """
    now = foretell(known)
    changed = {
        name: [foretell({**known, name: _with_variance(one, 1 + step)}) for step in (-STEP, STEP)]
        for name, one in known.items()
        if one.sd
    }
    return {
        measure: {
            name: (more[measure].sd ** 2 - less[measure].sd ** 2) / (2 * STEP * whole.sd**2)
            for name, (less, more) in changed.items()
        }
        for measure, whole in now.items()
        if whole.sd
    }


def _with_variance(estimate: Estimate, times: float) -> Estimate:
    return replace(estimate, sd=estimate.sd * times**0.5)
