"""Yarn used, read off the loop table: metres and grams of every yarn, with their sd."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from sockwright.estimates import Count, Derivation, Estimate, Input, counted
from sockwright.fabric.lengths import COUNTED
from sockwright.facts import with_standing
from sockwright.measure.gauge import Gauge
from sockwright.measure.yarn import ROLES, Yarn
from sockwright.needlebed.loops import LOOP_SHARE, Kind, LoopTable
from sockwright.words import phrase, said

SHARE_SD = 0.5
"""Relative sd of the yarn in wraps, tucks and floats: their shares of a loop are assumptions."""
JOIN_SD_MM = 30.0
"""How differently two people cut one tail, mm (assumption)."""


@dataclass(frozen=True)
class YarnUse:
    """Use of one yarn in one sock: `length` mm, `mass` g, knitted `loops`."""

    length: Estimate
    mass: Estimate
    loops: Count


def yarn_use(table: LoopTable, gauge: Gauge, yarns: Mapping[str, Yarn]) -> dict[str, YarnUse]:
    """Use of every yarn in `yarns`, in the order of the table."""
    return {
        name: _use(table, number, gauge, yarns[name])
        for number, name in enumerate(table.yarns)
        if name in yarns
    }


def _use(table: LoopTable, number: int, gauge: Gauge, yarn: Yarn) -> YarnUse:
    role = table.yarns[number]
    mine = table.yarn == number
    loops = counted(
        int((mine & table.is_loop).sum()),
        f"yarn.{role}.loops",
        said("loops knitted of the {yarn}", yarn=ROLES[role]),
        said("knit and purl loops of this yarn"),
        COUNTED,
    )
    kinds = np.bincount(table.kind[mine], minlength=len(LOOP_SHARE))
    extra = float(kinds[Kind.WRAP :] @ LOOP_SHARE[Kind.WRAP :])
    wraps = _wraps(role, extra * gauge.loop.value)
    length = gauge.loop * (table.used_mm[number] / gauge.loop.value) + _tails(role)
    if extra:
        # Its length is among what was used: only its error comes in.
        length += wraps - wraps.value
    used = length.named(
        f"yarn.{role}.length",
        said("length of the {yarn} in one sock", yarn=ROLES[role]),
        "mm",
        said(
            "loops × length of a loop, each at its own setting of the stitch cam, + wraps, tucks "
            "and floats + tails"
        ),
        COUNTED,
        also=(loops.number,),
    )
    return YarnUse(used, yarn.mass_of(used), loops)


def _wraps(role: str, extra_mm: float) -> Estimate:
    source = said("half a loop a wrap or tuck, a quarter a float")
    how = Derivation(
        f"yarn.{role}.wraps",
        said("yarn in wraps, tucks and floats"),
        with_standing(source, "assumption"),
        origin="table",
    )
    return Estimate(extra_mm, SHARE_SD * extra_mm, "mm", how)


def _tails(role: str) -> Estimate:
    how = Derivation(
        f"yarn.{role}.tails",
        said("where the tails are cut"),
        with_standing(said("how differently two people cut one tail"), "assumption"),
        origin="table",
    )
    return Estimate(0.0, JOIN_SD_MM, "mm", how)


OTHER = "other."
"""What keys of the pair's other sock begin with."""


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


PAIR_LENGTH = phrase("length of the {yarn} for the pair")
PAIR_MASS = phrase("mass of the {yarn} for the pair")
TOGETHER = with_standing(said("one gauge and one yarn for both socks"), "assumption")


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
        said(label, yarn=ROLES[role]),
        TOGETHER,
        said("both socks; they err together, so that their ± add"),
        "assumption",
        take=partial(tuple, inputs),
    )
    return Estimate(sum(one.value for one in socks), sd, socks[0].unit, how)


def _of_other(number: Estimate) -> Estimate:
    assert number.how is not None
    how = replace(number.how, key=OTHER + number.how.key, label=said("the other sock"))
    return number.called(how)
