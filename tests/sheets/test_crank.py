"""The crank sheet: all steps, all boxes, nothing outside the page, on both papers."""

from __future__ import annotations

import io
import re
from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from pypdf import PdfReader

from orders import order
from sheets.conftest import COUNTS
from sheets.layout import Page, pages, text_faults, text_of
from sheets.pairs import LONG, NAMES, crank, one_paper_each, pair
from sockwright.i18n import ENGLISH
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan, make_plan
from sockwright.plan.notes import look_again
from sockwright.sheets import SIZES, Paper
from sockwright.sheets.crank import crank_sheet
from sockwright.wording.instructions import Instruction
from sockwright.wording.printed import Block, Rows
from sockwright.wording.printed import printed as parts_of

PAPERS = list(Paper)
STEP_BOX_MM, ROW_BOX_MM, TOOL_BOX_MM = 4.2, 3.4, 3.6


def bare(text: str) -> str:
    """A text without white space and hyphens, which lines begin and end with as they like."""
    return re.sub("[\\s\u00ad\u200b-]", "", text)


def blocks_of(plan: SockPlan) -> list[Block]:
    return [block for part in parts_of(instructions(plan)) for block in part.blocks]


@pytest.mark.parametrize(("name", "paper"), one_paper_each(NAMES))
def test_every_step_stands_on_the_sheet(name: str, paper: Paper) -> None:
    """Each by itself, by what it is like, or as a line of a table."""
    text = bare(text_of(crank(name, paper)))
    for block in blocks_of(pair(name).first):
        if isinstance(block, Instruction):
            lines = block.brief.split("\n")
        elif isinstance(block, Rows):
            tables = (half.table(ENGLISH)[1] for half in block.halves)
            lines = ["".join(cells) for table in tables for cells in table]
            lines += block.lines(ENGLISH)
        else:
            lines = list(block.lines(ENGLISH))
        for line in lines:
            assert bare(line) in text, line


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_pages_have_the_papers_size_and_words_stay_apart_inside(name: str, paper: Paper) -> None:
    pdf = crank(name, paper)
    for page in pages(pdf):
        assert page.width == pytest.approx(SIZES[paper].width_mm, abs=0.05)
        assert page.height == pytest.approx(SIZES[paper].height_mm, abs=0.05)
    assert text_faults(pdf) == []


@cache
def seventy_two() -> SockPlan:
    """A plan on 72 needles."""
    return make_plan(order(72, wale_mm=2.75, stretch=1.7)).first


@pytest.mark.parametrize(("language", "paper"), one_paper_each(["en", "de"]))
def test_no_number_touches_a_box(paper: Paper, language: str) -> None:
    """Steps from a hundred on, and lines of the tables, of 72 needles."""
    plan = seventy_two()
    sheet = pages(crank_sheet(plan, paper, language))[1:]
    numbers = {str(each.number) for each in instructions(plan)}
    seen = 0
    for page in sheet:
        boxes = [
            box
            for box in page.strokes
            if min(abs(box.width - size) for size in (STEP_BOX_MM, ROW_BOX_MM)) < 0.02
        ]
        for word in page.words:
            left = [box for box in boxes if abs(box.top - word.top) < 3 and box.left < word.left]
            if word.text in numbers and left:
                seen += 1
                assert all(word.left - box.right > 0.3 for box in left), word
    assert seen > 90


def test_what_to_look_at_first_stands_on_the_first_page() -> None:
    plan = make_plan(order(stretch=1.45)).first
    (doubt,) = look_again(plan)
    first = pages(crank_sheet(plan, Paper.A4))[0].text
    assert first.index("Look at this first") < first.index(doubt) < first.index("At a glance")
    sound = make_plan(order(stretch=1.7)).first
    assert "Look at this first" not in pages(crank_sheet(sound, Paper.A4))[0].text


def squares(page: Page, size_mm: float) -> int:
    return sum(
        abs(box.width - size_mm) < 0.02 and abs(box.height - size_mm) < 0.02 for box in page.strokes
    )


