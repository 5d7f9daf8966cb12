"""A number of a plan with all that it comes from, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from sockwright.estimates import Estimate

Origin = Literal["measured", "estimated", "chosen", "table"]
"""Read by the maker; worked out from something else; asked for in the order; a fact of a table."""


@dataclass(frozen=True)
class Input:
    """What goes into a number. `key` is that of its own explanation where it has one; `share` is
    the part (0 to 1) of the number's variance that comes from it; `source` says where it is
    from."""

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
    """One number of a plan, and where it comes from.

    `formula` is in plain words and signs. `inputs` are what the formula takes, `rests_on` the
    readings, wishes and facts at the bottom of them, the weightiest first. `source` and
    `standing` (one of facts.STANDINGS) tell who says so. A whole count has the `exact` number
    before it was rounded, and its `rounding` in words; shares are then of the exact number's
    variance. `further` is the measurement that would narrow it most, `helps` the same in words;
    both None where nothing would by much.
    """

    key: str
    label: str
    value: Estimate | int
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
        return self.value if isinstance(self.value, Estimate) else Estimate(self.value, 0.0, "1")

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
