"""The measuring sheets, read back from their PDF: true to scale, legible, and found by a camera."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pytest
from pypdf import PdfReader

from sheets.layout import (
    MM_PER_INCH,
    Page,
    has_check_bars,
    markers_seen,
    pages,
    picture,
    squares,
    text_faults,
)
from sockwright.drawing.tracing.page import EDGE_MM, MARKER_MM
from sockwright.facts import fact
from sockwright.measure.foot_measures import MEASURES, spoken
from sockwright.order.model import Load, Sex, ShoeSystem
from sockwright.sheets import Paper
from sockwright.sheets.measuring import (
    Layout,
    heel_point,
    marker_corners,
    measuring_sheet,
    tracing_page,
)

# ISO 216 for A4; ANSI/ASME Y14.1 size A for Letter. From memory.
PAPERS = {Paper.A4: (210.0, 297.0), Paper.LETTER: (8.5 * MM_PER_INCH, 11 * MM_PER_INCH)}
PLACES = {
    Layout.ONE_PAGE: ("tracing-page.pdf", 0),
    Layout.HEEL_SHEET: ("tracing-two-sheets.pdf", 0),
    Layout.TOE_SHEET: ("tracing-two-sheets.pdf", 1),
}
CASES = [(paper, units) for paper in Paper for units in ("cm", "in")]
TRACING = [(paper, layout) for paper in Paper for layout in Layout]
DPI = 250


@cache
def sheets(paper: Paper, units: str = "cm") -> dict[str, bytes]:
    return measuring_sheet(paper, units)


@cache
def read(paper: Paper, layout: Layout) -> Page:
    name, number = PLACES[layout]
    return pages(sheets(paper)[name])[number]


@pytest.mark.parametrize("paper", Paper)
def test_every_page_is_exactly_its_paper(paper: Paper) -> None:
    for name, pdf in sheets(paper).items():
        for page in PdfReader(io.BytesIO(pdf)).pages:
            size = [float(side) * MM_PER_INCH / 72 for side in page.mediabox[2:]]
            wanted = PAPERS[paper][:: -1 if name == "tracing-two-sheets.pdf" else 1]
            assert size == pytest.approx(wanted, abs=0.01), name


@pytest.mark.parametrize(("paper", "units"), CASES)
def test_no_word_leaves_the_page_or_lies_in_another(paper: Paper, units: str) -> None:
    for name, pdf in sheets(paper, units).items():
        assert text_faults(pdf) == [], name


@pytest.mark.parametrize(("paper", "units"), CASES)
def test_the_form_is_two_pages_of_the_orders_own_measures(paper: Paper, units: str) -> None:
    how, form = pages(sheets(paper, units)["how-to-measure.pdf"])
    for name in MEASURES:
        said = str(spoken(name)).capitalize()
        assert f"{said}:" in how.text
        assert said in form.text
    words = [str(word) for kind in (Sex, Load, ShoeSystem) for word in kind]
    assert [word for word in words if word not in form.text] == []
    assert form.text.split().count(units) >= 2 * len(MEASURES)


@pytest.mark.parametrize("paper", Paper)
def test_each_measure_is_numbered_in_a_drawing_and_in_the_list(paper: Paper) -> None:
    how = pages(sheets(paper)["how-to-measure.pdf"])[0]
    above_foot = (word.text for word in how.words if word.bottom < how.height - EDGE_MM)
    numbers = [word for word in above_foot if word.isdecimal()]
    for number in range(1, len(MEASURES) + 1):
        assert numbers.count(str(number)) >= 2, number
    assert numbers.count("1") == 3  # the length is in both drawings


@pytest.mark.parametrize("paper", Paper)
def test_it_sends_sore_feet_to_a_clinician(paper: Paper) -> None:
    text = pages(sheets(paper)["how-to-measure.pdf"])[0].text
    assert all(word in text for word in ("wound", "swollen", "numb", "clinician"))


@pytest.mark.parametrize("paper", Paper)
def test_boxes_to_write_in_are_high_enough_for_a_heavy_hand(paper: Paper) -> None:
    form = pages(sheets(paper)["how-to-measure.pdf"])[1]
    boxes = [box for box in form.strokes if box.width > 20 and box.height > 4]
    assert len(boxes) >= 8
    assert min(box.height for box in boxes) >= 7


@pytest.mark.parametrize(("paper", "layout"), TRACING)
def test_a_tracing_page_carries_true_check_bars(paper: Paper, layout: Layout) -> None:
    assert has_check_bars(read(paper, layout))


@pytest.mark.parametrize(("paper", "layout"), TRACING)
def test_markers_are_drawn_where_they_are_said_to_be(paper: Paper, layout: Layout) -> None:
    drawn = {(round(box.left, 2), round(box.top, 2)) for box in squares(read(paper, layout), 20.0)}
    corners = marker_corners(layout, paper).values()
    assert drawn == {(round(float(c[0, 0]), 2), round(float(c[0, 1]), 2)) for c in corners}


@pytest.mark.parametrize(("paper", "layout"), TRACING)
def test_a_camera_finds_the_markers_in_their_places(paper: Paper, layout: Layout) -> None:
    name, number = PLACES[layout]
    seen = markers_seen(picture(sheets(paper)[name], number, DPI), DPI)
    known = marker_corners(layout, paper)
    assert set(seen) == set(known)
    for marker, corners in known.items():
        np.testing.assert_allclose(seen[marker], corners, atol=0.2)


def test_no_two_pages_share_a_marker() -> None:
    numbers = [marker for layout in Layout for marker in marker_corners(layout, Paper.A4)]
    assert sorted(numbers) == list(range(12))


@pytest.mark.parametrize(("paper", "layout"), TRACING)
def test_the_scale_on_the_axis_counts_from_the_heel_line(paper: Paper, layout: Layout) -> None:
    page, (x, y) = read(paper, layout), heel_point(layout, paper)
    numbers = [word for word in page.words if word.text.isdecimal()]
    left = {int(w.text): w for w in numbers if x - 12 < w.left and w.right < x}
    right = {int(w.text): w for w in numbers if x < w.left and w.right < x + 12}
    for scale, step in ((left, 10.0), (right, MM_PER_INCH)):
        assert len(scale) >= 6
        for number, word in scale.items():
            assert y - (word.top + word.bottom) / 2 == pytest.approx(number * step, abs=0.7)
        low, high = min(scale), max(scale)
        apart = scale[low].bottom - scale[high].bottom
        assert apart == pytest.approx((high - low) * step, abs=0.1)


@pytest.mark.parametrize("paper", Paper)
def test_the_heel_line_is_on_the_paper_where_it_is_said_to_be(paper: Paper) -> None:
    x, y = heel_point(Layout.ONE_PAGE, paper)
    ends = [
        box
        for box in read(paper, Layout.ONE_PAGE).strokes
        if box.width > 100 and abs((box.top + box.bottom) / 2 - y) < 0.05
    ]
    assert len(ends) == 1
    assert (ends[0].left + ends[0].right) / 2 == pytest.approx(x, abs=0.05)
    assert y < PAPERS[paper][1] - EDGE_MM


@pytest.mark.parametrize("paper", Paper)
def test_two_sheets_taped_together_measure_as_one(paper: Paper) -> None:
    """Cut the toe sheet, lay it on the heel sheet, photograph both: all eight markers are found
    where the two sheets say, both counted from the heel."""
    pdf = sheets(paper)["tracing-two-sheets.pdf"]
    heel, toe = (tracing_page(layout, paper) for layout in (Layout.HEEL_SHEET, Layout.TOE_SHEET))
    heel_image, toe_image = (picture(pdf, number, DPI) for number in (0, 1))
    joint, cut = (round(y * DPI / MM_PER_INCH) for y in (heel.top, toe.bottom))
    taped = np.vstack([toe_image[:cut], heel_image[joint:]])
    seen = markers_seen(taped, DPI)
    known = {
        marker: corners + np.array((0.0, moved))
        for layout, moved in ((Layout.HEEL_SHEET, toe.bottom - heel.top), (Layout.TOE_SHEET, 0.0))
        for marker, corners in marker_corners(layout, paper).items()
    }
    assert set(seen) == set(known) == set(range(4, 12))
    for marker, corners in known.items():
        np.testing.assert_allclose(seen[marker], corners, atol=0.2)
    assert heel.heel[1] + toe.bottom - heel.top == pytest.approx(toe.heel[1])


@pytest.mark.parametrize("paper", Paper)
def test_the_joint_leaves_every_marker_its_white_margin(paper: Paper) -> None:
    heel, toe = (tracing_page(layout, paper) for layout in (Layout.HEEL_SHEET, Layout.TOE_SHEET))
    cell = MARKER_MM / 6
    for page, line, below in ((heel, heel.top, True), (toe, toe.bottom, False)):
        for corners in page.marker_corners().values():
            room = corners[:, 1].min() - line if below else line - corners[:, 1].max()
            assert room > cell


@pytest.mark.parametrize("paper", Paper)
def test_the_lengths_promised_have_their_room(paper: Paper) -> None:
    """The number on the page is never more than the free length, and the two sheets take the feet
    of nearly all men."""
    one = tracing_page(Layout.ONE_PAGE, paper)
    two = tracing_page(Layout.TOE_SHEET, paper)
    for page, layout in ((one, Layout.ONE_PAGE), (two, Layout.HEEL_SHEET)):
        said = f"{np.floor(page.end_mm) / 10:.1f}"
        assert said in read(paper, layout).text
    assert one.heel[1] - one.end_mm >= EDGE_MM
    assert one.end_mm < fact("sheets", "foot_length_p95_men").number < two.end_mm


def test_the_same_sheet_is_the_same_bytes() -> None:
    assert measuring_sheet(Paper.A4) == sheets(Paper.A4)


@pytest.mark.parametrize(("paper", "layout"), TRACING)
def test_measured_strokes_are_pure_black(paper: Paper, layout: Layout) -> None:
    """A black-only printer dithers anything else, and a dithered edge has no place."""
    name, number = PLACES[layout]
    image = picture(sheets(paper)[name], number, DPI)
    for corners in marker_corners(layout, paper).values():
        x, y = (corners[0] + 1.0) * DPI / MM_PER_INCH
        assert image[round(y), round(x)] == 0
