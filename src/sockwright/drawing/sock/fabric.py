"""What the fabric of a drawn sock looks like: ribs, hems, edges, areas of other yarns."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from sockwright.drawing.base.geometry import Outline, Segment, between, distance, hatch, inside
from sockwright.drawing.base.signs import shift
from sockwright.drawing.base.svg import (
    Point,
    circle,
    group,
    path,
    polygon_data,
    polyline_data,
    segments_data,
)
from sockwright.drawing.base.theme import Theme, paint
from sockwright.drawing.sock.profile import Profile
from sockwright.order.model import CuffKind, RibEnd
from sockwright.plan.make import SockPlan, yarn_plan
from sockwright.sock.cuff import HEM_KINDS, Cuff
from sockwright.sock.rib import Moves, RibLayout
from sockwright.sock.sizing import Sizing

HATCHES = {"cuff": (45.0, 1.7), "heel": (-45.0, 1.7), "toe": (45.0, 2.6)}
"""Direction in degrees and distance in mm of the hatching of each part in its own yarn."""
TOOTH_SHARE = 0.5
"""Height of a picot's tooth as a share of its width."""
ROLL_MM = 5.0
"""How thick a rolled edge is drawn, mm of fabric."""

SECTION_MM, LAYER_MM = 2.6, 1.1
"""How far from the sock a hem is drawn cut through, and how far apart its layers."""

ToPaper = Callable[[Outline], Outline]


def own_yarns(plan: SockPlan) -> dict[str, str]:
    """The parts (cuff, heel, toe) knitted in a yarn of their own, with the role of that yarn."""
    yarns = yarn_plan(plan.order)
    roles = {"cuff": yarns.cuff, "heel": yarns.heel, "toe": yarns.toe}
    return {part: role for part, role in roles.items() if role != yarns.main and role in plan.use}


def draw_areas(profile: Profile, plan: SockPlan, to_paper: ToPaper, theme: Theme) -> str:
    """A light wash and a hatching over every part with a yarn of its own."""
    parts = []
    for part, role in own_yarns(plan).items():
        area = to_paper(profile.areas[part])
        parts.append(area_of_yarn(area, part, plan.order.yarn(role).colour, theme))
    return group(parts)


def area_of_yarn(area: Outline, part: str, colour: str, theme: Theme) -> str:
    """One area washed in its yarn's colour and hatched as its part is."""
    wash = path(polygon_data(area), fill=paint(colour), fill_opacity=0.22)
    lines = segments_data(hatch(area, *HATCHES[part]))
    return wash + path(lines, stroke=theme.muted, stroke_width=0.16)


def draw_ribs(profile: Profile, sizing: Sizing, to_paper: ToPaper, theme: Theme) -> str:
    """Every purl wale, or ladder of a mock rib, on the side that is seen."""
    cuff = sizing.cuff
    areas = [profile.areas["cuff"]]
    if cuff.rib is not None and cuff.rib_to is not RibEnd.CUFF:
        areas.append(profile.areas["leg"])
    segments: list[Segment] = []
    on_foot = set(_on_the_foot(cuff, sizing.needles))
    for share in _purl_shares(cuff, sizing.needles):
        segments += _wale_on_leg(profile, share, areas)
        if share in on_foot:
            y = -share * profile.width
            row = ((-profile.width, y), (profile.foot_end, y))
            segments += inside(row, profile.areas["foot"])
    data = segments_data(to_paper(segment) for segment in segments)
    return path(data, stroke=theme.ink, stroke_width=0.16)


def _purl_shares(cuff: Cuff, needles: int) -> Iterator[float]:
    """Places of purl wales across the flat tube, 0 at the back to 1 in front."""
    half = needles / 2
    if cuff.kind is CuffKind.MOCK_RIB_HEM:
        for wale in range(cuff.every, int(half) + 1, cuff.every):
            yield (wale - 0.5) / half
    elif cuff.rib is not None:
        yield from _shares(cuff.rib, cuff.rib.rib, needles)


def _on_the_foot(cuff: Cuff, needles: int) -> Iterator[float]:
    """Places of the purl wales that go down the instep."""
    if cuff.rib is not None:
        yield from _shares(cuff.rib, cuff.rib.instep, needles)


