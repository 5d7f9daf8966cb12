"""All the sheets of an order by their names, and writing them: every file, or none."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from sockwright.drawing.chart import chart_svg
from sockwright.errors import NotProven, SockwrightError
from sockwright.plan import Plan
from sockwright.plan_data import instructions
from sockwright.plan_notes import finding_words
from sockwright.sheets.chart import chart_sheet
from sockwright.sheets.crank import crank_sheet
from sockwright.sheets.marks import marks_of_plan
from sockwright.sheets.measuring import measuring_sheet
from sockwright.sheets.paper import Paper
from sockwright.sheets.record import record_sheet
from sockwright.sheets.scale_card import scale_card
from sockwright.sheets.swatch_sheet import swatch_sheet

Files = dict[str, bytes]


def _each_sock(
    name: str, sheet: Callable[[Plan, Paper, str], Files]
) -> Callable[[Plan, Paper], Files]:
    """A sheet made once, or once a foot where the feet differ."""

    def make(plan: Plan, paper: Paper) -> Files:
        if plan.second is None:
            return sheet(plan, paper, name)
        left, right = (sheet(sock, paper, f"{name}-{sock.side}") for sock in (plan, plan.second))
        return {**left, **right}

    return make


def _crank(plan: Plan, paper: Paper, name: str) -> Files:
    return {f"{name}.pdf": crank_sheet(plan, paper)}


def _chart(plan: Plan, paper: Paper, name: str) -> Files:
    """The chart on pages, and in one piece as a drawing."""
    return {f"{name}.pdf": chart_sheet(plan, paper), f"{name}.svg": chart_svg(plan).encode()}


SHEETS: Mapping[str, Callable[[Plan, Paper], Files]] = {
    "crank": _each_sock("crank", _crank),
    "marks": lambda plan, paper: {"marks.pdf": marks_of_plan(plan, paper)},
    "measuring": lambda plan, paper: measuring_sheet(paper, plan.order.units),
    "scale-card": lambda _, paper: {"scale-card.pdf": scale_card(paper)},
    "swatch": lambda plan, paper: {"swatch.pdf": swatch_sheet(paper, plan)},
    "chart": _each_sock("chart", _chart),
    "record": lambda plan, paper: {"record.pdf": record_sheet(plan, paper)},
}


def print_sheets(
    plan: Plan,
    paper: Paper,
    only: str | None = None,
    tell: Callable[[Sequence[str]], Iterable[str]] = iter,
) -> Files:
    """File names and PDFs of every sheet, or of the one named `only`.

    `tell` is given the names of the sheets and hands them on one by one, for showing progress.
    NotProven for a plan whose dry run failed, with its reasons, SockwrightError for an unknown
    name.
    """
    for sock in (plan, plan.second):
        if sock is not None and not sock.dry_run.ok:
            steps = instructions(sock)
            reasons = [finding_words(sock, one, steps) for one in sock.dry_run.errors]
            raise NotProven(f"no sheets: the dry run found errors: {'; '.join(reasons)}")
    if only is not None and only not in SHEETS:
        raise SockwrightError(f"no sheet is called {only}; there are {', '.join(SHEETS)}")
    names = tuple(SHEETS) if only is None else (only,)
    return {file: pdf for name in tell(names) for file, pdf in SHEETS[name](plan, paper).items()}


def write_files(files: Files, folder: Path) -> list[Path]:
    """Write `files` into `folder`, made if it is not there; every one, or none."""
    for name in files:
        if (folder / name).is_dir():
            raise SockwrightError(f"{folder / name}: a folder stands here; move it away first")
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
