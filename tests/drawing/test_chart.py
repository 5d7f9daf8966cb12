"""The chart: every loop a cell in its place, numbers as they are counted at the machine."""

import re
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest

from drawing_reading import NAMES, example_plan, placed, size_mm, texts
from sockwright import steps as op
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.chart.cells import CELL_KINDS, Window
from sockwright.drawing.chart.chart import CELL_MM, HEAD_MM, LEFT_MM, MARGIN_MM, chart_svg
from sockwright.drawing.chart.pages import OVERLAP, chart_svgs, fitting_cell
from sockwright.drawing.chart.rows import Chart, cell_spans, chart_of, number_courses
from sockwright.needlebed.execute import dry_run, execute
from sockwright.needlebed.loops import Bed, LoopKind, LoopTable
from sockwright.wording.instructions import Instruction
from sockwright.wording.write import write_instructions

CELL_AREA = CELL_MM[0] * CELL_MM[1]


def table_of(name: str) -> LoopTable:
    """The loops of an example order."""
    return example_plan(name).dry_run.loops


def cells_rectangles(svg: str) -> list[tuple[float, float, float, float]]:
    """(x, y, width, height) of the filled blocks of cells, not of the key or the paper."""
    width, _ = size_mm(svg)
    key_top = max(one.at[1] for one in placed(svg, "text"))
    found = []
    for one in placed(svg, "rect"):
        x, y = one.at
        if x >= MARGIN_MM + LEFT_MM - 0.001 and "stroke" not in one.element.attrib:
            assert x + one.number("width") < width
            assert y < key_top
            found.append((x, y, one.number("width"), one.number("height")))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_every_loop_has_its_cell(name: str) -> None:
    """Together the cells are as large as there are loops knitted, purled, tucked or of scrap."""
    table = table_of(name)
    loops = int(np.isin(table.kind, [int(kind) for kind in CELL_KINDS]).sum())
    drawn = sum(width * height for _, _, width, height in cells_rectangles(chart_svg(table)))
    assert drawn / CELL_AREA == pytest.approx(loops, rel=1e-4)


@pytest.mark.parametrize("name", NAMES)
def test_every_wrap_purl_and_eyelet_has_its_sign(name: str) -> None:
    table = table_of(name)
    svg = chart_svg(table)
    lozenges = [
        one
        for one in placed(svg, "path")
        if re.fullmatch(r"M[^l]+(l[^l]+){3}z", one.element.attrib["d"])
    ]
    bars = [
        one
        for one in placed(svg, "path")
        if re.fullmatch(r"M\S+ \S+h\S+", one.element.attrib["d"])
        and float(one.element.attrib["stroke-width"]) > 0.2
    ]
    kinds = Counter(table.kind.tolist())
    # One more of each is the sample in the key.
    assert len(lozenges) == kinds[LoopKind.WRAP] + (kinds[LoopKind.WRAP] > 0)
    assert len(bars) == kinds[LoopKind.PURL] + (kinds[LoopKind.PURL] > 0)
    assert len(placed(svg, "circle")) == kinds[LoopKind.TUCK] + (kinds[LoopKind.TUCK] > 0)


def test_short_rows_lie_over_their_needles() -> None:
    """The narrowest row of the winch operator's heel knits needles 11 to 20."""
    chart = chart_of(example_plan("winch-operator"))
    rows = [band for band in chart.bands if band.section == "heel" and band.shape == "row"]
    extents = [
        (
            min(s[0] for s, k in row.cells if k is LoopKind.KNIT) + 1,
            max(s[1] for s, k in row.cells if k is LoopKind.KNIT),
        )
        for row in rows
    ]
    assert min(extents, key=lambda ends: ends[1] - ends[0]) == (11, 20)
    assert extents[0] == (1, 29)
    assert extents[-2:] == [(2, 30), (1, 15)]  # the last row stops for the instep
    # Rows go to and fro, the first of them back from the carrier past needle 30.
    assert [row.forward for row in rows] == [n % 2 == 1 for n in range(len(rows))]


def test_courses_go_down_in_knitting_order() -> None:
    chart = chart_of(example_plan("cooks-son"))
    course = 0
    for band in chart.bands:
        assert band.first == course
        course = band.end
    assert course == chart.courses == len(chart.numbers) == len(chart.sections)


