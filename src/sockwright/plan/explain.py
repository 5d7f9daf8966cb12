"""Where every number of a plan comes from: its derivation in words, what is at the bottom of it,
and which measurement would narrow it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from math import sqrt
from typing import Any

from sockwright.errors import SockwrightError
from sockwright.estimates import LEAST_SHARE, THIS_PLAN, Count, Estimate, Origin
from sockwright.estimates import Input as Taken
from sockwright.fabric.use import OTHER
from sockwright.i18n import Message, _, joined
from sockwright.measure.gauge import estimate_gauge
from sockwright.measure.gauge_parts import ROWS
from sockwright.measure.yarn import yarn_from
from sockwright.once import once
from sockwright.order.model import Order
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.plan.numbers import Value, numbers
from sockwright.plan.trust import Candidate, candidates
from sockwright.quantities.printing import format_length, is_percent, shown, shown_sd

SECOND = "second."
"""What keys of the second sock's numbers begin with, where the feet differ."""
LEAST_GAIN = 0.05
"""A measurement that narrows a number by less is no help."""
NOTHING_MM = 0.05


class UnknownNumber(SockwrightError):
    """A key that is no number of the plan."""


@dataclass(frozen=True)
class Input:
    """What goes into a number, as it is told. `key` is that of its own explanation where it has
    one; `share` is the part (0 to 1) of the number's variance that comes from it; `source` says
    where it is from."""

    key: str
    label: str
    value: Estimate
    share: float
    origin: Origin
    source: str

    def as_data(self) -> dict[str, Any]:
        """The input as JSON-ready data."""
        return {
            "key": self.key,
            "label": str(self.label),
            "value": self.value.as_data(),
            "share": round(self.share, 4),
            "origin": self.origin,
            "source": str(self.source),
        }


@dataclass(frozen=True)
class Further:
    """A measurement that could still be taken, and the number's sd before and after it, in the
    number's unit."""

    measurement: str
    sd_before: float
    sd_after: float


@dataclass(frozen=True)
class Explained:
    """One number of a plan, and where it comes from, as it is told.

    `formula` is in plain words and signs. `inputs` are what the formula takes, `rests_on` the
    readings, wishes and facts at the bottom of them, the weightiest first. `source` and
    `standing` (one of facts.STANDINGS) tell who says so. A whole count has the `exact` number
    before it was rounded, and its `rounding` in words; shares are then of the exact number's
    variance. `further` is the measurement that would narrow it most, `helps` the same in words;
    both None where nothing would by much.
    """

    key: str
    label: str
    value: Value
    formula: str
    inputs: tuple[Input, ...]
    source: str
    standing: str
    exact: Estimate | None = None
    rounding: str | None = None
    rests_on: tuple[Input, ...] = ()
    further: Further | None = None
    helps: str | None = None

    @property
    def spread(self) -> Estimate:
        """The number as it was before any rounding, with its sd."""
        if self.exact is not None:
            return self.exact
        return self.value if isinstance(self.value, Estimate) else self.value.number

    def as_data(self) -> dict[str, Any]:
        """The explanation as JSON-ready data."""
        return {
            "key": self.key,
            "label": str(self.label),
            "value": self.value.as_data() if isinstance(self.value, Estimate) else self.value,
            "formula": str(self.formula),
            "inputs": [each.as_data() for each in self.inputs],
            "rests_on": [each.as_data() for each in self.rests_on],
            "source": str(self.source),
            "standing": self.standing,
            "exact": None if self.exact is None else self.exact.as_data(),
            "rounding": None if self.rounding is None else str(self.rounding),
            "further": None if self.further is None else self._further(self.further),
            "helps": None if self.helps is None else str(self.helps),
        }

    def _further(self, further: Further) -> dict[str, Any]:
        unit = self.spread.unit
        return {
            "measurement": str(further.measurement),
            "sd_before": Estimate(further.sd_before, 0.0, unit).as_data(),
            "sd_after": Estimate(further.sd_after, 0.0, unit).as_data(),
        }


@once
def sources(pair: PairPlan) -> tuple[Explained, ...]:
    """The explanation of every number of a pair, in the order of `numbers` and under its keys:
    "gauge.course", "fit.cylinders.72.girth" (by needles), "yarn.main.mass", "minutes".

    Where the feet differ those of the second sock follow, as "second.foot.length".
    """
    first = _sock(pair.first)
    if pair.second is None:
        return first
    second = _sock(pair.second)
    keys = {each.key for each in (*first, *second)}
    return (
        *(_renamed(each, keys, "", SECOND) for each in first),
        *(_renamed(each, keys, SECOND, "") for each in second),
    )


