"""What a sock takes: metres and grams of every yarn, read off the loop table, and minutes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from sockwright import steps as op
from sockwright.estimates import Count, Derivation, Estimate, Input, Propagated, counted
from sockwright.fabric.lengths import ALL_PLAIN, COUNTED, Fabrics, fabric_of
from sockwright.fabric.own_pace import own_pace
from sockwright.facts import fact, with_standing
from sockwright.i18n import N_, _, numeral
from sockwright.machine import OwnPace
from sockwright.measure.fabrics import PLAIN, ratio
from sockwright.measure.gauge import Gauge
from sockwright.measure.yarn import MM_G_PER_TEX, ROLES, Yarn
from sockwright.needlebed.loops import LOOP_SHARE, LoopKind, LoopTable

SHARE_SD = 0.5
"""Relative sd of the yarn in wraps, tucks and floats: their shares of a loop are assumptions."""
JOIN_SD_MM = 30.0
"""How differently two people cut one tail, mm (assumption)."""

MG_PER_G = 1e3

OTHER = "other."
"""What keys of the pair's other sock begin with."""

PAIR_LENGTH = N_("length of the {yarn} for the pair")
PAIR_MASS = N_("mass of the {yarn} for the pair")
TOGETHER = with_standing(_("one gauge and one yarn for both socks"), "assumption")
SECONDS = 60.0
HANDED = (op.HangHem, op.MoveLoops, op.ToDial, op.ToCylinder, op.LiftBars, op.HangScrap, op.Rehang)
CHANGES = (
    op.Thread,
    op.CutYarn,
    op.Weigh,
    op.HeelSpring,
    op.Mount,
    op.Ribber,
    op.Check,
    op.TakeOff,
)
WORK = {
    "plain_rounds_per_minute": N_("{amount} plain rounds, so many a minute"),
    "rib_rounds_per_minute": N_("{amount} rounds of rib, so many a minute"),
    "seconds_per_row": N_("{amount} rows, each so many seconds"),
    "seconds_per_loop_moved": N_("{amount} loops moved by hand, each so many seconds"),
    "seconds_per_change": N_("{amount} changes and checks, each so many seconds"),
    "seconds_per_graft": N_("{amount} stitches grafted, each so many seconds"),
}


@dataclass(frozen=True)
class YarnUse:
    """Use of one yarn in one sock: `length` mm, `mass` g, knitted `loops`."""

    length: Estimate
    mass: Estimate
    loops: Count


def yarn_use(
    table: LoopTable,
    gauge: Gauge,
    yarns: Mapping[str, Yarn],
    fabrics: Fabrics = ALL_PLAIN,
) -> dict[str, YarnUse]:
    """Use of every yarn in `yarns`, in the order of the table; `fabrics` are those of cuff and
    leg."""
    return {
        name: _use(table, number, gauge, yarns[name], fabrics)
        for number, name in enumerate(table.yarns)
        if name in yarns
    }


def _used_by_fabric(table: LoopTable, number: int, fabrics: Fabrics) -> dict[str, float]:
    """mm of one yarn used in each fabric, at the plain fabric's loop; tails are plain."""
    sizes = [len(run.slots) * run.rounds for run in table.runs]
    kinds = [fabric_of(table, run, fabrics) for run in table.runs]
    names = list(dict.fromkeys([PLAIN, *kinds]))
    places = np.repeat([names.index(kind) for kind in kinds], sizes)
    mine = table.yarn == number
    own = np.diff(table.yarn_at[mine], prepend=0.0)
    sums = np.bincount(places[mine], weights=own, minlength=len(names))
    found = dict(zip(names, map(float, sums), strict=True))
    found[PLAIN] += table.used_mm[number] - float(sums.sum())
    return {kind: used for kind, used in found.items() if used}