@pytest.mark.parametrize("name", NAMES)
def test_each_step_has_a_box_for_each_sock(name: str) -> None:
    """Each row of a table has one for each cup that is knitted by it."""
    plan = pair(name).first
    sheet, blocks = pages(crank(name, Paper.A4)), blocks_of(plan)
    tables = [block for block in blocks if isinstance(block, Rows)]
    steps = sum(squares(page, STEP_BOX_MM) for page in sheet)
    assert steps == 2 * (len(blocks) - len(tables))
    rows = sum(squares(page, ROW_BOX_MM) for page in sheet)
    assert rows == 2 * sum(len(table.rows) * len(table.cups) for table in tables)
    assert squares(sheet[0], TOOL_BOX_MM) == (9 if plan.program.dial else 8)


def test_a_second_sock_that_is_not_alike_is_told_by_what_differs() -> None:
    first, second = pair("avalanche-forecaster").both
    alone = pages(crank_sheet(second, Paper.A4, first=first))
    whole = pages(crank_sheet(first, Paper.A4))
    assert len(alone) < len(whole)
    said = bare(" ".join(page.text for page in alone))
    mine, theirs = instructions(second), instructions(first)
    known = {one.text for one in theirs}
    for one in mine:
        if one.text not in known:
            assert bare(one.brief.split("\n")[0]) in said, one.number


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_the_first_page_holds_the_overview_and_nothing_runs_over(name: str, paper: Paper) -> None:
    first, second, *_ = pages(crank(name, paper))
    for heading in ("At a glance", "Lay out first", "seen from above", "Take care"):
        assert heading in first.text
    assert second.text.startswith("How to read this sheet")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_no_page_is_begun_for_notes(name: str, paper: Paper) -> None:
    plan = pair(name).first
    last = pages(crank(name, paper))[-1].text
    assert " ".join(instructions(plan)[-1].brief.split()[:4]) in last


@pytest.mark.parametrize("name", NAMES)
def test_no_letter_is_smaller_than_six_and_a_half_points(name: str) -> None:
    sheet = pages(crank(name, Paper.LETTER))
    assert min(size for page in sheet for size in page.sizes) >= 6.45


def test_cuff_rounds_at_a_glance_are_those_the_steps_count() -> None:
    """A ribbed cuff begins with edge rounds, which are counted too."""
    first, *steps = pages(crank("avalanche-forecaster", Paper.A4))
    (told,) = re.findall(r"cuff rounds (\d+)", first.text)
    assert f"{told}/{told}" in " ".join(page.text for page in steps)


def test_numbers_of_the_sock_stand_at_a_glance() -> None:
    first = pages(crank("winch-operator", Paper.A4))[0].text
    for number in ("60", "22.8 ± 0.2 cm", "22.1 ± 0.2 cm", "30.2 × 39.4", "55", "50", "40"):
        assert number in first
    # 35.8 +- 0.8 g a sock; two sds more, in whole grams.
    assert "wind off 38 g for the second" in first


@pytest.mark.parametrize("name", [LONG, "Αργυρώ Παπαδοπούλου", "Зоя Щербакова-Ёлкина"])
def test_long_and_foreign_names_are_printed_whole(name: str) -> None:
    order = pair("winch-operator").order
    plan = make_plan(replace(order, title=name, wearer=replace(order.wearer, name=name))).first
    pdf = crank_sheet(plan, Paper.LETTER)
    assert text_faults(pdf) == []
    assert bare(name) in bare(text_of(pdf))


@pytest.mark.parametrize(("needles", "paper"), one_paper_each(COUNTS))
def test_any_cylinder_fits_the_page(
    any_plan: dict[int, SockPlan], needles: int, paper: Paper
) -> None:
    assert text_faults(crank_sheet(any_plan[needles], paper)) == []


def test_the_same_plan_gives_the_same_bytes() -> None:
    again = crank_sheet(pair("winch-operator").first, Paper.A4)
    assert again == crank("winch-operator", Paper.A4)


def test_all_typefaces_are_in_the_file() -> None:
    reader = PdfReader(io.BytesIO(crank("winch-operator", Paper.A4)))
    names = Counter(
        font.get_object()["/BaseFont"].split("+")[1]
        for page in reader.pages
        for font in page["/Resources"]["/Font"].values()
    )
    assert names
    assert all(name.startswith(("AtkinsonHyperlegibleNext", "NotoSans")) for name in names)