def said_counts(instructions: tuple[Instruction, ...]) -> list[tuple[str, int, int]]:
    """(kind, number in section or cup, number in all) of every last round or row worded."""
    return [
        (one.count.kind, one.count.last, one.count.total)
        for one in instructions
        if one.count is not None and one.count.complete
    ]


@pytest.mark.parametrize("name", NAMES)
def test_the_numbers_are_those_of_the_words(name: str) -> None:
    """The sentences count rounds and rows by a tally of their own."""
    plan = example_plan(name)
    numbers = number_courses(plan.dry_run.loops)
    charted = {("row" if n.row else "round", n.number, n.total) for n in numbers if n.number}
    said = said_counts(write_instructions(execute(plan.program), plan.order.machine))
    assert len(said) > 50
    assert set(said) <= charted


def test_waste_is_counted_by_itself() -> None:
    numbers = number_courses(table_of("winch-operator"))
    waste = [n for n in numbers if not n.total]
    assert [n.number for n in waste] == [0, *range(1, 16), 1, *range(1, 13)]
    assert {n.section for n in waste} == {"set-up", "closing"}


def test_a_parted_round_is_one_round_in_three_parts() -> None:
    numbers = number_courses(table_of("winch-operator"))
    parts = [n for n in numbers if n.part]
    assert [n.part for n in parts] == ["a", "b", "c"] * 2
    assert parts[0].section == parts[1].section == "leg"
    assert parts[0].label == f"{example_plan('winch-operator').sizing.leg_rounds}a"
    assert (parts[0].number, parts[0].total) == (parts[1].number, parts[1].total)


@pytest.mark.parametrize("name", NAMES)
def test_dial_loops_lie_over_the_needles_they_came_from(name: str) -> None:
    table = table_of(name)
    for band in chart_of(table).bands:
        spans = [span for span, kind in band.cells if kind in CELL_KINDS]
        ordered = sorted(spans)
        assert all(b[0] >= a[1] - 1e-9 for a, b in pairwise(ordered))
        assert all(low >= 0 and high <= table.needles for low, high in spans)
    purls = table.bed == Bed.DIAL
    assert set(table.kind[purls].tolist()) <= {LoopKind.PURL, LoopKind.TUCK, LoopKind.FLOAT}


def test_a_pair_of_dial_loops_shares_the_gap_of_its_needle() -> None:
    dial = (2.25, 3.75)
    spans = cell_spans(
        [0, 1, 6, 7, 3, 4, 5],
        [LoopKind.KNIT] * 2 + [LoopKind.PURL] * 2 + [LoopKind.KNIT] * 3,
        6,
        dial,
    )
    assert spans[2:4] == [(2.0, 2.5), (2.5, 3.0)]


def test_a_dial_loop_between_working_needles_lies_narrow_over_them() -> None:
    spans = cell_spans(
        [0, 1, 4, 2, 3], [LoopKind.KNIT] * 2 + [LoopKind.PURL] + [LoopKind.KNIT] * 2, 4, (2.5,)
    )
    assert spans[2] == (1.75, 2.25)


def test_a_hem_is_marked_where_it_is_hung() -> None:
    plan = example_plan("winch-operator")
    chart = chart_of(plan)
    assert list(chart.joined) == [chart.sections.index("leg")]
    assert len(chart.joined[chart.sections.index("leg")]) == 60


def test_marks_stand_over_their_needles() -> None:
    plan = example_plan("winch-operator")
    svg = chart_svg(plan)
    left = MARGIN_MM + LEFT_MM
    wedge = next(
        one for one in placed(svg, "path") if one.element.get("stroke-linejoin") == "round"
    )
    tip = re.match(r"M(\S+) (\S+?)L", wedge.element.attrib["d"])
    assert tip is not None
    assert float(tip[1]) == pytest.approx(left)
    assert float(tip[2]) < MARGIN_MM + HEAD_MM
    numbers = {
        one.element.text: one.at[0]
        for one in placed(svg, "text")
        if one.at[1] < MARGIN_MM + HEAD_MM
    }
    for needle in (5, 30, 60):
        assert numbers[str(needle)] == pytest.approx(left + (needle - 0.5) * CELL_MM[0])


