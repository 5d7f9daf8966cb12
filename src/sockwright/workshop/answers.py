"""What the workshop answers: what was asked for, or why not, as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sockwright.errors import CannotMake, Problem
from sockwright.order.model import Order
from sockwright.plan.make import PairPlan, SockPlan


@dataclass(frozen=True)
class Problems:
    """All that is wrong with what was given; nothing was written."""

    problems: tuple[Problem, ...]

    def __str__(self) -> str:
        return "\n".join(map(str, self.problems))


@dataclass(frozen=True)
class Choice:
    """What is chosen for a pair of socks, by id.

    `yarns` has the yarn of each role, "main" at least. `needles` None leaves the cylinder to the
    design. `what_if` has keys of [sock] that hold instead of the design's. An empty `title` lets
    the order name itself.
    """

    person: str
    machine: str
    yarns: Mapping[str, str]
    design: str | None = None
    swatches: tuple[str, ...] = ()
    needles: int | None = None
    title: str = ""
    units: str = "cm"
    what_if: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Written:
    """The order of a choice as TOML, not yet read, and what to know about what was chosen."""

    toml: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Composed:
    """The order of a choice, the same as TOML, and what to know about what was chosen."""

    order: Order
    toml: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Planned:
    """The plans of a choice."""

    composed: Composed
    pair: PairPlan


@dataclass(frozen=True)
class PlannedSock:
    """The plan that one sock of a pair is knitted by, or was."""

    composed: Composed
    plan: SockPlan


@dataclass(frozen=True)
class Refused:
    """A choice that makes an order, but no sock: the reason, with the nearest that would."""

    composed: Composed
    refusal: CannotMake
