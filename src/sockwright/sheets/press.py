"""All sheets by name, written all or none; the sheet of the chart."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from sockwright.drawing.chart.chart import chart_svg
from sockwright.drawing.chart.pages import chart_svgs
from sockwright.errors import NotProven, SockwrightError
from sockwright.i18n import _, joined, locale_of
from sockwright.plan.data import instructions
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.plan.notes import finding_words
from sockwright.sheets import MARGIN_MM, SIZES, Paper
from sockwright.sheets.crank import crank_sheet
from sockwright.sheets.marks import marks_of_plan
from sockwright.sheets.measuring import measuring_sheet, scale_card, swatch_sheet
from sockwright.sheets.record import record_sheet
from sockwright.sheets.typeset import typeset

HEAD_MM = 78.0
"""Room the first page keeps for the title and the index of the pages."""
FOOT_MM = 4.0


def chart_sheet(plan: SockPlan, paper: Paper, language: str = "en") -> bytes:
    """The chart of one sock as a PDF; an index stands first where there are several pages."""
    size = SIZES[paper]
    room = (size.width_mm - 2 * MARGIN_MM, size.height_mm - 2 * MARGIN_MM - FOOT_MM)
    book = chart_svgs(plan, room, words=locale_of(language), head_mm=HEAD_MM)
    drawings = {f"page-{page.number}": page.svg for page in book.pages}
    drawings["index"] = book.index_svg
    data = {
        "title": _("Chart: {wearer}", wearer=plan.order.wearer.name),
        "lead": _(
            "Needles across, courses downward in the order of knitting. Every cell is one loop."
        ),
        "index": len(book.pages) > 1,
        "pages": [f"page-{page.number}" for page in book.pages],
    }
    return typeset("chart", data, drawings, paper, language)


Files = dict[str, bytes]


def _each_sock(
    name: str, sheet: Callable[[SockPlan, Paper, str, str], Files]
) -> Callable[[PairPlan, Paper, str], Files]:
    """A sheet made once, or once a foot where the feet differ."""

    def make(pair: PairPlan, paper: Paper, language: str) -> Files:
        if pair.second is None:
            return sheet(pair.first, paper, language, name)
        left, right = (sheet(sock, paper, language, f"{name}-{sock.side}") for sock in pair.socks)
        return {**left, **right}

    return make


def _crank(pair: PairPlan, paper: Paper, language: str) -> Files:
    """The sheet of a pair; of unlike feet, the first sock's, and what differs in the second."""
    first, second = pair.first, pair.second
    if second is None:
        return {"crank.pdf": crank_sheet(first, paper, language)}
    return {
        f"crank-{first.side}.pdf": crank_sheet(first, paper, language),
        f"crank-{second.side}.pdf": crank_sheet(second, paper, language, first),
    }


def _chart(plan: SockPlan, paper: Paper, language: str, name: str) -> Files:
    """The chart on pages, and in one piece as a drawing."""
    whole = chart_svg(plan, words=locale_of(language))
    return {f"{name}.pdf": chart_sheet(plan, paper, language), f"{name}.svg": whole.encode()}


SHEETS: Mapping[str, Callable[[PairPlan, Paper, str], Files]] = {
    "crank": _crank,
    "marks": lambda pair, paper, language: {
        "marks.pdf": marks_of_plan(pair.first, paper, language)
    },
    "measuring": lambda pair, paper, language: measuring_sheet(paper, pair.first.units, language),
    "scale-card": lambda _, paper, language: {"scale-card.pdf": scale_card(paper, language)},
    "swatch": lambda pair, paper, language: {
        "swatch.pdf": swatch_sheet(paper, pair.first, language=language)
    },
    "chart": _each_sock("chart", _chart),
    "record": lambda pair, paper, language: {"record.pdf": record_sheet(pair, paper, language)},
}


def print_sheets(
    pair: PairPlan,
    paper: Paper,
    only: str | None = None,
    render: Callable[[Sequence[str]], Iterable[str]] = iter,
    language: str = "en",
) -> Files:
    """File names and PDFs of every sheet, or of the one named `only`, in a language.

    `tell` is given the names of the sheets and hands them on one by one, for showing progress.
    NotProven for a plan whose dry run failed, with its reasons, SockwrightError for an unknown
    name.
    """
    for sock in pair.socks:
        if not sock.ok:
            steps = instructions(sock)
            reasons = joined("; ", (finding_words(sock, one, steps) for one in sock.dry_run.errors))
            raise NotProven(_("no sheets: the dry run found errors: {reasons}", reasons=reasons))
    if only is not None and only not in SHEETS:
        raise SockwrightError(
            _("no sheet is called {name}; there are {names}", name=only, names=tuple(SHEETS))
        )
    names = tuple(SHEETS) if only is None else (only,)
    return {
        file: pdf
        for name in render(names)
        for file, pdf in SHEETS[name](pair, paper, language).items()
    }


def write_files(files: Files, folder: Path) -> list[Path]:
    """Write `files` into `folder`, made if it is not there; every one, or none."""
    for name in files:
        if (folder / name).is_dir():
            raise SockwrightError(
                _("{path}: there is a folder here; move it away first", path=folder / name)
            )
    folder.mkdir(parents=True, exist_ok=True)
    parts = {folder / name: folder / f"{name}.part" for name in files}
    try:
        for part, content in zip(parts.values(), files.values(), strict=True):
            part.write_bytes(content)
        for path, part in parts.items():
            part.replace(path)
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)
    return list(parts)
