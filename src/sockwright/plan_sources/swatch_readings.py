"""What was read on a swatch, in the words of who read it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from sockwright.measure.swatch import Kind, Observation
from sockwright.order.model import SwatchGiven
from sockwright.quantities import format_length
from sockwright.words import joined, numeral, said

Words = Callable[[SwatchGiven, str], list[str]]

STATES = {
    "on the machine": said("on the machine"),
    "rested": said("rested"),
    "washed": said("washed"),
}


def reading_words(swatch: SwatchGiven, seen: Observation, units: str) -> str:
    """The single readings behind an observation: "84 over 200 mm, 85 over 200 mm; washed"."""
    return said(
        "{readings}; {state}; ± {percent:.1f} %, the scatter from place to place with it",
        readings=joined(", ", _WORDS[seen.kind](swatch, units)),
        state=STATES[swatch.state.value],
        percent=100 * seen.sd,
    )


def _wales(swatch: SwatchGiven, units: str) -> list[str]:
    return [_over(each.number, each.span_mm, units) for each in swatch.wales]


def _courses(swatch: SwatchGiven, units: str) -> list[str]:
    return [_over(each.number, each.span_mm, units) for each in swatch.courses]


def _rounds(swatch: SwatchGiven, units: str) -> list[str]:
    return [_over(each.rounds, each.length_mm, units) for each in swatch.rounds_length]


def _flat(swatch: SwatchGiven, units: str) -> list[str]:
    return [format_length(width, units) for width in swatch.flat_widths_mm]


def _unravelled(swatch: SwatchGiven, units: str) -> list[str]:
    return [
        said(
            "{loops} loops: {length}",
            loops=numeral(f"{each.loops:g}"),
            length=format_length(each.length_mm, units),
        )
        for each in swatch.unravelled
    ]


def _weighed(swatch: SwatchGiven, units: str) -> list[str]:
    return [
        said(
            "{loops} loops: {mass} g",
            loops=numeral(f"{each.loops:g}"),
            mass=numeral(f"{each.mass_g:g}"),
        )
        for each in swatch.weighed
    ]


def _over(number: float, span_mm: float, units: str) -> str:
    return said(
        "{number} over {span}", number=numeral(f"{number:g}"), span=format_length(span_mm, units)
    )


_WORDS: Mapping[Kind, Words] = {
    Kind.WALES: _wales,
    Kind.COURSES: _courses,
    Kind.FLAT_WIDTH: _flat,
    Kind.ROUNDS_LENGTH: _rounds,
    Kind.UNRAVELLED: _unravelled,
    Kind.WEIGHED: _weighed,
}
