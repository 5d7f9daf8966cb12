"""Reading drawings back: SVG parsed to places in mm, for tests of the drawing room."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from sockwright.drawing.base.theme import CAP_HEIGHT, text_width
from sockwright.order.file import load_order
from sockwright.plan.make import SockPlan, make_plan

EXAMPLES = Path(__file__).parents[1] / "examples"
NAMES = ("winch-operator", "cooks-son", "night-dispatcher", "avalanche-forecaster")
SPACE = "{http://www.w3.org/2000/svg}"
NUMBER = r"-?\d+(?:\.\d+)?"

WIDEST_EM = 0.66
"""Width of a figure in the widest digit of the font the drawings name, as a share of its size."""


@cache
def example_plan(name: str) -> SockPlan:
    """The plan of an example order."""
    return make_plan(load_order(EXAMPLES / f"{name}.toml")).first


@dataclass(frozen=True)
class Placed:
    """An element with the sum of the translations it stands under, mm."""

    element: ET.Element
    dx: float
    dy: float

    def number(self, name: str) -> float:
        """One attribute as a number."""
        return float(self.element.attrib[name])

    @property
    def at(self) -> tuple[float, float]:
        """Where a text or rectangle stands."""
        return self.number("x") + self.dx, self.number("y") + self.dy


def root_of(svg: str) -> ET.Element:
    """The parsed document."""
    return ET.fromstring(svg)


def size_mm(svg: str) -> tuple[float, float]:
    """Width and height of a document, after checking that a user unit is a millimetre."""
    root = root_of(svg)
    width, height = (float(root.attrib[name].removesuffix("mm")) for name in ("width", "height"))
    assert [float(part) for part in root.attrib["viewBox"].split()] == [0, 0, width, height]
    return width, height


def placed(svg: str, tag: str) -> list[Placed]:
    """All elements of a kind, in order, with their translations."""
    return [one for one in _walk(root_of(svg), 0.0, 0.0) if one.element.tag == SPACE + tag]


def _walk(element: ET.Element, dx: float, dy: float) -> Iterator[Placed]:
    move = re.match(rf"translate\(({NUMBER}) ({NUMBER})\)", element.get("transform", ""))
    if move:
        dx, dy = dx + float(move[1]), dy + float(move[2])
    yield Placed(element, dx, dy)
    for child in element:
        yield from _walk(child, dx, dy)


def path_points(one: Placed) -> list[tuple[float, float]]:
    """The points of a path drawn with absolute M and L only."""
    pairs = re.findall(rf"[ML]({NUMBER}) ({NUMBER})", one.element.attrib["d"])
    return [(float(x) + one.dx, float(y) + one.dy) for x, y in pairs]


def texts(svg: str) -> list[str]:
    """Every text of a document."""
    return ["".join(one.element.itertext()) for one in placed(svg, "text")]


@dataclass(frozen=True)
class TextBox:
    """An upright text and the box it fills, mm."""

    words: str
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: TextBox) -> bool:
        """Whether two boxes share some area."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


def number_boxes(svg: str) -> list[TextBox]:
    """Boxes of all upright texts that are numbers, from the width of the widest figure."""
    boxes = []
    for one in placed(svg, "text"):
        words = "".join(one.element.itertext())
        if not words.isdigit() or "transform" in one.element.attrib:
            continue
        size = one.number("font-size")
        wide = WIDEST_EM * size * len(words)
        x, y = one.at
        anchor = one.element.get("text-anchor", "start")
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        boxes.append(TextBox(words, left, y - 0.67 * size, left + wide, y))
    return boxes


def text_boxes(svg: str) -> list[TextBox]:
    """Boxes of all upright texts, by the widths of the shipped faces."""
    boxes = []
    for one in placed(svg, "text"):
        words, size = "".join(one.element.itertext()), one.number("font-size")
        wide = text_width(words, size, bold=one.element.get("font-weight") == "700")
        x, y = one.at
        anchor = one.element.get("text-anchor", "start")
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        boxes.append(TextBox(words, left, y - CAP_HEIGHT * size, left + wide, y))
    return boxes


def overlapping(boxes: list[TextBox]) -> list[tuple[str, str]]:
    """The pairs of texts whose boxes share area."""
    return [
        (a.words, b.words) for n, a in enumerate(boxes) for b in boxes[n + 1 :] if a.overlaps(b)
    ]
