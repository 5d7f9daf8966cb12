"""Printed sheets: templates, the drawings and numbers they place, and the papers they are for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Paper(StrEnum):
    """A paper by its common name."""

    A4 = "a4"
    LETTER = "letter"


@dataclass(frozen=True)
class PageSize:
    """Width and height of an upright page, mm (A4: ISO 216; Letter: 8 1/2 by 11 in)."""

    width_mm: float
    height_mm: float


SIZES = {Paper.A4: PageSize(210.0, 297.0), Paper.LETTER: PageSize(215.9, 279.4)}
MARGIN_MM = 12.0
"""White edge on every side; most printers need less than half of it."""
