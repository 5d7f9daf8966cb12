"""Explanations that refer to each other: what is at the bottom of a number, and what would help."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from math import sqrt

from sockwright.plan_sources.explained import Explained, Further, Input
from sockwright.plan_sources.further import Candidate
from sockwright.plan_sources.printing import is_percent, shown_sd
from sockwright.words import said

OTHER = "other."
"""What keys of the pair's other sock begin with; it is knitted of the same yarn, to one gauge."""

LEAST_SHARE = 0.0005
"""Errors at the bottom that bring less are not told."""
LEAST_GAIN = 0.05
"""A measurement that narrows a number by less is no help."""

Table = Mapping[str, Explained]


def completed(
    explained: Iterable[Explained], further: tuple[Candidate, ...], units: str
) -> tuple[Explained, ...]:
    """The explanations of one sock with what they rest on and what would help."""
    table = {each.key: each for each in explained}
    ordered = _ordered(table)
    leaves = _bottoms(ordered)
    left = [_left(ordered, candidate) for candidate in further]
    return tuple(
        _with_help(replace(each, rests_on=leaves[key]), further, left, units)
        for key, each in table.items()
    )


def _ordered(table: Table) -> list[Explained]:
    """The explanations, each after those of its inputs."""
    done: dict[str, Explained] = {}

    def visit(key: str) -> None:
        if key in done or key not in table:
            return
        for each in table[key].inputs:
            visit(each.key.removeprefix(OTHER))
        done[key] = table[key]

    for key in table:
        visit(key)
    return list(done.values())


def _bottoms(ordered: Sequence[Explained]) -> dict[str, tuple[Input, ...]]:
    """For every number the inputs that have none of their own, with their shares in it."""
    found: dict[str, tuple[Input, ...]] = {}
    for each in ordered:
        gathered: dict[str, Input] = {}
        for one in each.inputs:
            below = found.get(one.key.removeprefix(OTHER)) or (replace(one, share=1.0),)
            for leaf in below:
                known = gathered.get(leaf.key, replace(leaf, share=0.0))
                gathered[leaf.key] = replace(known, share=known.share + one.share * leaf.share)
        told = [leaf for leaf in gathered.values() if leaf.share >= LEAST_SHARE]
        found[each.key] = tuple(sorted(told, key=lambda leaf: -leaf.share))
    return found


def _left(ordered: Sequence[Explained], candidate: Candidate) -> dict[str, float]:
    """What a measurement would leave of the variance of every number it touches."""
    left = dict(candidate.left)
    for each in ordered:
        if each.key not in left:
            gone = sum(
                one.share * (1 - left.get(one.key.removeprefix(OTHER), 1.0)) for one in each.inputs
            )
            left[each.key] = 1 - gone
    return left


def _with_help(
    each: Explained,
    further: tuple[Candidate, ...],
    left: list[dict[str, float]],
    units: str,
) -> Explained:
    """The explanation with the measurement that would narrow the number most."""
    spread = each.spread
    best, candidate = min(
        ((after[each.key], place) for place, after in enumerate(left)), default=(1.0, 0)
    )
    if not spread.sd or sqrt(max(best, 0.0)) > 1 - LEAST_GAIN:
        return each
    help_ = Further(further[candidate].measurement, spread.sd, spread.sd * sqrt(max(best, 0.0)))
    percent = is_percent(each.key)
    helps = said(
        "{measurement}: ± {before} would become ± {after}",
        measurement=help_.measurement,
        before=shown_sd(help_.sd_before, spread, units, percent=percent),
        after=shown_sd(help_.sd_after, spread, units, percent=percent),
    )
    return replace(each, further=help_, helps=helps)
