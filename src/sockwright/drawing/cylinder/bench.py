"""The cylinder for the page at the machine: drawn once, in parts that a script moves.

The parts are told by their class: `bench-ring` and `bench-carrier` are turned about the middle,
each `n` is a needle (its number in `data-n`) that takes one of three looks, each `d` a dial
needle, and `bench-touches` is empty, for the signs at the needles to be touched. What the script
draws it draws from the shapes in the attributes of `bench-cylinder`, all standing at twelve.
"""

from __future__ import annotations

from dataclasses import replace

from sockwright.drawing.base.geometry import Dial
from sockwright.drawing.base.svg import (
    Point,
    circle,
    document,
    element,
    group,
    number,
    path,
    polygon_data,
)
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.cylinder.moving import (
    crowded_limits,
    draw_band,
    draw_block,
    draw_marks,
    draw_way,
    half_names,
)
from sockwright.drawing.cylinder.needles import (
    Tracks,
    lay_tracks,
    number_labels,
    stroke_width,
    write_number,
)
from sockwright.drawing.cylinder.picture import describe, draw_ring_names, draw_shell
from sockwright.drawing.cylinder.view import CylinderView, view_at
from sockwright.i18n import ENGLISH, Locale
from sockwright.machine import HOURS, Turning
from sockwright.plan.make import SockPlan
from sockwright.steps import Way

SIZE_MM = 74.0
"""A small picture has the larger type: this one is read from half an arm's length."""
UPRIGHT = "upright"
"""The class of what stays upright as a whole while the ring turns."""
DEGREES_PER_HOUR = 360 / HOURS
TWELVE = 0.0
SMALL_TYPE_MM = 4.8
"""Type on a small screen, where the whole picture is some 200 pixels wide: 12 of them."""
SMALL_NAMES = 0.9
"""Where the names stand there, from the middle, in halves of the picture: instead of the hours."""
SIGN = 0.62
"""Height of the sign at a needle to be touched, in type sizes."""
SIGN_OF_PITCH = 0.95
"""Widest a sign is, as a share of the distance between needles where it stands."""


def bench_cylinder_svg(
    plan: SockPlan, theme: Theme = Theme.PAGE, words: Locale = ENGLISH, size_mm: float = SIZE_MM
) -> str:
    """The cylinder of a plan's machine at rest, the carrier at the home gap, every needle in
    work."""
    view = replace(view_at(plan, plan.order.machine, 1), now=(), way=None)
    return moving_cylinder_svg(view, plan.program.dial, theme, words, size_mm)


def moving_cylinder_svg(
    view: CylinderView, dial: tuple[float, ...], theme: Theme, words: Locale, size_mm: float
) -> str:
    """A view with the carrier at the home gap, in parts; `dial` (D,) are the places of the
    slots."""
    tracks = lay_tracks(size_mm, dial=True, deep=False)
    if crowded_limits(view, tracks):
        tracks = lay_tracks(size_mm, dial=True, deep=True)
    ring = group(
        (
            draw_band(view, tracks, theme),
            *_halves(view, tracks, words),
            draw_marks(view, tracks, theme),
            group((_numbers(view, tracks),), **{"class": "on-large"}),
            group((_numbers(view, _few(tracks)),), **{"class": "on-small"}),
            _needles(view, tracks),
            _dial(view, dial, tracks),
            element("g", **{"class": "bench-touches"}),
        ),
        **{"class": "bench-ring"},
    )
    shell = group((draw_shell(view, tracks, theme, words),), **{"class": "on-large"})
    names = group((draw_ring_names(view, _few(tracks), theme, words),), **{"class": "on-small"})
    body = group(
        (shell, names, ring, _carrier(view, tracks, theme)),
        **{"class": "bench-cylinder", **_shapes(view, tracks)},
    )
    title = words.render("Cylinder of {needles} needles, seen from above", needles=view.needles)
    return document(size_mm, size_mm, title, describe(view, words), (body,), theme)


def _halves(view: CylinderView, tracks: Tracks, words: Locale) -> list[str]:
    """The names of the halves; on a small screen, where they grow, there is room for the heel's.

    A screen shows them larger than they are drawn.
    """
    names = half_names(view, tracks, words, least_mm=0)
    classes = (UPRIGHT, f"{UPRIGHT} on-large")
    return [group((name,), **{"class": each}) for name, each in zip(names, classes, strict=False)]


def _few(tracks: Tracks) -> Tracks:
    """The tracks for few and large numbers and names, as a small screen has them: what stands in
    the fixed ring is left out there, and the names stand in its place."""
    return replace(tracks, type=SMALL_TYPE_MM, names=SMALL_NAMES * tracks.size / 2)


def _needles(view: CylinderView, tracks: Tracks) -> str:
    """Every needle in work; its other looks are in `_shapes`."""
    look = _looks(view, tracks)["data-w"]
    width = 0.28 * stroke_width(view, tracks)
    needles = (
        path(look, transform=_turn(view.hour(n), tracks), **{"class": "n w", "data-n": str(n)})
        for n in range(1, view.needles + 1)
    )
    return group(needles, stroke_width=width, **{"class": "bench-needles"})


