"""The plot of a stitch cam's curve: where its points, band, handle and names stand on the paper."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import pi

import pytest

from drawing_reading import Placed, overlapping, path_points, placed, size_mm, text_boxes, texts
from sockwright.drawing.base.theme import Theme, contrast
from sockwright.drawing.curve.picture import NARROW_MM, WIDE_MM, CurveView, curve_svg
from sockwright.estimates import Estimate
from sockwright.i18n import locale_of
from sockwright.machine import CamNaming
from sockwright.measure.cam_curve import CamCurve, fit_curve
from sockwright.measure.cam_points import CurvePoint, PointKind

SIXTY = Estimate(pi * 108 / 60, 0.0, "mm")
FIFTY_FOUR = Estimate(pi * 108 / 54, 0.0, "mm")
CLICKS = CamNaming("clicks", larger_is_looser=True)

PHONE_PX = 333
"""Width that a drawing has on a telephone 360 px wide, beside the page's edges."""
CSS_PX_PER_MM = 96 / 25.4


def point(
    cam: float,
    loop: float,
    name: str,
    kind: PointKind = PointKind.SWATCH,
    stale: bool = False,
    needles: int = 60,
) -> CurvePoint:
    pitch = {60: SIXTY, 54: FIFTY_FOUR}[needles]
    return CurvePoint(name, needles, pitch, cam, Estimate(loop, 0.013 * loop, "mm"), kind, stale)


WINTER = (
    point(10, 12.2, "grey, tight"),
    point(12, 12.85, "madder, March"),
    point(13, 13.2, "pair of the cook", PointKind.SOCK),
    point(13, 13.25, "pair of the doctor", PointKind.SOCK),
    point(14, 13.7, "grey, washed twice"),
    point(14, 14.2, "before the new spring", stale=True),
    point(17, 15.0, "slipper wool, May", needles=54),
)


def curve_of(*points: CurvePoint) -> CamCurve:
    curve = fit_curve(points)
    assert curve is not None
    return curve


def view(curve: CamCurve, handle: float = 14, **more: object) -> CurveView:
    given = {"needles": 60, "pitch": SIXTY, "cam": CLICKS, **more}
    return CurveView(curve, handle=handle, **given)  # type: ignore[arg-type]


def drawn(handle: float = 14, width: float = WIDE_MM, **more: object) -> str:
    return curve_svg(view(curve_of(*WINTER), handle, **more), width, Theme.LIGHT)


def squares(svg: str) -> list[Placed]:
    return [one for one in placed(svg, "rect") if one.element.attrib["width"] == "2.3"]


@dataclass(frozen=True)
class Scales:
    """Reads settings and loops off a plot by the numbers of its axes."""

    cams: dict[float, float]
    loops: dict[float, float]

    @classmethod
    def of(cls, svg: str) -> Scales:
        """By where its plain numbers stand: loops to the left of their lines, settings below."""
        cams, loops = {}, {}
        for one in placed(svg, "text"):
            words, anchor = "".join(one.element.itertext()), one.element.get("text-anchor")
            if re.fullmatch(r"[\d.]+", words) and anchor == "end":
                loops[float(words)] = one.at[1] - 0.67 * one.number("font-size") / 2
            elif re.fullmatch(r"[\d.]+", words) and anchor == "middle":
                cams[float(words)] = one.at[0]
        return cls(cams, loops)

    def read(self, at: tuple[float, float]) -> tuple[float, float]:
        """The setting and the loop of a point of the paper."""
        return _between(self.cams, at[0]), _between(self.loops, at[1])


def _between(known: dict[float, float], at: float) -> float:
    low, high = min(known), max(known)
    return low + (at - known[low]) / (known[high] - known[low]) * (high - low)


def middle(square: Placed) -> tuple[float, float]:
    return square.at[0] + 1.15, square.at[1] + 1.15


def line_of(svg: str) -> list[tuple[float, float]]:
    """The settings and loops along the curve, where it is drawn through."""
    (line,) = (one for one in placed(svg, "path") if one.element.get("stroke-width") == "0.6")
    return [Scales.of(svg).read(at) for at in path_points(line)]


def band_of(svg: str) -> list[tuple[float, float]]:
    (band,) = (one for one in placed(svg, "path") if one.element.get("fill") == Theme.LIGHT.tint)
    return [Scales.of(svg).read(at) for at in path_points(band)]