@pytest.mark.parametrize("page", [(190.0, 270.0), (190.0, 254.0), (130.0, 180.0), (90.0, 120.0)])
@pytest.mark.parametrize("name", NAMES)
def test_pages_cover_the_chart_and_overlap(name: str, page: tuple[float, float]) -> None:
    table = table_of(name)
    book = chart_svgs(table, page)
    covered = np.zeros((table.courses, table.needles), int)
    for number, one in enumerate(book.pages, 1):
        width, height = size_mm(one.svg)
        assert width <= page[0] + 1e-6
        assert height <= page[1] + 1e-6
        assert one.number == number
        covered[one.courses[0] - 1 : one.courses[1], one.needles[0] - 1 : one.needles[1]] += 1
    assert covered.min() == 1
    across = sorted({one.needles for one in book.pages})
    down = sorted({one.courses for one in book.pages})
    for ends in (across, down):
        assert all(a[1] - b[0] + 1 == OVERLAP for a, b in pairwise(ends))


@pytest.mark.parametrize("name", NAMES)
def test_the_first_page_leaves_room_for_what_stands_above_it(name: str) -> None:
    table = table_of(name)
    book = chart_svgs(table, (190.0, 254.0), head_mm=80.0)
    assert size_mm(book.pages[0].svg)[1] <= 254.0 - 80.0 + 1e-6
    ends = [one.courses for one in book.pages]
    assert ends[0][0] == 1
    assert ends[-1][1] == table.courses
    assert all(a[1] - b[0] + 1 == OVERLAP for a, b in pairwise(ends))


def test_the_index_frames_every_page() -> None:
    book = chart_svgs(table_of("night-dispatcher"), (130.0, 180.0))
    frames = [one for one in placed(book.index_svg, "rect") if one.element.get("fill") == "none"]
    assert len(frames) == len(book.pages)
    said = texts(book.index_svg)
    assert all(one.words in " ".join(said) for one in book.pages[:1])


def test_a_page_with_no_room_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing beyond the overlap"):
        chart_svgs(table_of("cooks-son"), (42.0, 200.0))


def test_cells_are_made_smaller_to_keep_needles_together() -> None:
    assert fitting_cell(40, 190) == CELL_MM
    width, height = fitting_cell(72, 190)
    assert width < CELL_MM[0]
    assert height / width == pytest.approx(CELL_MM[1] / CELL_MM[0])
    assert fitting_cell(200, 190) == CELL_MM


def test_a_window_shows_only_its_part() -> None:
    table = table_of("winch-operator")
    svg = chart_svg(table, needles=(11, 20), courses=(50, 59))
    drawn = sum(width * height for _, _, width, height in cells_rectangles(svg))
    assert drawn / CELL_AREA == pytest.approx(100, rel=1e-4)
    window = Window(10, 20, 49, 59, CELL_MM)
    assert (window.width, window.height) == pytest.approx((26, 22))


def test_the_key_tells_what_is_on_the_chart_and_no_more() -> None:
    plain = op.Program(
        24,
        (),
        (
            op.HangScrap(op.Section.SET_UP),
            op.Weigh(op.Section.SET_UP, op.Weight.MAIN),
            op.Thread(op.Section.LEG, "main"),
            op.Rounds(op.Section.LEG, 12),
        ),
    )
    said = texts(chart_svg(dry_run(plain).loops))
    assert "knit" in said
    assert "purl, on the dial" not in said
    assert "wrap round a raised needle" not in said
    ribbed = texts(chart_svg(table_of("avalanche-forecaster")))
    assert "purl, on the dial" in ribbed
    assert "wrap round a raised needle" in ribbed


def test_waste_is_grey_and_other_yarns_are_washed_in_their_colour() -> None:
    plan = example_plan("avalanche-forecaster")
    svg = chart_svg(plan)
    fills = Counter(one.element.get("fill") for one in placed(svg, "rect"))
    assert fills[Theme.PRINT.tint] > 2
    washed = [one for one in placed(svg, "rect") if "fill-opacity" in one.element.attrib]
    assert len(washed) > plan.sizing.heel.cup.rows
    chart: Chart = chart_of(plan)
    assert chart.yarns["heel"].name == plan.order.yarn("heel").name
