"""The record sheet: planned and finished measures side by side, and what the second sock needs."""

from __future__ import annotations

from typing import Any

from sockwright import steps as op
from sockwright.estimates import Estimate
from sockwright.i18n import _, joined, numeral
from sockwright.plan.data import instructions
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.plan.notes import to_wind
from sockwright.plan.numbers import label_of
from sockwright.program.draft import CORD, WASTE
from sockwright.quantities import format_mass, format_pm
from sockwright.sheets import Paper
from sockwright.sheets.typeset import typeset

__all__ = ["record_sheet"]

KNITTED = (op.Section.CUFF, op.Section.LEG, op.Section.HEEL, op.Section.FOOT, op.Section.TOE)
BOTH = "both"


def record_sheet(pair: PairPlan, paper: Paper, language: str = "en") -> bytes:
    """The sheet as PDF, to fill in while and after the pair is knitted and worn."""
    order, socks = pair.order, pair.both
    data = {
        "title": order.title,
        "whose": _(
            "Wearer: {wearer}. Machine: {machine}.",
            wearer=order.wearer.name,
            machine=order.machine.name,
        ),
        "units": pair.first.units,
        "socks": [_name(sock, place) for place, sock in enumerate(socks)],
        "measures": _side_by_side([_measures(sock) for sock in socks]),
        "counts": _side_by_side([_counts(sock) for sock in socks]),
        "yarns": _yarns(pair),
        "needles": [str(sock.sizing.needles) for sock in socks],
        "cam_word": order.machine.cam.word,
        "cam": [_cam_settings(sock.program) for sock in socks],
        "ribber": bool(pair.first.program.dial),
    }
    return typeset("record", data, {}, paper, language)


def _name(sock: SockPlan, place: int) -> str:
    """What a sock of the pair is called over its columns."""
    if sock.side == BOTH:
        return (_("first sock"), _("second sock"))[place]
    return _("left sock") if sock.side == "left" else _("right sock")


def _measures(plan: SockPlan) -> dict[str, str]:
    """What the finished sock should measure, rested and washed, in the order's units."""
    units, fabric, girth = plan.units, plan.fabric, plan.fabric.girth
    lengths = {"fabric.tube_length": fabric.tube_length}
    if plan.sizing.heel.cups:
        lengths = {"fabric.foot_length": fabric.foot_length, "fabric.leg_length": fabric.leg_length}
    return {
        **{label_of(plan, key): format_pm(length, units) for key, length in lengths.items()},
        _("tube laid flat"): format_pm(Estimate(girth.value / 2, girth.sd / 2, "mm"), units),
        _("cuff, visible part"): format_pm(plan.sizing.cuff_depth, units),
    }


def _counts(plan: SockPlan) -> dict[str, str]:
    """Rounds and rows of each section of the sock itself, waste and cord left out; a round parted
    by a heel or toe is one, and belongs to the section that began it."""
    rounds = dict.fromkeys(KNITTED, 0)
    rows = dict.fromkeys(KNITTED, 0)
    for each in instructions(plan):
        count = each.count
        if count is None or each.section not in rounds or each.yarn == WASTE:
            continue
        parted = isinstance(plan.program.steps[each.steps[-1] - 1], op.PartRound)
        if count.kind == "row":
            rows[each.section] += 1
        elif not (parted and count.complete):
            rounds[each.section] += count.last - count.first + 1
    return {
        _(section.value): _count(rounds[section], rows[section])
        for section in KNITTED
        if rounds[section] or rows[section]
    }


def _count(rounds: int, rows: int) -> str:
    """Rounds and rows in words."""
    parts = [_("{rounds} rounds", rounds=rounds)] if rounds else []
    if rows:
        parts.append(_("{rows} rows", rows=rows))
    return joined(" + ", parts)


def _side_by_side(socks: list[dict[str, str]]) -> list[dict[str, Any]]:
    """Rows of a table: a name and what each sock has for it."""
    names = dict.fromkeys(name for sock in socks for name in sock)
    return [{"name": name, "planned": [sock.get(name, "–") for sock in socks]} for name in names]


def _yarns(pair: PairPlan) -> list[dict[str, str]]:
    """What each of the order's yarns is expected to weigh before, between and after."""
    plan, other = pair.first, pair.both[1].use
    return [
        {
            "name": plan.yarns[role].name,
            "role": _(role),
            "first": format_mass(use.mass),
            "second": to_wind(other[role].mass) if role in other else "–",
            "have": _grams(plan.yarns[role].on_hand_g),
        }
        for role, use in plan.use.items()
        if role not in (WASTE, CORD)
    ]


def _grams(mass_g: float | None) -> str:
    return "" if mass_g is None else _("{value:.0f} g", value=mass_g)


def _cam_settings(program: op.Program) -> str:
    """The stitch-cam settings that the program names, in their order."""
    named = [
        numeral(f"{step.setting:g}")
        for step in program.steps
        if isinstance(step, op.SetCam) and step.setting is not None
    ]
    return joined(", ", dict.fromkeys(named))