@pytest.mark.parametrize("width", [WIDE_MM, NARROW_MM])
def test_it_is_as_wide_as_asked_and_everything_lies_on_it(width: float) -> None:
    for handle in (8, 12, 14, 17, 19):
        svg = drawn(handle, width)
        wide, high = size_mm(svg)
        assert wide == width
        for box in text_boxes(svg):
            assert box.left >= 0, box
            assert box.right <= wide, box
            assert 0 <= box.top < box.bottom <= high, box


@pytest.mark.parametrize("width", [WIDE_MM, NARROW_MM])
@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("units", ["cm", "in"])
def test_no_text_lies_over_another(width: float, language: str, units: str) -> None:
    curve = curve_of(*WINTER)
    for handle in (8, 11, 13, 14, 16, 17, 19):
        svg = curve_svg(view(curve, handle, units=units), width, words=locale_of(language))
        assert overlapping(text_boxes(svg)) == []


def test_names_that_find_no_place_are_left_out_not_written_over_others() -> None:
    crowd = [point(14, 13.5 + n / 50, f"another grey swatch, number {n}") for n in range(12)]
    svg = curve_svg(view(curve_of(*crowd, point(12, 13.0, "first"))), NARROW_MM)
    assert overlapping(text_boxes(svg)) == []
    assert len(squares(svg)) == 14  # with the one of the key


def test_type_is_readable_on_a_telephone_and_on_a_page() -> None:
    for width, shown_px in ((NARROW_MM, PHONE_PX), (WIDE_MM, WIDE_MM * CSS_PX_PER_MM)):
        svg = drawn(width=width)
        sizes = [one.number("font-size") * shown_px / width for one in placed(svg, "text")]
        assert min(sizes) >= 12


def test_swatches_stand_at_their_settings_and_loops() -> None:
    svg = drawn()
    found = [Scales.of(svg).read(middle(one)) for one in squares(svg)]
    for cam, loop in ((10, 12.2), (12, 12.85), (14, 13.7), (14, 14.2)):
        assert any(
            at == pytest.approx(cam, abs=0.1) and told == pytest.approx(loop, abs=0.01)
            for at, told in found
        )


def test_a_swatch_of_another_cylinder_is_brought_to_the_pitch_that_is_shown() -> None:
    """On a finer pitch the same needle draws less yarn."""
    svg = drawn()
    (loop,) = (
        told for cam, told in map(Scales.of(svg).read, map(middle, squares(svg))) if cam > 16
    )
    assert loop < 15.0
    own = drawn(needles=54, pitch=FIFTY_FOUR)
    (loop,) = (
        told for cam, told in map(Scales.of(own).read, map(middle, squares(own))) if cam > 16
    )
    assert loop == pytest.approx(15.0, abs=0.01)
    assert "slipper wool, May (54)" in texts(svg)
    assert "slipper wool, May" in texts(own)


