"""Inputs of a number, made short to write."""

from __future__ import annotations

from sockwright.estimates import Estimate
from sockwright.facts import Fact
from sockwright.plan_sources.explained import Input, Origin
from sockwright.words import said

STANDINGS = {
    "published": said("published"),
    "derived": said("derived"),
    "common practice": said("common practice"),
    "from memory": said("from memory"),
    "assumption": said("assumption"),
}
"""How far a fact can be trusted, in words."""


def share(part_sd: float, whole: Estimate) -> float:
    """The part of the variance of `whole` that an sd of `part_sd`, in its unit, makes."""
    return (part_sd / whole.sd) ** 2 if whole.sd else 0.0


def exactly(number: float, unit: str = "1") -> Estimate:
    """A number without an error."""
    return Estimate(float(number), 0.0, unit)


def told(fact: Fact) -> str:
    """A fact's source and how far it can be trusted."""
    return said(
        "{source} ({standing})", source=said(fact.source), standing=STANDINGS[fact.standing]
    )


def chosen(key: str, label: str, value: Estimate) -> Input:
    """What the order asks for, or the program decides."""
    return Input(key, label, value, 0.0, "chosen", said("the order"))


def of_fact(key: str, label: str, value: Estimate, share: float, fact: Fact) -> Input:
    """A number taken from a table of facts."""
    return Input(key, label, value, share, "table", told(fact))


def reckoned(
    key: str, label: str, value: Estimate, share: float = 0.0, origin: Origin = "estimated"
) -> Input:
    """A number of the plan with an explanation of its own."""
    return Input(key, label, value, share, origin, said("this plan"))
