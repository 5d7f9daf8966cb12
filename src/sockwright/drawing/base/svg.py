"""Writing SVG: elements, numbers and whole documents measured in mm.

Only presentation attributes are written: no style sheets, scripts, ids or references, so that a
document reads the same in a browser, in print and inside another document.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sockwright.drawing.base.theme import Theme

DIGITS = 3
"""Coordinates are written to 0.001 mm."""
FONT = "Atkinson Hyperlegible Next, sans-serif"
NEW_LINE = "\n"

Point = tuple[float, float]
"""x to the right and y downward, mm."""
Value = str | float | None
"""An attribute's value; None leaves the attribute out."""


def number(value: float) -> str:
    """A coordinate to 0.001 mm, as short as it can be written."""
    text = f"{value:.{DIGITS}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def escape(text: str) -> str:
    """Text for use between tags or in an attribute."""
    for sign, entity in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        text = text.replace(sign, entity)
    return text


def element(name: str, *children: str, **attributes: Value) -> str:
    """One element; underscores in attribute names stand for hyphens (`stroke_width`)."""
    head = name + "".join(
        f' {key.replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    if not children:
        return f"<{head}/>"
    return f"<{head}>{''.join(children)}</{name}>"


def _value(value: str | float) -> str:
    return escape(value) if isinstance(value, str) else number(value)


def group(children: Iterable[str], **attributes: Value) -> str:
    """Elements with common attributes; nothing where there are none."""
    inside = NEW_LINE.join(child for child in children if child)
    return element("g", f"\n{inside}\n", **attributes) if inside else ""


def line(a: Point, b: Point, **attributes: Value) -> str:
    """A straight line."""
    return element("line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], **attributes)


def circle(centre: Point, radius: float, **attributes: Value) -> str:
    """A circle."""
    return element("circle", cx=centre[0], cy=centre[1], r=radius, **attributes)


def rectangle(corner: Point, width: float, height: float, **attributes: Value) -> str:
    """An upright rectangle from its top left corner."""
    return element("rect", x=corner[0], y=corner[1], width=width, height=height, **attributes)


def path(data: str, **attributes: Value) -> str:
    """A path from its `d` data."""
    return element("path", d=data, **attributes)


def polygon_data(points: Iterable[Point]) -> str:
    """Path data of a closed outline through `points`."""
    return polyline_data(points) + "z"


def polyline_data(points: Iterable[Point]) -> str:
    """Path data of an open line through `points`."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def segments_data(segments: Iterable[Sequence[Point]]) -> str:
    """Path data of single straight lines."""
    return "".join(polyline_data(ends) for ends in segments)


def write(
    at: Point,
    words: str,
    size_mm: float,
    *,
    anchor: str = "start",
    bold: bool = False,
    turn_degrees: float = 0.0,
    **attributes: Value,
) -> str:
    """One line of text of `size_mm`, its baseline at `at`, turned about `at`."""
    turn = f"rotate({number(turn_degrees)} {number(at[0])} {number(at[1])})"
    return element(
        "text",
        escape(words),
        x=at[0],
        y=at[1],
        font_size=size_mm,
        text_anchor=None if anchor == "start" else anchor,
        font_weight="700" if bold else None,
        transform=turn if turn_degrees else None,
        **attributes,
    )


def document(
    width_mm: float,
    height_mm: float,
    title: str,
    description: str,
    body: Iterable[str],
    theme: Theme,
) -> str:
    """A complete SVG document of the given size, on the theme's paper, one user unit a mm."""
    size = f"{number(width_mm)} {number(height_mm)}"
    paper = rectangle((0, 0), width_mm, height_mm, fill=theme.paper)
    inside = (
        element("title", escape(title)),
        element("desc", escape(description)),
        paper,
        *(part for part in body if part),
    )
    head = element(
        "svg",
        NEW_LINE + NEW_LINE.join(inside) + NEW_LINE,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{number(width_mm)}mm",
        height=f"{number(height_mm)}mm",
        viewBox=f"0 0 {size}",
        role="img",
        font_family=FONT,
        fill=theme.ink,
    )
    return head + NEW_LINE
