"""The drawings' own SVG: numbers, escaping, documents, themes, colours, lettering."""

import re
from pathlib import Path

import pytest

from drawing_reading import EXAMPLES, NAMES, example_plan, root_of, size_mm
from gallery import drawings, main
from sockwright.drawing.base.scales import check_bars_svg
from sockwright.drawing.base.svg import document, element, number, write
from sockwright.drawing.base.theme import (
    UNKNOWN_YARN,
    Box,
    Theme,
    contrast,
    mark_paint,
    paint,
    shortened,
    text_width,
    without_overlaps,
    wrap,
    wrap_close,
)
from sockwright.drawing.chart.chart import chart_svg
from sockwright.drawing.cylinder.picture import cylinder_svg
from sockwright.drawing.cylinder.view import view_at
from sockwright.drawing.sock.picture import sock_svg
from sockwright.machine import MARK_ROLES

THEMES = (Theme.PRINT, Theme.LIGHT, Theme.DARK)


@pytest.mark.parametrize(
    ("value", "text"),
    [(1.0, "1"), (0.12345, "0.123"), (-0.0004, "0"), (10.0, "10"), (-2.5, "-2.5"), (0, "0")],
)
def test_a_number_is_written_to_a_thousandth_and_no_longer(value: float, text: str) -> None:
    assert number(value) == text


def test_text_and_attributes_are_escaped() -> None:
    drawn = write((1, 2), 'wool & "nylon" <b>', 3, fill='"')
    parsed = root_of(drawn)
    assert parsed.text == 'wool & "nylon" <b>'
    assert parsed.attrib["fill"] == '"'


def test_an_attribute_that_is_none_is_left_out() -> None:
    assert element("line", stroke_width=None, x1=1) == '<line x1="1"/>'


def test_a_document_is_measured_in_millimetres_and_says_what_it_shows() -> None:
    svg = document(90, 60.5, "a title", "what it shows", ("",), Theme.PRINT)
    assert size_mm(svg) == (90, 60.5)
    root = root_of(svg)
    assert [child.text for child in root[:2]] == ["a title", "what it shows"]
    assert "Atkinson Hyperlegible Next" in root.attrib["font-family"]


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_drawing_is_plain_svg(theme: Theme) -> None:
    for name, svg in drawings(example_plan("avalanche-forecaster"), theme):
        root = root_of(svg)
        tags = {one.tag.split("}")[1] for one in root.iter()}
        assert tags <= {"svg", "title", "desc", "g", "path", "line", "rect", "circle", "text"}, name
        attributes = {key for one in root.iter() for key in one.attrib}
        assert not attributes & {"style", "class", "id", "href"}, name
        assert "url(" not in svg, name
        assert not re.search(r"\b(nan|inf)\b", svg), name


def test_the_gallery_writes_every_drawing_in_every_theme(tmp_path: Path) -> None:
    assert main([str(tmp_path), str(EXAMPLES / "cooks-son.toml")]) == 0
    names = sorted(path.name for path in tmp_path.iterdir())
    for theme in THEMES:
        assert f"cooks-son-{theme.name}-sock.svg" in names
    assert len(names) == 3 * len(list(drawings(example_plan("cooks-son"), Theme.PRINT)))
    assert main([str(tmp_path)]) == 2


def test_the_same_order_gives_the_same_bytes() -> None:
    plan = example_plan("night-dispatcher")
    view = view_at(plan, plan.order.machine, 40)
    for draw in (sock_svg, chart_svg, lambda _: cylinder_svg(view, 90)):
        assert draw(plan) == draw(plan)


def test_type_is_never_too_small_to_read() -> None:
    for name in NAMES:
        for title, svg in drawings(example_plan(name), Theme.PRINT):
            sizes = [
                float(one.attrib["font-size"])
                for one in root_of(svg).iter()
                if one.text and "font-size" in one.attrib
            ]
            assert min(sizes, default=3) >= 1.85, title  # 5.2 pt, for hours on the clock ring


def test_contrast_is_that_of_the_standard() -> None:
    """WCAG 2.2: 21:1 for black on white, 1:1 for like on like; #777777 on white is known to fall
    just short of 4.5:1 (WebAIM, Contrast and Color Accessibility; from memory)."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#14213D", "#14213D") == pytest.approx(1)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("name", ["ink", "muted", "act", "warn"])
def test_what_is_written_stands_out_from_what_it_is_written_on(theme: Theme, name: str) -> None:
    """WCAG 2.2, 1.4.3: at least 4.5:1."""
    for ground in (theme.paper, theme.tint):
        assert contrast(getattr(theme, name), ground) >= 4.5


@pytest.mark.parametrize(
    ("words", "painted"),
    [
        ("red", "#FF0000"),
        ("Dark Red", "#8B0000"),
        ("Deep Red", "#FF0000"),
        ("#12ab9F", "#12AB9F"),
        ("", UNKNOWN_YARN),
        ("sea fog", UNKNOWN_YARN),
    ],
)
def test_a_colour_in_words_is_painted(words: str, painted: str) -> None:
    assert paint(words) == painted


def test_marks_without_a_colour_are_all_painted_differently() -> None:
    assert len({mark_paint(role, "") for role in MARK_ROLES}) == len(MARK_ROLES)


def test_words_are_wrapped_at_spaces_within_the_width() -> None:
    lines = wrap("heel yarn with more nylon than the main one", 3, 30)
    assert " ".join(lines) == "heel yarn with more nylon than the main one"
    assert len(lines) > 1
    assert all(text_width(one, 3) <= 30 for one in lines)


@pytest.mark.parametrize(
    ("words", "lines"),
    [
        ("winch operator", ["winch", "operator"]),
        ("mmmmmmmmmmmm on", ["mmmmm-", "mmmmm-", "mm on"]),
        ("1234567890123", ["12345678", "90123"]),
        ("mmmmm", ["mmmmm"]),
        ("mmmmmmm m", ["mmmmm-", "mm m"]),
        ("mmmmm-mmm", ["mmmmm-", "mmm"]),
        ("山" * 7, ["山" * 5, "山山"]),
    ],
)
def test_a_word_too_long_for_its_line_is_broken(words: str, lines: list[str]) -> None:
    # An m is 0.93 of the size, a figure about 0.6, a hyphen 0.3, a full sign 1.
    assert wrap_close(words, 1.0, 5.3) == lines


def test_a_break_leaves_an_accent_with_its_letter() -> None:
    word = "e\u0301" * 20
    pieces = wrap_close(word, 1.0, 5.0)
    assert len(pieces) > 1
    assert all(piece.startswith("e") for piece in pieces)
    assert "".join(pieces).replace("-", "") == word


def test_a_name_is_cut_short_only_where_it_must_be() -> None:
    assert shortened("crank", 1.0, 3.0) == "crank"
    assert shortened("m" * 5, 1.0, 4.7) == "m" * 5
    assert shortened("m" * 6, 1.0, 4.7) == "mmmm…"
    assert shortened("mm mmm", 1.0, 2.8) == "mm…"
    assert shortened("mmmmm", 1.0, 0.0) == "…"


def test_earlier_boxes_keep_their_place() -> None:
    boxes = [Box(0, 0, 4, 2), Box(3, 0, 4, 2), Box(6, 0, 4, 2)]
    assert without_overlaps(boxes) == [True, False, True]


def test_the_check_bars_are_a_hundred_millimetres_and_four_inches() -> None:
    root = root_of(check_bars_svg())
    dark = [float(one.attrib["width"]) for one in root if one.get("fill") == Theme.PRINT.ink]
    assert dark == [pytest.approx(100), pytest.approx(4 * 25.4)]
