"""What swatches tell, as lines of a table: for pages and for their data alike."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sockwright.web.formats import Formats
from sockwright.workshop.gauge_memory import Remembered


@dataclass(frozen=True)
class GaugeLine:
    """What one swatch tells, with its numbers as they are printed; `cam` and `date` may be ""."""

    of: Remembered
    cam: str
    date: str
    wales: str
    courses: str
    loop: str


def gauge_lines(found: Iterable[Remembered], formats: Formats) -> list[GaugeLine]:
    """A line for each swatch."""
    return [
        GaugeLine(
            of=one,
            cam="" if one.cam is None else formats.sign(f"{one.cam:g}"),
            date=formats.date(one.date) if one.date else "",
            wales=formats.gauge(one.wale),
            courses=formats.gauge(one.course),
            loop=formats.small_length(one.loop),
        )
        for one in found
    ]
