"""The files of the sheets are predicted as they are made, and made a few at a time."""

from __future__ import annotations

import io
import threading
import zipfile
from dataclasses import replace

import pytest

from orders import FOOT, order
from sockwright.errors import SockwrightError
from sockwright.plan.make import PairPlan, make_plan
from sockwright.sheets import Paper
from sockwright.sheets.press import SHEETS, print_sheets
from sockwright.store.items import Busy
from sockwright.workshop.printing import PAPERS, Press, sheet_files, zipped


@pytest.fixture(scope="module")
def plan() -> PairPlan:
    return make_plan(order(60))


@pytest.fixture(scope="module")
def two_feet() -> PairPlan:
    made = make_plan(order(60, right=replace(FOOT, length_mm=FOOT.length_mm + 20)))
    assert made.second is not None
    return made


@pytest.mark.parametrize("which", ["plan", "two_feet"])
def test_the_files_predicted_are_the_files_made(which: str, request: pytest.FixtureRequest) -> None:
    plan = request.getfixturevalue(which)
    predicted = sheet_files(plan)
    assert sorted(one.file for one in predicted) == sorted(print_sheets(plan, Paper.A4))
    assert {one.sheet for one in predicted} == set(SHEETS)
    for one in predicted[:3]:
        assert one.file in Press().print_plan(plan, "a4", one.sheet)
    assert len({one.words for one in predicted}) == len(predicted)


@pytest.mark.parametrize(
    ("length_mm", "paper", "file"),
    [
        (245.0, "a4", "tracing-page.pdf"),
        (275.0, "a4", "tracing-two-sheets.pdf"),
        (262.0, "a4", "tracing-page.pdf"),
        (262.0, "letter", "tracing-two-sheets.pdf"),
    ],
)
def test_the_tracing_page_for_this_foot_is_named(length_mm: float, paper: str, file: str) -> None:
    """A Letter page is 18 mm shorter than A4; the longer foot decides."""
    foot = replace(FOOT, length_mm=length_mm)
    for asked in (order(60, foot=foot), order(60, right=replace(foot, length_mm=length_mm))):
        named = [
            one.file
            for one in sheet_files(make_plan(asked), paper)
            if one.words.endswith(": for this foot")
        ]
        assert named == [file]


def test_papers_go_by_the_names_the_sheets_know() -> None:
    assert tuple(Paper) == PAPERS


@pytest.mark.parametrize(("paper", "only"), [("a3", None), ("a4", "map")])
def test_an_unknown_paper_or_sheet_is_refused_and_gives_its_turn_back(
    plan: PairPlan, paper: str, only: str | None
) -> None:
    press = Press(at_once=1, longest_wait_s=0)
    for _ in range(2):
        with pytest.raises(SockwrightError):
            press.print_plan(plan, paper, only)
    assert press.print_plan(plan, "a4", "scale-card").keys() == {"scale-card.pdf"}


def test_who_waits_too_long_is_told_so(plan: PairPlan, monkeypatch: pytest.MonkeyPatch) -> None:
    press = Press(at_once=1, longest_wait_s=0.01)
    begun, go_on = threading.Event(), threading.Event()

    def slow(*_: object, **__: object) -> dict[str, bytes]:
        begun.set()
        assert go_on.wait(10)
        return {}

    monkeypatch.setattr("sockwright.sheets.press.print_sheets", slow)
    first = threading.Thread(target=press.print_plan, args=(plan, "a4"))
    first.start()
    try:
        assert begun.wait(10)
        with pytest.raises(Busy):
            press.print_plan(plan, "a4")
    finally:
        go_on.set()
        first.join(10)
    assert press.print_plan(plan, "a4") == {}


def test_an_archive_of_the_same_files_has_the_same_bytes() -> None:
    files = {"crank.pdf": b"%PDF" * 100, "chart.svg": b"<svg/>"}
    data = zipped(files)
    assert data == zipped(dict(files))
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert {name: archive.read(name) for name in archive.namelist()} == files
