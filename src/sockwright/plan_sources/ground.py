"""What the numbers of a fabric rest on: yarns, swatches, wishes; of a plan or of one swatch."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from sockwright.measure.yarn import Yarn
from sockwright.order.model import Order


class Ground(Protocol):
    """An order and its yarns by role, "main" at least."""

    @property
    def order(self) -> Order:
        """What was given and wished for."""

    @property
    def yarns(self) -> Mapping[str, Yarn]:
        """The yarns by role."""