def _use(table: LoopTable, number: int, gauge: Gauge, yarn: Yarn, fabrics: Fabrics) -> YarnUse:
    role = table.yarns[number]
    mine = table.yarn == number
    loops = counted(
        int((mine & table.is_loop).sum()),
        f"yarn.{role}.loops",
        _("loops knitted of the {yarn}", yarn=ROLES[role]),
        _("knit and purl loops of this yarn"),
        COUNTED,
    )
    kinds = np.bincount(table.kind[mine], minlength=len(LOOP_SHARE))
    extra = float(kinds[LoopKind.WRAP :] @ LOOP_SHARE[LoopKind.WRAP :])
    wraps = _wraps(role, extra * gauge.loop.value)
    other = _tails(role).propagated()
    if extra:
        # Its length is among what was used: only its error comes in.
        other += wraps - wraps.value
    by_fabric = _used_by_fabric(table, number, fabrics)
    knitted = Propagated(0.0, {})
    for kind, used_mm in by_fabric.items():
        knitted = knitted + gauge.of(kind).loop * (used_mm / gauge.loop.value)
    length = knitted + other
    used = length.named(
        f"yarn.{role}.length",
        _("length of the {yarn} in one sock", yarn=ROLES[role]),
        "mm",
        _(
            "loops × length of a loop, each at its own setting of the stitch cam, + wraps, tucks "
            "and floats + tails"
        ),
        COUNTED,
        also=(loops.number,),
    )
    if role != "main":
        return YarnUse(used, yarn.mass_of(used), loops)
    return YarnUse(used, _mass(role, by_fabric, gauge, yarn, other), loops)


def _mass(
    role: str, by_fabric: Mapping[str, float], gauge: Gauge, yarn: Yarn, other: Propagated
) -> Estimate:
    """Mass of the yarn used. Of the main yarn what one loop weighs is known better than its length
    and its fineness are alone; `other` is the length that wraps and tails add, mm, and its sd."""
    of_loops = Propagated(0.0, {})
    for kind, used_mm in by_fabric.items():
        loops = gauge.loop_mass * (used_mm / gauge.loop.value / MG_PER_G)
        of_loops = of_loops + loops * _against_plain(gauge, kind)
    return (of_loops + other * (yarn.tex.value / MM_G_PER_TEX)).named(
        f"yarn.{role}.mass",
        _("mass of the {yarn} in one sock", yarn=ROLES[role]),
        "g",
        _("loops × mass of the yarn in one loop, and wraps and tails"),
        COUNTED,
    )


def _against_plain(gauge: Gauge, kind: str) -> Estimate:
    """The loop of another fabric against the plain one's."""
    if kind == PLAIN:
        return Estimate(1.0, 0.0, "1")
    if kind not in gauge.fabrics:
        return ratio(kind, "loop")
    return Estimate(gauge.of(kind).loop.value / gauge.loop.value, 0.0, "1")


def _wraps(role: str, extra_mm: float) -> Estimate:
    source = _("half a loop a wrap or tuck, a quarter a float")
    how = Derivation(
        f"yarn.{role}.wraps",
        _("yarn in wraps, tucks and floats"),
        with_standing(source, "assumption"),
        origin="table",
    )
    return Estimate(extra_mm, SHARE_SD * extra_mm, "mm", how)


def _tails(role: str) -> Estimate:
    how = Derivation(
        f"yarn.{role}.tails",
        _("where the tails are cut"),
        with_standing(_("how differently two people cut one tail"), "assumption"),
        origin="table",
    )
    return Estimate(0.0, JOIN_SD_MM, "mm", how)


def of_pair(role: str, own: YarnUse, other: YarnUse | None) -> YarnUse:
    """The use of both socks by that of one and of the `other`: the same where they are alike, None
    where it takes none of this yarn."""
    length = (own.length, *([] if other is None else [other.length]))
    mass = (own.mass, *([] if other is None else [other.mass]))
    loops = own.loops + (0 if other is None else other.loops)
    return YarnUse(
        _both(f"yarn.{role}.pair_length", PAIR_LENGTH, role, length),
        _both(f"yarn.{role}.pair_mass", PAIR_MASS, role, mass),
        Count(loops, own.loops.how),
    )


