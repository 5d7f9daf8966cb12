"""The chart sheet: every loop of the sock in its place, over as many pages as it needs."""

from __future__ import annotations

from sockwright.drawing.base.text import words_in
from sockwright.drawing.chart.pages import chart_svgs
from sockwright.plan import Plan
from sockwright.sheets.paper import MARGIN_MM, SIZES, Paper
from sockwright.sheets.phrases import sheet_phrases
from sockwright.sheets.typeset import typeset
from sockwright.words import tongue

HEAD_MM = 78.0
"""Room the first page keeps for the title and the index of the pages."""
FOOT_MM = 4.0


def chart_sheet(plan: Plan, paper: Paper, language: str = "en") -> bytes:
    """The chart of one sock as a PDF; an index stands first where there are several pages."""
    size = SIZES[paper]
    room = (size.width_mm - 2 * MARGIN_MM, size.height_mm - 2 * MARGIN_MM - FOOT_MM)
    say = sheet_phrases(language).say
    book = chart_svgs(plan, room, words=words_in(tongue(language)), head_mm=HEAD_MM)
    drawings = {f"page-{page.number}": page.svg for page in book.pages}
    drawings["index"] = book.index_svg
    data = {
        "title": say("chart.title", wearer=plan.order.wearer.name),
        "lead": say("chart.lead"),
        "index": len(book.pages) > 1,
        "pages": [f"page-{page.number}" for page in book.pages],
    }
    return typeset("chart", data, drawings, paper, language)
