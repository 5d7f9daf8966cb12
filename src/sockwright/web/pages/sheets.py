"""Sheets that need no plan: how to knit and measure a swatch, with blanks to write in."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.web.context import AVisit
from sockwright.web.printing import file_answer, paper_of
from sockwright.words.said import said

router = APIRouter(prefix="/sheets")


@router.get("/swatch.pdf")
def swatch(visit: AVisit) -> Response:
    """The swatch sheet with blanks for yarn, machine and needles."""
    liked = visit.preferences
    content = visit.shop.print_swatch_form(paper_of(visit), liked.units, liked.language)
    return file_answer(content, visit.tongue.tell(said("Swatch")), "sheet.pdf", inline=True)