def _both(key: str, label: str, role: str, socks: tuple[Estimate, ...]) -> Estimate:
    """Two socks together; they err together, so that their sds add."""
    sd = sum(one.sd for one in socks)
    alike = all(one is socks[0] for one in socks)
    inputs: tuple[Input, ...] = (Input(socks[0], 1.0 if sd else 0.0),)
    if not alike:
        named = (socks[0], *(_of_other(one) for one in socks[1:]))
        inputs = tuple(Input(one, one.sd / sd if sd else 0.0) for one in named)
    how = Derivation(
        key,
        _(label, yarn=ROLES[role]),
        TOGETHER,
        _("both socks; they err together, so that their ± add"),
        "assumption",
        take=partial(tuple, inputs),
    )
    return Estimate(sum(one.value for one in socks), sd, socks[0].unit, how)


def _of_other(number: Estimate) -> Estimate:
    assert number.how is not None
    how = replace(number.how, key=OTHER + number.how.key, label=_("the other sock"))
    return number.called(how)


def minutes(program: op.Program, own: tuple[OwnPace, ...] = ()) -> Estimate:
    """Minutes for one sock, cranking, handwork and closing; the paces are facts/pace.toml's, moved
    toward the maker's `own`."""
    finishing = fact("pace", "finishing_minutes").called(
        "pace.finishing", _("ends darned, laid out to dry")
    )
    spent = finishing.propagated()
    for pace, amount in work_of(program).items():
        spent += duration(pace, amount, own)
    return spent.named(
        "minutes",
        _("time for one sock"),
        "min",
        _("every kind of work × its pace, and the finishing"),
        _("your own paces on this machine; those not counted are a practised maker's")
        if own
        else _("paces of a practised maker; each kind of work errs as a whole"),
        "from memory",
    )


def work_of(program: op.Program, gap: int = 0, ribbed: bool = False) -> dict[str, float]:
    """How much of each kind of work a program holds, by the name of its pace in facts/pace.toml:
    rounds, rows, loops moved, changes, loops grafted. The carrier begins past needle `gap`,
    and `ribbed` tells whether the ribber knits from the start."""
    tally = _Tally()
    for step in program.steps:
        if isinstance(step, op.Ribber):
            ribbed = step.on
        if isinstance(step, op.Rounds):
            tally.rounds(step.count, ribbed=ribbed)
        elif isinstance(step, op.PartRound):
            gone = (step.last - gap) % program.needles or program.needles
            tally.rounds(gone / program.needles, ribbed=ribbed)
            gap = step.last
        elif isinstance(step, op.Row):
            tally.add("seconds_per_row", 1)
            gap = step.last or gap
        elif isinstance(step, HANDED):
            tally.add("seconds_per_loop_moved", _loops(step, program.needles))
        elif isinstance(step, op.Graft):
            tally.add("seconds_per_graft", len(step.a))
        elif isinstance(step, op.Gather | op.BindOff):
            tally.add("seconds_per_loop_moved", program.needles)
        elif isinstance(step, CHANGES):
            tally.add("seconds_per_change", 1)
    return tally.work


def _loops(step: op.Step, needles: int) -> int:
    """Loops that a step moves by hand; all of the cylinder's where it names none."""
    named = [getattr(step, name, ()) for name in ("moves", "needles", "lower", "upper")]
    return sum(map(len, named)) or needles


class _Tally:
    """Adds up kinds of work; the pace of each kind errs as a whole, not step by step."""

    def __init__(self) -> None:
        self.work: dict[str, float] = {}

    def add(self, pace: str, amount: float) -> None:
        self.work[pace] = self.work.get(pace, 0.0) + amount

    def rounds(self, count: float, *, ribbed: bool) -> None:
        self.add("rib_rounds_per_minute" if ribbed else "plain_rounds_per_minute", count)


def duration(name: str, amount: float, own: tuple[OwnPace, ...] = ()) -> Propagated:
    """Minutes for so much work at a pace of facts/pace.toml, in rounds a minute or seconds each,
    moved toward the maker's `own` where that was counted."""
    label = _(WORK[name], amount=numeral(f"{amount:g}"))
    pace = fact("pace", name).called(f"pace.{name}", label)
    counted_here = next((one for one in own if one.name == name), None)
    if counted_here is not None:
        pace = own_pace(counted_here, label)
    if pace.unit == "1/min":
        return pace**-1 * amount
    return pace * (amount / SECONDS)
