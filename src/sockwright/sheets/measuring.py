"""The measuring sheets: how to measure a foot, a form to fill in, and pages to trace a foot on."""

from __future__ import annotations

from math import floor
from typing import Any

from sockwright.drawing.base.scales import Corners, check_bars_svg
from sockwright.drawing.base.svg import Point
from sockwright.drawing.base.text import words_in
from sockwright.drawing.tracing.foot import PLAN_MM, SIDE_MM, foot_plan_svg, foot_side_svg
from sockwright.drawing.tracing.page import (
    Layout,
    TracingPage,
    one_page,
    tracing_page_svg,
    two_sheets,
)
from sockwright.facts import fact
from sockwright.measure.foot_values import MEASURES, spoken
from sockwright.order.model import ShoeSystem
from sockwright.order.wearer import MEASURES as KEYS
from sockwright.sheets.paper import SIZES, Paper
from sockwright.sheets.typeset import typeset
from sockwright.words import Said, said, tongue

INCH_MM = 25.4
NAMES = {name: spoken(name) for name in MEASURES}
"""What the order calls each measure, in words."""
LAYOUTS = {
    Layout.ONE_PAGE: said("Page to trace a foot on: one page"),
    Layout.HEEL_SHEET: said("Page to trace a foot on: heel sheet"),
    Layout.TOE_SHEET: said("Page to trace a foot on: toe sheet"),
}

__all__ = ["Layout", "heel_point", "marker_corners", "measuring_sheet", "tracing_page"]


def measuring_sheet(paper: Paper, units: str = "cm", language: str = "en") -> dict[str, bytes]:
    """The sheets to measure a foot with, as PDF by file name; `units` is "cm" or "in"."""
    return {
        "how-to-measure.pdf": _how_to_measure(paper, units, language),
        "tracing-page.pdf": _tracing(paper, (Layout.ONE_PAGE,), language),
        "tracing-two-sheets.pdf": _tracing(paper, (Layout.HEEL_SHEET, Layout.TOE_SHEET), language),
    }


def tracing_page(layout: Layout, paper: Paper) -> TracingPage:
    """Where everything lies on one page; the two sheets for a long foot lie on their long side."""
    size = SIZES[paper]
    if layout is Layout.ONE_PAGE:
        return one_page(size.width_mm, size.height_mm)
    heel, toe = two_sheets(size.width_mm, size.height_mm)
    return heel if layout is Layout.HEEL_SHEET else toe


def marker_corners(layout: Layout, paper: Paper) -> dict[int, Corners]:
    """Corners (4, 2) of the page's markers by number: top left, top right, bottom right, bottom
    left of each, mm from the page's top left corner, x to the right and y downward."""
    return tracing_page(layout, paper).marker_corners()


def heel_point(layout: Layout, paper: Paper) -> Point:
    """Where the back of the heel stands, mm from the page's top left corner; the axis runs
    upward from it. Of a toe sheet it lies below the page, on the heel sheet taped to it."""
    return tracing_page(layout, paper).heel


def _how_to_measure(paper: Paper, units: str, language: str) -> bytes:
    tell = tongue(language).tell
    names = {name: tell(word) for name, word in NAMES.items()}
    numbered = {name: (n, word) for n, (name, word) in enumerate(names.items(), start=1)}
    side = numbered | {"length": (1, tell(said("length"))), "ankle_bone_height": (9, "")}
    drawings = {
        "side": foot_side_svg(side, tell(said("Where to measure a foot, seen from outside"))),
        "plan": foot_plan_svg(
            numbered | {"length": (1, "")}, tell(said("Where to measure it, from above"))
        ),
    }
    meanings = {key.name: tell(key.meaning) for key in KEYS}
    data = {
        "units": units,
        "measures": [
            {"name": names[name], "where": meanings[name], "short": _short(meanings[name])}
            for name in MEASURES
        ],
        "side_width": SIDE_MM[0],
        "side_height": SIDE_MM[1],
        "plan_width": PLAN_MM[0],
        "systems": [said(system.value) for system in ShoeSystem],
        "shoe_sd": _mm("measuring", "adult_shoe_sd"),
        "child_shoe_sd": _mm("measuring", "child_shoe_sd"),
        "choice": _choice(paper),
    }
    return typeset("measuring", data, drawings, paper, language)


def _mm(table: str, name: str) -> Said:
    return said("{value:g}\N{NO-BREAK SPACE}mm", value=fact(table, name).number)


def _short(meaning: str) -> str:
    """A meaning without the conditions that follow a semicolon."""
    return meaning.split(";")[0]


def free_length_mm(paper: Paper) -> tuple[float, float]:
    """The longest foot that goes on the single page, and on the two sheets."""
    one, two = (tracing_page(layout, paper) for layout in (Layout.ONE_PAGE, Layout.TOE_SHEET))
    return one.end_mm, two.end_mm


def _up_to(length_mm: float) -> Said:
    """A length that is surely no longer: "26.5 cm (10.4 in)"."""
    inches = floor(length_mm / INCH_MM * 10) / 10
    return _both(floor(length_mm) / 10, inches)


def _both(centimetres: float, inches: float) -> Said:
    """A length in both units, kept on one line by blanks that do not break."""
    return said("{cm:.1f}\u00a0cm\u00a0({inches:.1f}\u00a0in)", cm=centimetres, inches=inches)


def _choice(paper: Paper) -> dict[str, Said]:
    """Which tracing page is for which foot."""
    one, two = free_length_mm(paper)
    long = fact("sheets", "foot_length_p95_men").number
    return {
        "one": _up_to(one),
        "two": _up_to(two),
        "men": _both(long / 10, long / INCH_MM),
    }


def _tracing(paper: Paper, layouts: tuple[Layout, ...], language: str) -> bytes:
    spoken_in = tongue(language)
    pages = [tracing_page(layout, paper) for layout in layouts]
    drawings = {
        f"page{n}": tracing_page_svg(page, spoken_in.tell(LAYOUTS[page.layout]))
        for n, page in enumerate(pages)
    }
    drawings["bars"] = check_bars_svg(words=words_in(spoken_in))
    data = {"pages": [_page_data(page) for page in pages], "choice": _choice(paper)}
    return typeset("tracing", data, drawings, paper, language)


def _page_data(page: TracingPage) -> dict[str, Any]:
    """Where a page's words may stand: the columns beside the foot, between the markers."""
    corners = page.marker_corners().values()
    tops = sorted({float(square[0, 1]) for square in corners})
    left, right = page.strip
    size = next(iter(corners))
    return {
        "layout": page.layout.value,
        "width": page.width_mm,
        "height": page.height_mm,
        "left": float(size[0, 0]),
        "inner_left": left,
        "inner_right": right,
        "top": tops[0] + float(size[2, 1] - size[0, 1]),
        "bottom": tops[-1],
        "joint": page.top,
        "cut": page.bottom,
    }