def _shares(rib: RibLayout, moves: Moves, needles: int) -> Iterator[float]:
    """Places of the purl wales of some of a rib's moves. The side that is seen runs from the middle
    of the heel half to that of the instep half."""
    half = needles / 2
    for needle, _slot in moves:
        for slot in rib.slots_at(needle):
            share = (rib.dial[slot - 1] - 0.5 - needles // 2 / 2) / half
            if 0 <= share <= 1:
                yield share


def _wale_on_leg(profile: Profile, share: float, areas: list[Outline]) -> Iterator[Segment]:
    top = between(profile.leg.back[-1], profile.leg.front[0], share)
    below = between(profile.leg.back[0], profile.leg.corner, share)
    if not profile.leg.low:
        reach = 2 * distance(top, below) + profile.width
        below = shift(top, (profile.leg.tube.up, -reach))
    end = shift(top, (profile.leg.tube.up, 1.0))
    for area in areas:
        yield from inside((end, below), area)


def draw_edge(
    profile: Profile, sizing: Sizing, scale: float, to_paper: ToPaper, theme: Theme
) -> str:
    """The top edge as its cuff makes it, and the inner edge of a folded hem."""
    kind = sizing.cuff.kind
    back, front = to_paper((profile.leg.back[-1], profile.leg.front[0]))
    parts = []
    if kind in HEM_KINDS:
        hung = to_paper(profile.hem)
        parts.append(
            path(
                polyline_data(hung),
                stroke=theme.ink,
                stroke_width=0.3,
                stroke_dasharray="1.4 0.9",
            )
        )
    if kind is CuffKind.PICOT_HEM:
        parts.append(_picots(back, front, sizing.needles // 4, theme))
    if kind is CuffKind.ROLLED_EDGE:
        parts.append(_roll(back, front, ROLL_MM * scale, theme))
    return group(parts, fill="none")


def _picots(back: Point, front: Point, teeth: int, theme: Theme) -> str:
    """Teeth along the fold, two wales each."""
    width = distance(back, front) / teeth
    x, y = (front[0] - back[0]) / (teeth * width), (front[1] - back[1]) / (teeth * width)
    out = (y, -x)
    points = []
    for tooth in range(teeth):
        start = shift(back, ((x, y), tooth * width))
        points += [start, shift(start, ((x, y), width / 2), (out, TOOTH_SHARE * width))]
    edge = path(polyline_data((back, front)), stroke=theme.paper, stroke_width=0.6)
    return edge + path(
        polyline_data((*points, front)),
        fill="none",
        stroke=theme.ink,
        stroke_width=0.35,
        stroke_linejoin="round",
    )


def _roll(back: Point, front: Point, thick: float, theme: Theme) -> str:
    """A roll across the top, seen with its coil at both ends."""
    width = distance(back, front)
    along = ((front[0] - back[0]) / width, (front[1] - back[1]) / width)
    out = (along[1], -along[0])
    corners = [
        shift(back, (out, thick / 2)),
        shift(front, (out, thick / 2)),
        shift(front, (out, -thick / 2)),
        shift(back, (out, -thick / 2)),
    ]
    body = path(polygon_data(corners), fill=theme.paper, stroke=theme.ink, stroke_width=0.35)
    coils = (
        circle(end, radius, fill=theme.paper, stroke=theme.ink, stroke_width=0.3)
        for end in (back, front)
        for radius in (thick / 2, thick / 4)
    )
    return body + "".join(coils)


def fold_section(profile: Profile, to_paper: ToPaper, theme: Theme) -> str:
    """A folded hem seen cut through, beside its front."""
    top, hung = to_paper((profile.leg.front[0], profile.hem[1]))
    x, y = profile.leg.tube.up
    out = (-y, x) if y <= 0 else (y, -x)
    foot = shift(hung, (out, SECTION_MM))
    return _hook(foot, profile.leg.tube.up, out, distance(top, hung), theme)


def fold_sample(at: Point, theme: Theme) -> str:
    """The cut-through hem as a sample for a key."""
    return _hook((at[0] - 0.6, at[1] + 0.8), (0.0, -1.0), (1.0, 0.0), 1.8, theme)


def _hook(foot: Point, up: Point, out: Point, height: float, theme: Theme) -> str:
    """The outer layer, the fold, and the inner layer back to the round it is hung on."""
    top = shift(foot, (up, height))
    points = (
        shift(foot, (up, -1.4), (out, LAYER_MM)),
        shift(top, (out, LAYER_MM), (up, -0.4)),
        shift(top, (out, 0.7 * LAYER_MM)),
        shift(top, (out, 0.3 * LAYER_MM)),
        shift(top, (up, -0.4)),
        foot,
        shift(foot, (out, LAYER_MM)),
    )
    return path(
        polyline_data(points),
        fill="none",
        stroke=theme.ink,
        stroke_width=0.35,
        stroke_linejoin="round",
    )
