"""The sheets of a plan: which there are, what each is for, and printing them a few at a time."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from threading import BoundedSemaphore
from typing import TYPE_CHECKING

from sockwright.errors import SockwrightError
from sockwright.i18n import _
from sockwright.store.items import Busy

if TYPE_CHECKING:
    from sockwright.plan.make import PairPlan

PAPERS = ("a4", "letter")

AT_ONCE = 2
"""Sheets that are set at the same time: each takes a whole processor."""

LONGEST_WAIT_S = 20.0


@dataclass(frozen=True)
class SheetFile:
    """A file of a plan's sheets: its name, the sheet it belongs to, what it is for."""

    file: str
    sheet: str
    words: str


_EVERY = (
    SheetFile("crank.pdf", "crank", _("Crank program: every step, with a box to tick")),
    SheetFile("marks.pdf", "marks", _("Strip and ring to mark the cylinder by")),
    SheetFile("chart.pdf", "chart", _("Chart of every loop, over several pages")),
    SheetFile("chart.svg", "chart", _("Chart of every loop, in one piece (SVG)")),
    SheetFile("record.pdf", "record", _("Record: planned and finished measures side by side")),
    SheetFile("swatch.pdf", "swatch", _("How to knit and measure a swatch, with a form")),
    SheetFile("how-to-measure.pdf", "measuring", _("How to measure a foot, with a form")),
    SheetFile("tracing-page.pdf", "measuring", _("Page to trace a foot on")),
    SheetFile("tracing-two-sheets.pdf", "measuring", _("Two sheets to trace a long foot on")),
    SheetFile("scale-card.pdf", "scale-card", _("Scale card to photograph beside a swatch")),
)
"""All files in the order they are used, the sock's own first."""

_ONE_A_FOOT = ("crank", "chart")
_FEET = {"left": _("left foot"), "right": _("right foot")}


def sheet_files(pair: PairPlan, paper: str = PAPERS[0]) -> tuple[SheetFile, ...]:
    """The files that a plan's sheets make, without making them; of the pages to trace a foot on,
    the words say which is for the longer foot on this `paper`."""
    tracing = _tracing_for(pair, paper)
    return tuple(
        replace(one, words=_("{sheet}: for this foot", sheet=one.words))
        if one.file == tracing
        else one
        for one in _files(pair)
    )


def _tracing_for(pair: PairPlan, paper: str) -> str:
    """The file of the tracing page on which the longer foot has room, "" where none has."""
    from sockwright.sheets import Paper
    from sockwright.sheets.measuring import free_length_mm

    longest = max(sock.foot.length.estimate.value for sock in pair.socks)
    one, two = free_length_mm(Paper(paper))
    if longest > two:
        return ""
    return "tracing-page.pdf" if longest <= one else "tracing-two-sheets.pdf"


def _files(pair: PairPlan) -> Iterator[SheetFile]:
    for one in _EVERY:
        if pair.second is None or one.sheet not in _ONE_A_FOOT:
            yield one
            continue
        stem, __, kind = one.file.partition(".")
        for sock in pair.socks:
            words = _("{sheet}, {foot}", sheet=one.words, foot=_FEET[sock.side])
            yield SheetFile(f"{stem}-{sock.side}.{kind}", one.sheet, words)


class Press:
    """Sets sheets, AT_ONCE at a time; who waits too long is told so."""

    def __init__(self, at_once: int = AT_ONCE, longest_wait_s: float = LONGEST_WAIT_S) -> None:
        self._turns = BoundedSemaphore(at_once)
        self._longest_wait_s = longest_wait_s

    def print_plan(
        self, pair: PairPlan, paper: str, only: str | None = None, language: str = "en"
    ) -> dict[str, bytes]:
        """File names and contents of all sheets, or of the one named `only`.

        NotProven for a plan whose dry run failed, SockwrightError for an unknown sheet or paper,
        Busy where many others are printing.
        """
        from sockwright.sheets import Paper
        from sockwright.sheets.press import print_sheets

        with self._turn(paper):
            return print_sheets(pair, Paper(paper), only, language=language)

    def print_swatch_form(self, paper: str, units: str, language: str = "en") -> bytes:
        """The swatch sheet of no plan, as PDF; Busy where many others are printing."""
        from sockwright.sheets import Paper
        from sockwright.sheets.measuring import swatch_sheet

        with self._turn(paper):
            return swatch_sheet(Paper(paper), units=units, language=language)

    @contextmanager
    def _turn(self, paper: str) -> Iterator[None]:
        """One of the turns at the press, for a paper that there is."""
        if paper not in PAPERS:
            raise SockwrightError(_("no paper is called {name}; {all} are", name=paper, all=PAPERS))
        if not self._turns.acquire(timeout=self._longest_wait_s):
            raise Busy(_("many sheets are being printed; try again in a moment"))
        try:
            yield
        finally:
            self._turns.release()


def zipped(files: Mapping[str, bytes]) -> bytes:
    """The files as one ZIP archive: of the same files the same bytes."""
    result = io.BytesIO()
    with zipfile.ZipFile(result, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name)  # dated 1980-01-01, as every archive of ours
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, content)
    return result.getvalue()
