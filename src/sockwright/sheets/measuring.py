"""Sheets that need no plan: measuring and tracing feet, the swatch, the scale card."""

from __future__ import annotations

from math import floor
from typing import Any, NamedTuple

import numpy as np

from sockwright.drawing.base.scales import WIDTH_MM, Corners, check_bars_svg, ruler_svg
from sockwright.drawing.base.svg import Point
from sockwright.drawing.tracing.figures import SIZE_MM, count_figure, length_figure, width_figure
from sockwright.drawing.tracing.foot import PLAN_MM, SIDE_MM, foot_plan_svg, foot_side_svg
from sockwright.drawing.tracing.page import (
    BARS_AT,
    CARD_MM,
    CARD_SIZE_MM,
    Layout,
    TracingPage,
    card_corners,
    one_page,
    scale_board_svg,
    tracing_page_svg,
    two_sheets,
)
from sockwright.facts import fact
from sockwright.facts.feet import foot_measures
from sockwright.i18n import Message, _, locale_of, numeral
from sockwright.machine import CamNaming
from sockwright.order.model import ShoeSystem, State
from sockwright.plan.make import SockPlan
from sockwright.sheets import MARGIN_MM, SIZES, Paper
from sockwright.sheets.typeset import typeset

INCH_MM = 25.4
LAYOUTS = {
    Layout.ONE_PAGE: _("Page to trace a foot on: one page"),
    Layout.HEEL_SHEET: _("Page to trace a foot on: heel sheet"),
    Layout.TOE_SHEET: _("Page to trace a foot on: toe sheet"),
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
    render = locale_of(language).render
    drawings = {
        "side": foot_side_svg(locale_of(language)),
        "plan": foot_plan_svg(locale_of(language)),
    }
    told = [(render(one.label), render(one.meaning)) for one in foot_measures().values()]
    data = {
        "units": units,
        "measures": [
            {"name": name, "where": meaning, "short": _short(meaning)} for name, meaning in told
        ],
        "side_width": SIDE_MM[0],
        "side_height": SIDE_MM[1],
        "plan_width": PLAN_MM[0],
        "systems": [_(system.value) for system in ShoeSystem],
        "shoe_sd": _mm("measuring", "adult_shoe_sd"),
        "child_shoe_sd": _mm("measuring", "child_shoe_sd"),
        "choice": _choice(paper),
    }
    return typeset("measuring", data, drawings, paper, language)


def _mm(table: str, name: str) -> Message:
    return _("{value:g}\N{NO-BREAK SPACE}mm", value=fact(table, name).number)


def _short(meaning: str) -> str:
    """A meaning without the conditions that follow a semicolon."""
    return meaning.split(";")[0]


class LongestFeet(NamedTuple):
    """The longest foot that goes on the single page, and on the two sheets, mm."""

    one_page: float
    two_sheets: float


def free_length_mm(paper: Paper) -> LongestFeet:
    """How long a foot the tracing pages have room for."""
    one, two = (tracing_page(layout, paper) for layout in (Layout.ONE_PAGE, Layout.TOE_SHEET))
    return LongestFeet(one.end_mm, two.end_mm)


def _up_to(length_mm: float) -> Message:
    """A length that is surely no longer: "26.5 cm (10.4 in)"."""
    inches = floor(length_mm / INCH_MM * 10) / 10
    return _both(floor(length_mm) / 10, inches)


def _both(centimetres: float, inches: float) -> Message:
    """A length in both units, kept on one line by blanks that do not break."""
    return _("{cm:.1f}\u00a0cm\u00a0({inches:.1f}\u00a0in)", cm=centimetres, inches=inches)


def _choice(paper: Paper) -> dict[str, Message]:
    """Which tracing page is for which foot."""
    one, two = free_length_mm(paper)
    long = fact("sheets", "foot_length_p95_men").number
    return {
        "one": _up_to(one),
        "two": _up_to(two),
        "men": _both(long / 10, long / INCH_MM),
    }


def _tracing(paper: Paper, layouts: tuple[Layout, ...], language: str) -> bytes:
    spoken_in = locale_of(language)
    pages = [tracing_page(layout, paper) for layout in layouts]
    drawings = {
        f"page{n}": tracing_page_svg(page, spoken_in.render(LAYOUTS[page.layout]))
        for n, page in enumerate(pages)
    }
    drawings["bars"] = check_bars_svg(words=spoken_in)
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


TENTHS = 10.0
RULER_FOOT_MM = 14.0
"""The ruler ends so far above the foot of the text."""
READINGS_NAMED = 3

__all__ = ["swatch_sheet"]


def swatch_sheet(
    paper: Paper,
    plan: SockPlan | None = None,
    needles: int | None = None,
    units: str = "cm",
    language: str = "en",
) -> bytes:
    """The sheet as PDF. A plan fills in its yarn, cylinder and machine, its units, and which
    readings it needs most; else `needles` and `units` ("cm" or "in") are what is known."""
    spoken_in = locale_of(language)
    render = spoken_in.render
    drawings = {
        "counts": count_figure(render(_("Five places to count in"))),
        "widths": width_figure(render(_("Five widths of the flat tube"))),
        "lengths": length_figure(render(_("Five lengths from thread to thread"))),
        "ruler": ruler_svg(_ruler_mm(paper), render(_("Ruler in centimetres and inches"))),
        "bars": check_bars_svg(words=spoken_in),
    }
    data = {
        "rounds": _whole("swatch_rounds"),
        "measured": _whole("rounds_measured"),
        "edge": (_whole("swatch_rounds") - _whole("rounds_measured")) // 2,
        "unravelled": _whole("rounds_unravelled"),
        "rest": _whole("rest_hours"),
        "states": [_(state.value) for state in State],
        "figure_width": SIZE_MM[0],
        "ruler_width": WIDTH_MM,
        "given": _given(plan, needles),
        "units": units if plan is None else plan.units,
        "before": "" if plan is None else _tenths(plan.next_reading.best.sd_before_mm),
        "wanted": [] if plan is None else _wanted(plan),
    }
    return typeset("swatch", data, drawings, paper, language)


def _whole(name: str) -> int:
    return round(fact("sheets", name).number)


def _ruler_mm(paper: Paper) -> float:
    """As long as the sheet has room for, in whole centimetres."""
    room = SIZES[paper].height_mm - 2 * MARGIN_MM - RULER_FOOT_MM
    return room // TENTHS * TENTHS


def _given(plan: SockPlan | None, needles: int | None) -> dict[str, str]:
    """What is known before the swatch is knitted; empty where nothing is."""
    if plan is None:
        return {
            "yarn": "",
            "needles": str(needles or ""),
            "machine": "",
            "cam_word": CamNaming().word,
        }
    order, yarn = plan.order, plan.yarns["main"]
    return {
        "yarn": _("{name}, {tex:.0f} tex", name=yarn.name, tex=yarn.tex.value),
        "needles": str(plan.sizing.needles),
        "machine": order.machine.name,
        "cam_word": order.machine.cam.word,
    }


def _wanted(plan: SockPlan) -> list[dict[str, str]]:
    """What would narrow the fit in length by a tenth of a mm or more, the best first."""
    before = _tenths(plan.next_reading.best.sd_before_mm)
    gains = [gain for gain in plan.next_reading.ranking if _tenths(gain.sd_after_mm) != before]
    return [
        {"reading": gain.phrase, "after": _tenths(gain.sd_after_mm)}
        for gain in gains[:READINGS_NAMED]
    ]


def _tenths(length_mm: float) -> Message:
    return numeral(f"{length_mm:.1f}")


__all__ = ["card_corners", "card_corners_on", "scale_card"]

CARD_TOP_MM = 34.0
"""Where the drawing of the card begins on the page."""


def scale_card(paper: Paper, language: str = "en") -> bytes:
    """The page with the card to cut out, as PDF."""
    spoken_in = locale_of(language)
    drawings = {
        "card": scale_board_svg(spoken_in.render(_("Scale card: a board of markers"))),
        "bars": check_bars_svg(words=spoken_in),
    }
    data = {
        "top": CARD_TOP_MM,
        "width": CARD_SIZE_MM[0],
        "height": CARD_SIZE_MM[1],
        "bars": _bars_on(),
    }
    return typeset("scale_card", data, drawings, paper, language)


def _bars_on() -> tuple[float, float]:
    """Where the check bars stand on the drawing, mm."""
    edge = (CARD_SIZE_MM[0] - CARD_MM[0]) / 2
    return BARS_AT[0] + edge, BARS_AT[1] + edge


def card_corners_on(paper: Paper) -> dict[int, Corners]:
    """Corners of the markers, mm from the page's top left corner."""
    left = (SIZES[paper].width_mm - CARD_MM[0]) / 2
    top = CARD_TOP_MM + (CARD_SIZE_MM[1] - CARD_MM[1]) / 2
    move = np.array((left, top))
    return {marker: square + move for marker, square in card_corners().items()}
