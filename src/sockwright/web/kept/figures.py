"""Drawings beside the forms of kept things: where a foot is measured, and a machine's cylinder."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from sockwright.drawing.base.places import place_marks, usual_limits
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.cylinder.picture import cylinder_svg
from sockwright.drawing.cylinder.view import CylinderView, Needle
from sockwright.drawing.tracing.foot import foot_plan_svg, foot_side_svg
from sockwright.facts.feet import foot_measures
from sockwright.grammar.declare import Place, Value
from sockwright.machine import Machine, home_hour
from sockwright.order.machine_part import MACHINE
from sockwright.sock.cup import default_kept
from sockwright.steps import Way
from sockwright.store.items import ItemKind
from sockwright.web.forms.labels import places, without_numbers
from sockwright.words.tongue import Tongue

CYLINDER_MM = 130.0

FOOT_NUMBERS = {name: one.number for name, one in foot_measures().items()}
"""The number of each measure in the drawings of a foot."""


def foot_drawings(tongue: Tongue) -> tuple[str, str]:
    """Where to measure a foot, from outside and from above, each measure with its number."""
    return foot_side_svg(tongue, Theme.PAGE), foot_plan_svg(tongue, Theme.PAGE)


def read_machine(document: Mapping[str, Any]) -> Machine | None:
    """The machine of a kept document; None for one that no longer reads."""
    problems: list[Any] = []
    machine = MACHINE.read(document, Place("", problems))
    return machine if isinstance(machine, Machine) and not problems else None


def machine_drawing(
    machine: Machine, needles: int, tongue: Tongue, theme: Theme = Theme.PAGE
) -> str:
    """A cylinder of a machine at rest, with the marks that usual socks need."""
    limits = usual_limits(needles, default_kept(needles // 2)) if needles % 2 == 0 else ()
    view = CylinderView(
        states=(Needle.WORKING,) * needles,
        heel_needles=needles // 2,
        gap=0,
        way=Way.FORWARD,
        turning=machine.turns,
        forward=machine.forward,
        home_hour=home_hour(machine),
        marks=place_marks(machine, needles, limits),
        landmarks=machine.landmarks,
    )
    return cylinder_svg(view, CYLINDER_MM, theme, tongue)


def understood(
    kind: ItemKind, pairs: Iterable[tuple[str, str]], tongue: Tongue
) -> list[tuple[str, str]]:
    """The texts of a form, names that are known here as the order file has them."""
    return [(path, _name(text, _known(kind, path), tongue)) for path, text in pairs]


def _known(kind: ItemKind, path: str) -> tuple[str, ...]:
    """The names that the field at a path knows."""
    found = places(kind).get(without_numbers(path))
    return found.kind.known if found and isinstance(found.kind, Value) else ()


def _name(text: str, known: tuple[str, ...], tongue: Tongue) -> str:
    told = {tongue.tell(name): name for name in reversed(known)}
    if text.strip() in told:
        return told[text.strip()]
    typed = text.strip().casefold()
    if typed in known:
        return text
    return next((name for name in known if tongue.tell(name).casefold() == typed), text)