def explain(pair: PairPlan, key: str) -> Explained:
    """The explanation of one number. Raises UnknownNumber, naming keys like it."""
    table = {each.key: each for each in sources(pair)}
    if key in table:
        return table[key]
    tail = key.rsplit(".", maxsplit=1)[-1]
    near = [each for each in table if each.endswith(f".{tail}")] or get_close_matches(key, table)
    likely = joined(", ", near[:5] or list(table)[:5])
    raise UnknownNumber(
        _("{key} is not a number of this plan; there is {likely}", key=key, likely=likely)
    )


def sources_data(pair: PairPlan) -> list[dict[str, Any]]:
    """`sources` as JSON-ready data, quantities as {"value", "sd", "unit"}."""
    return [each.as_data() for each in sources(pair)]


def swatch_sources(order: Order) -> tuple[Explained, ...]:
    """The explanations of what the only swatch of `order` tells, washed, under the keys of a plan:
    "gauge.wale", "gauge.course", "gauge.loop", "yarn.main.fineness".

    The order needs no foot; the wish for a drape weighs little beside a reading.
    """
    (swatch,) = order.swatches
    yarn = yarn_from(order.yarn("main"))
    gauge = estimate_gauge((swatch,), yarn, order.machine, swatch.needles, order.sock.drape)
    told: dict[str, Value] = {f"gauge.{name}": getattr(gauge, name) for name in ROWS}
    told |= {"gauge.readings_used": gauge.readings_used, "yarn.main.fineness": yarn.tex}
    return _completed(told, (), order.units, _("this swatch"))


def _sock(plan: SockPlan) -> tuple[Explained, ...]:
    return _completed(numbers(plan), candidates(plan), plan.units, THIS_PLAN)


def _completed(
    told: Mapping[str, Value], further: tuple[Candidate, ...], units: str, here: str
) -> tuple[Explained, ...]:
    """The explanations of one sock with what they rest on and what would help; `here` is where
    its numbers are worked out."""
    table = {key: _explained(key, value, units, here) for key, value in told.items()}
    ordered = _ordered(table)
    bottoms = _bottoms(ordered)
    left = [_left(ordered, candidate) for candidate in further]
    return tuple(
        _with_help(replace(each, rests_on=bottoms[key]), further, left, units)
        for key, each in table.items()
    )


def _explained(key: str, value: Value, units: str, here: str) -> Explained:
    how = value.how
    assert how is not None, key
    rounding: str | None = how.rounding or None
    if isinstance(value, Count) and how.each_mm and how.exact is not None:
        rounding = _rounding(how.exact, value, how.each_mm, units)
    return Explained(
        key,
        how.label,
        value,
        how.formula,
        tuple(_input(each, units, here) for each in how.take()),
        how.source,
        how.standing,
        how.exact,
        rounding,
    )


def _input(taken: Taken, units: str, here: str) -> Input:
    how = taken.number.how
    assert how is not None
    source = here if how.formula or how.source == THIS_PLAN else _in_units(how.source, units)
    return Input(how.key, how.label, taken.number, taken.share, how.origin, source)


def _in_units(text: str, units: str) -> str:
    """A text that may be told otherwise in these units."""
    return text.in_units.get(units, text) if isinstance(text, Message) else text


def _rounding(exact: Estimate, count: int, each_mm: float, units: str) -> str:
    """The count beside the number it was made from, and what that does to a length of which each
    one makes `each_mm`."""
    apart_mm = (count - exact.value) * each_mm
    before = shown(exact, units)
    if abs(apart_mm) < NOTHING_MM:
        return _("{exact} came out as {count}", exact=before, count=count)
    by = format_length(abs(apart_mm), "in" if units == "in" else "mm", 2 if units == "in" else 1)
    if apart_mm > 0:
        return _("{exact} became {count}: {by} longer", exact=before, count=count, by=by)
    return _("{exact} became {count}: {by} shorter", exact=before, count=count, by=by)


def _ordered(table: Mapping[str, Explained]) -> list[Explained]:
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


def _left(ordered: Iterable[Explained], candidate: Candidate) -> dict[str, float]:
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
    helps = _(
        "{measurement}: ± {before} would become ± {after}",
        measurement=help_.measurement,
        before=shown_sd(help_.sd_before, spread, units, percent=percent),
        after=shown_sd(help_.sd_after, spread, units, percent=percent),
    )
    return replace(each, further=help_, helps=helps)


def _renamed(each: Explained, keys: set[str], own: str, other: str) -> Explained:
    """The explanation with `own` before the keys of its sock's numbers, `other` before those of
    the other sock."""

    def rename(one: Input) -> Input:
        if one.key.startswith(OTHER):
            return replace(one, key=other + one.key.removeprefix(OTHER))
        return replace(one, key=own + one.key) if one.key in keys else one

    return replace(
        each,
        key=own + each.key,
        inputs=tuple(rename(one) for one in each.inputs),
        rests_on=tuple(rename(one) for one in each.rests_on),
    )