def test_the_line_is_the_curve_and_the_band_its_sd() -> None:
    curve = curve_of(*WINTER)
    svg = drawn()
    line = line_of(svg)
    assert line[0][0] == pytest.approx(10, abs=0.01)
    assert line[-1][0] == pytest.approx(17, abs=0.01)
    for cam, loop in line:
        assert loop == pytest.approx(curve.reading(cam, SIXTY).loop.value, abs=0.01)
    edges = band_of(svg)
    upper, lower = edges[: len(edges) // 2], edges[len(edges) // 2 :][::-1]
    for (cam, high), (_, low) in zip(upper, lower, strict=True):
        told = curve.reading(cam, SIXTY).loop
        assert high - low == pytest.approx(2 * told.sd, abs=0.02)
    assert upper[-1][1] - lower[-1][1] > 1.5 * (upper[50][1] - lower[50][1])


@pytest.mark.parametrize("handle", [9, 12, 14, 16])
def test_the_dashed_lines_lead_from_the_setting_to_its_loop(handle: float) -> None:
    curve, svg = curve_of(*WINTER), drawn(handle)
    (ring,) = (one for one in placed(svg, "circle") if one.element.attrib["r"] == "2.6")
    scales = Scales.of(svg)
    assert scales.read((ring.number("cx"), 0))[0] == pytest.approx(handle, abs=0.02)
    (dashes,) = (
        one for one in placed(svg, "path") if one.element.get("stroke-dasharray") == "1.5 1"
    )
    corner = scales.read(path_points(dashes)[1])
    assert corner[1] == pytest.approx(curve.reading(handle, SIXTY).loop.value, abs=0.01)
    assert f"{handle:g}" in texts(svg)


def test_beyond_what_was_knitted_the_reading_is_called_a_guess_and_the_line_is_dashed() -> None:
    guess = next(told for told in texts(drawn(19)) if "±" in told and "mm" in told)
    known = next(told for told in texts(drawn(16)) if "±" in told and "mm" in told)
    assert guess.startswith("a guess")
    assert not known.startswith("a guess")
    (beyond,) = (
        one for one in placed(drawn(), "path") if one.element.get("stroke-dasharray") == "1.6 1.2"
    )
    cams = [Scales.of(drawn()).read(at)[0] for at in path_points(beyond)]
    assert min(cams) < 9
    assert max(cams) > 18
    assert not any(10.2 < cam < 16.8 for cam in cams)


def test_a_single_setting_has_no_line() -> None:
    svg = curve_svg(view(curve_of(point(9, 12.0, "berry")), 9), NARROW_MM, Theme.LIGHT)
    assert [one for one in placed(svg, "path") if one.element.get("stroke-width") == "0.6"] == []
    assert "two times in three" not in texts(svg)
    assert "berry" in texts(svg)


@pytest.mark.parametrize("larger_is_looser", [True, False])
def test_its_ends_say_which_way_is_tighter(larger_is_looser: bool) -> None:
    cam = CamNaming("lines", larger_is_looser)
    svg = drawn(cam=cam)
    at = {box.words: box for box in text_boxes(svg)}
    tighter = next(box for told, box in at.items() if told.startswith("tighter"))
    looser = next(box for told, box in at.items() if told.startswith("looser"))
    assert (tighter.left < looser.left) is larger_is_looser
    assert any("lines" in told for told in at)


def test_its_key_shows_what_is_there_and_nothing_else() -> None:
    told = texts(drawn())
    assert {"swatch, ±", "finished sock, ±", "outdated", "two times in three"} <= set(told)
    plain = texts(curve_svg(view(curve_of(point(10, 12.2, "a"), point(14, 13.7, "b")))))
    assert {"finished sock, ±", "outdated", "knitted on so many needles"} & set(plain) == set()


def test_what_is_outdated_is_hollow_and_dashed_in_any_colour() -> None:
    """So it differs on grey paper too."""
    hollow = [one for one in squares(drawn()) if one.element.get("stroke-dasharray")]
    assert {one.element.attrib["fill"] for one in hollow} == {Theme.LIGHT.paper}
    solid = [one for one in squares(drawn()) if not one.element.get("stroke-dasharray")]
    assert {one.element.attrib["fill"] for one in solid} == {Theme.LIGHT.ink}


@pytest.mark.parametrize("theme", [Theme.PRINT, Theme.LIGHT, Theme.DARK], ids=lambda one: one.name)
def test_all_that_is_written_stands_out(theme: Theme) -> None:
    svg = curve_svg(view(curve_of(*WINTER)), theme=theme)
    written = {one.element.get("fill") for one in placed(svg, "text")} - {None}
    assert theme.act in written
    assert all(contrast(str(colour), theme.paper) >= 4.5 for colour in written)


def test_inches_are_told_where_the_reader_has_inches() -> None:
    told = texts(drawn(units="in"))
    assert "length of a loop, in" in told
    assert any(one.endswith(" in") and "±" in one for one in told)
    loops = Scales.of(drawn(units="in")).loops
    assert 0.3 < min(loops) < max(loops) < 0.8


def test_a_cam_of_a_hundred_thousand_settings_has_few_ticks() -> None:
    svg = curve_svg(view(curve_of(point(1.37, 12.8, "a"), point(900, 14.6, "b")), 900))
    assert len(svg) < 40_000
    assert overlapping(text_boxes(svg)) == []


def test_names_of_makers_are_letters_not_markup() -> None:
    svg = drawn()
    assert "<b>" not in curve_svg(view(curve_of(point(14, 13.7, "<b>&"), point(10, 12, "x"))))
    assert svg == drawn()
