"""The swatch sheet: how to knit, rest, wash and measure a tube, and a form for the readings."""

from __future__ import annotations

from sockwright.drawing.base.scales import WIDTH_MM, check_bars_svg, ruler_svg
from sockwright.drawing.base.text import words_in
from sockwright.drawing.tracing.figures import SIZE_MM, count_figure, length_figure, width_figure
from sockwright.facts import fact
from sockwright.machine.model import CamNaming
from sockwright.order.model import State
from sockwright.plan import Plan
from sockwright.sheets.paper import MARGIN_MM, SIZES, Paper
from sockwright.sheets.typeset import typeset
from sockwright.words import Said, numeral, said, tongue

TENTHS = 10.0
RULER_FOOT_MM = 14.0
"""The ruler ends so far above the foot of the text."""
READINGS_NAMED = 3

__all__ = ["swatch_sheet"]


def swatch_sheet(
    paper: Paper,
    plan: Plan | None = None,
    needles: int | None = None,
    units: str = "cm",
    language: str = "en",
) -> bytes:
    """The sheet as PDF. A plan fills in its yarn, cylinder and machine, its units, and which
    readings it needs most; else `needles` and `units` ("cm" or "in") are what is known."""
    spoken_in = tongue(language)
    tell = spoken_in.tell
    drawings = {
        "counts": count_figure(tell(said("Five places to count in"))),
        "widths": width_figure(tell(said("Five widths of the flat tube"))),
        "lengths": length_figure(tell(said("Five lengths from thread to thread"))),
        "ruler": ruler_svg(_ruler_mm(paper), tell(said("Ruler in centimetres and inches"))),
        "bars": check_bars_svg(words=words_in(spoken_in)),
    }
    data = {
        "rounds": _whole("swatch_rounds"),
        "measured": _whole("rounds_measured"),
        "edge": (_whole("swatch_rounds") - _whole("rounds_measured")) // 2,
        "unravelled": _whole("rounds_unravelled"),
        "rest": _whole("rest_hours"),
        "states": [said(state.value) for state in State],
        "figure_width": SIZE_MM[0],
        "ruler_width": WIDTH_MM,
        "given": _given(plan, needles),
        "units": units if plan is None else plan.order.units,
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


def _given(plan: Plan | None, needles: int | None) -> dict[str, str]:
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
        "yarn": said("{name}, {tex:.0f} tex", name=yarn.name, tex=yarn.tex.value),
        "needles": str(plan.sizing.needles),
        "machine": order.machine.name,
        "cam_word": order.machine.cam.word,
    }


def _wanted(plan: Plan) -> list[dict[str, str]]:
    """What would narrow the fit in length by a tenth of a mm or more, the best first."""
    before = _tenths(plan.next_reading.best.sd_before_mm)
    gains = [gain for gain in plan.next_reading.ranking if _tenths(gain.sd_after_mm) != before]
    return [
        {"reading": gain.phrase, "after": _tenths(gain.sd_after_mm)}
        for gain in gains[:READINGS_NAMED]
    ]


def _tenths(length_mm: float) -> Said:
    return numeral(f"{length_mm:.1f}")