def _turn(hour: float, tracks: Tracks) -> str:
    x, y = tracks.face.centre
    return f"rotate({number(hour * DEGREES_PER_HOUR)} {number(x)} {number(y)})"


def _numbers(view: CylinderView, tracks: Tracks) -> str:
    return group(
        write_number(needle, middle, tracks.type, **{"class": "number", "data-n": str(needle)})
        for needle, middle in number_labels(view, tracks)
    )


def _dial(view: CylinderView, dial: tuple[float, ...], tracks: Tracks) -> str:
    radius = min(0.26 * tracks.type, 0.36 * _pitch_at(view, tracks, tracks.dial))
    dots = (
        circle(
            tracks.face.at(tracks.dial, view.hour(place)),
            radius,
            **{"class": "d", "data-n": str(slot)},
        )
        for slot, place in enumerate(dial, 1)
    )
    return group(dots, **{"class": "bench-dial"})


def _pitch_at(view: CylinderView, tracks: Tracks, radius: float) -> float:
    middle = tracks.needle_outer - tracks.needle_length / 2
    return tracks.pitch(view.needles) * radius / middle


def _carrier(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """The block in its yarn's colour, which the page's style takes from the script, and an arrow
    for either way."""
    ways = (
        group((draw_way(replace(view, way=way), tracks, theme),), **{"class": f"way {way.value}"})
        for way in Way
    )
    block = draw_block(view, tracks, theme.paper, theme)
    return group(
        (*ways, group((block,), **{"class": "block"})),
        **{"class": "bench-carrier"},
    )


def _shapes(view: CylinderView, tracks: Tracks) -> dict[str, str]:
    """What the script needs: the ring, the looks of a needle, the signs, the track of numbers."""
    x, y = tracks.face.centre
    return {
        "data-needles": str(view.needles),
        "data-sense": str(view.sense),
        "data-turns": "carrier" if view.turning is Turning.CARRIER else "cylinder",
        "data-home": number(view.hour(0.5) * DEGREES_PER_HOUR),
        "data-cx": number(x),
        "data-cy": number(y),
        "data-type": number(tracks.type),
        "data-numbers": number(tracks.numbers),
        "data-inner": number(tracks.needle_inner),
        "data-outer": number(tracks.raised_outer),
        **_looks(view, tracks),
        **_signs(view, tracks),
    }


def _looks(view: CylinderView, tracks: Tracks) -> dict[str, str]:
    """Path data of a needle in work, raised (outlined, so drawn a little narrower), and out."""
    width = stroke_width(view, tracks)
    line = 0.28 * width
    middle = tracks.needle_outer - tracks.needle_length / 2
    radius = max(0.6 * width, 0.2)
    return {
        "data-w": _bar(tracks, tracks.needle_inner, tracks.needle_outer, width - line),
        "data-r": _bar(
            tracks,
            tracks.needle_inner + tracks.lift + line / 2,
            tracks.raised_outer - line / 2,
            width - line,
        ),
        "data-o": _dot(tracks.face, middle, radius),
    }


def _bar(tracks: Tracks, inner: float, outer: float, width: float) -> str:
    # Written for every needle, so in the shortest way there is.
    (x, low), (_, high) = tracks.face.spoke(inner, outer, TWELVE)
    left, right, inside = number(x - width / 2), number(x + width / 2), number(low)
    return f"M{left} {inside}V{number(high)}H{right}V{inside}z"


def _dot(face: Dial, at: float, radius: float) -> str:
    x, y = face.at(at, TWELVE)
    r, left = number(radius), number(x - radius)
    arc = f"a{r} {r} 0 1 0 "
    return f"M{left} {number(y)}{arc}{number(2 * radius)} 0{arc}{number(-2 * radius)} 0z"


def _signs(view: CylinderView, tracks: Tracks) -> dict[str, str]:
    """A sign for each deed, inside the needle: a wedge outward to raise, inward to lower, a ring to
    wrap, a diamond for other work."""
    height = SIGN * tracks.type
    half = min(0.5 * height, 0.5 * SIGN_OF_PITCH * _pitch_at(view, tracks, tracks.dial))
    x, y = tracks.face.at(tracks.dial, TWELVE)
    top, bottom = y - height / 2, y + height / 2
    wide = max(half, 0.3 * height)

    def shape(*points: Point) -> str:
        return polygon_data(points)

    return {
        "data-raise": shape((x, top), (x + half, bottom), (x - half, bottom)),
        "data-lower": shape((x, bottom), (x + half, top), (x - half, top)),
        "data-wrap": _dot(tracks.face, tracks.dial, wide),
        "data-other": shape((x, top), (x + half, y), (x, bottom), (x - half, y)),
    }
