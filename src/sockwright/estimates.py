"""Numbers with their standard deviation, their unit, and where they come from.

A number is worked out once, by arithmetic on others:

    girth = (gauge.wale * needles).named("fit.girth", GIRTH, "mm", said("needles × wale"), TUBE)

From that one line it has its value, its sd, and what makes how much of the sd: errors are passed on
to first order by sensitivity coefficients (JCGM 100:2008, 5.1.2), those of different inputs taken
as independent.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from math import sqrt
from typing import Literal

from sockwright.i18n import _

RECTANGULAR = sqrt(3.0)
"""Divisor that turns the half-width of a rectangular error into a standard deviation
(JCGM 100:2008, 4.3.7)."""

Origin = Literal["measured", "estimated", "chosen", "table"]
"""Read by the maker; worked out from something else; asked for in the order; a fact of a table."""

LEAST_SHARE = 0.0005
"""A part of a variance that is not worth telling."""

THE_ORDER = _("the order")
THIS_PLAN = _("this plan")


class _Arithmetic:
    """`+ - * / **` on numbers with an sd; plain numbers have none."""

    def propagated(self) -> Propagated:
        """The number as the start of a formula."""
        raise NotImplementedError

    def __add__(self, other: Operand) -> Propagated:
        return _joined(self, other, lambda a, b: (a + b, 1.0, 1.0))

    def __radd__(self, other: float) -> Propagated:
        return self + other

    def __sub__(self, other: Operand) -> Propagated:
        return _joined(self, other, lambda a, b: (a - b, 1.0, -1.0))

    def __rsub__(self, other: float) -> Propagated:
        return self * -1.0 + other

    def __mul__(self, other: Operand) -> Propagated:
        return _joined(self, other, lambda a, b: (a * b, b, a))

    def __rmul__(self, other: float) -> Propagated:
        return self * other

    def __truediv__(self, other: Operand) -> Propagated:
        return _joined(self, other, lambda a, b: (a / b, 1 / b, -a / b**2))

    def __pow__(self, power: float) -> Propagated:
        own = self.propagated()
        slope = power * own.value ** (power - 1)
        return own.moved(own.value**power, slope)


@dataclass(frozen=True)
class Input:
    """A number that goes into another, and the `share` (0 to 1) of the other's variance that comes
    from it."""

    number: Estimate
    share: float = 0.0


@dataclass(frozen=True)
class Derivation:
    """Where a number comes from.

    `key` names it among the numbers of a plan, `label` in words; `formula` is in plain words and
    signs, "" for a reading, a wish or a fact, which come from nothing further. `source` and
    `standing` (one of facts.STANDINGS) tell who says so. `take` gives its inputs, worked out when
    they are asked for. A whole count has the `exact` number before it was rounded, `each_mm` that
    one more of it is worth, or its `rounding` in words.
    """

    key: str
    label: str
    source: str
    formula: str = ""
    standing: str = "derived"
    origin: Origin = "estimated"
    take: Callable[[], tuple[Input, ...]] = tuple
    exact: Estimate | None = None
    each_mm: float = 0.0
    rounding: str = ""


@dataclass(frozen=True)
class Estimate(_Arithmetic):
    """A value and its standard deviation, both in `unit` (mm, g, tex, 1/mm, tex^0.5/mm, min, 1),
    and how it was come by. Two are equal by the first three."""

    value: float
    sd: float
    unit: str
    how: Derivation | None = field(default=None, compare=False, repr=False)

    def propagated(self) -> Propagated:
        """The number as the start of a formula."""
        name = self.how.key if self.how else f"#{id(self)}"
        return Propagated(self.value, {name: (self, 1.0)})

    def called(self, how: Derivation) -> Estimate:
        """The same number with its derivation."""
        return replace(self, how=how)

    def as_data(self) -> dict[str, float | str]:
        """The estimate as JSON-ready data, rounded to six significant figures."""
        return {
            "value": float(f"{self.value:.6g}"),
            "sd": float(f"{self.sd:.3g}"),
            "unit": self.unit,
        }


@dataclass(frozen=True)
class Propagated(_Arithmetic):
    """A value within a formula: by its name each number that went in, and how much the value
    changes with it (its sensitivity coefficient)."""

    value: float
    slopes: Mapping[str, tuple[Estimate, float]]

    def propagated(self) -> Propagated:
        """Itself."""
        return self

    def moved(self, value: float, slope: float) -> Propagated:
        """A function of this one: its value, and its slope there."""
        slopes = {name: (one, slope * own) for name, (one, own) in self.slopes.items()}
        return Propagated(value, slopes)

    @property
    def sd(self) -> float:
        """The standard deviation, by the errors of all that went in."""
        return sqrt(sum((slope * one.sd) ** 2 for one, slope in self.slopes.values()))

    def inputs(self) -> tuple[Input, ...]:
        """The numbers that went in and can be named, with their shares."""
        sd = self.sd
        return tuple(
            Input(one, (slope * one.sd / sd) ** 2 if sd else 0.0)
            for one, slope in self.slopes.values()
            if one.how is not None
        )

    def named(
        self,
        key: str,
        label: str,
        unit: str,
        formula: str,
        source: str,
        standing: str = "derived",
        *,
        also: Iterable[Estimate] = (),
        origin: Origin = "estimated",
    ) -> Estimate:
        """The result of a formula. `also` are numbers that it takes without their errors."""
        how = self._how(key, label, source, formula, standing, also, origin)
        return Estimate(self.value, self.sd, unit, how)

    def whole(
        self,
        count: int,
        key: str,
        label: str,
        unit: str,
        formula: str,
        source: str,
        standing: str = "derived",
        *,
        each_mm: float,
        also: Iterable[Estimate] = (),
    ) -> Count:
        """The result of a formula made a whole `count`; `each_mm` is what one more is worth."""
        exact = Estimate(self.value, self.sd, unit)
        how = self._how(key, label, source, formula, standing, also)
        return Count(count, replace(how, exact=exact, each_mm=each_mm))

    def _how(
        self,
        key: str,
        label: str,
        source: str,
        formula: str,
        standing: str,
        also: Iterable[Estimate],
        origin: Origin = "estimated",
    ) -> Derivation:
        take = partial(_taken, self, tuple(also))
        return Derivation(key, label, source, formula, standing, origin, take)


def _taken(formula: Propagated, others: tuple[Estimate, ...]) -> tuple[Input, ...]:
    return (*formula.inputs(), *_named(others))


def _named(numbers: Iterable[Estimate]) -> tuple[Input, ...]:
    return tuple(Input(one) for one in numbers if one.how is not None)


Operand = float | Estimate | Propagated


def _joined(
    one: _Arithmetic, other: Operand, work: Callable[[float, float], tuple[float, float, float]]
) -> Propagated:
    """Two numbers as one; `work` gives the value and its slope with either."""
    own = one.propagated()
    if not isinstance(other, _Arithmetic):
        value, slope, _ = work(own.value, other)
        return own.moved(value, slope)
    further = other.propagated()
    value, of_own, of_other = work(own.value, further.value)
    slopes = {name: (each, of_own * slope) for name, (each, slope) in own.slopes.items()}
    for name, (each, slope) in further.slopes.items():
        known = slopes[name][1] if name in slopes else 0.0
        slopes[name] = (each, known + of_other * slope)
    return Propagated(value, slopes)


class Count(int):
    """A whole number that knows where it comes from; an int to all that reads it."""

    how: Derivation

    def __new__(cls, value: int, how: Derivation) -> Count:
        new = super().__new__(cls, value)
        new.how = how
        return new

    def __getnewargs__(self) -> tuple[int, Derivation]:  # type: ignore[override]
        return int(self), self.how

    @property
    def number(self) -> Estimate:
        """The count as it goes into a formula."""
        return Estimate(float(self), 0.0, "1", self.how)


def counted(
    value: int,
    key: str,
    label: str,
    formula: str,
    source: str,
    standing: str = "derived",
    inputs: Iterable[Estimate] = (),
) -> Count:
    """A count that comes out whole, and the numbers that it rests on."""
    take = partial(_named, tuple(inputs))
    return Count(value, Derivation(key, label, source, formula, standing, take=take))


def exactly(value: float, unit: str = "1") -> Estimate:
    """A number without an error; a count keeps where it comes from."""
    return value.number if isinstance(value, Count) else Estimate(float(value), 0.0, unit)


def wished(key: str, label: str, value: float, unit: str = "1") -> Estimate:
    """What the order asks for."""
    return Estimate(float(value), 0.0, unit, Derivation(key, label, THE_ORDER, origin="chosen"))


def asked(key: str, label: str, value: int, wish: str) -> Count:
    """A count that the order asks for, by the key of that `wish`."""
    formula = _("as the order asks")
    return counted(value, key, label, formula, THE_ORDER, inputs=(wished(wish, label, value),))


def rectangular_sd(half_width: float) -> float:
    """Standard deviation of an error known only to lie within +- `half_width` (same unit).

    Source: JCGM 100:2008 (GUM), 4.3.7.
    """
    return half_width / RECTANGULAR
