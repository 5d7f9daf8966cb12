"""Crank programs and machines for the tests of wording."""

from dataclasses import dataclass
from typing import Any

from sockwright.estimates import Estimate, exactly
from sockwright.machine import Cylinder, DialKind, Machine, Turning
from sockwright.measure.gauge import Gauge
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    CupGiven,
    HeelGiven,
    HeelKind,
    LegGiven,
    Remainder,
    RibEnd,
    SockGiven,
    ToeGiven,
    ToeHalf,
    Widening,
)
from sockwright.program.build import build_program
from sockwright.program.draft import YarnPlan
from sockwright.sock.cup import default_kept
from sockwright.sock.sizing import Sizing, size_sock
from sockwright.steps import Program

GAUGE = Gauge(
    Estimate(3.1, 0.1, "mm"),
    Estimate(2.35, 0.1, "mm"),
    Estimate(12.8, 0.1, "mm"),
    Estimate(1.29, 0.1, "tex^0.5/mm"),
    ((0.0, 0.0, 0.0),) * 3,
    Estimate(1.5, 0.1, "1"),
    areal_mass=Estimate(480.0, 20.0, "g/m2"),
    loop_mass=Estimate(3.5, 0.1, "mg"),
    jam=Estimate(1.55, 0.08, "tex^0.5/mm"),
    ring=1.8,
)


def sock(
    cuff: CuffKind = CuffKind.HUNG_HEM,
    heel: HeelKind = HeelKind.SHORT_ROW,
    widening: Widening = Widening.WRAPPED_NEAR,
    first_raise: int = 1,
    deep_kept: int | None = None,
    half: ToeHalf = ToeHalf.HEEL,
    closing: Closing = Closing.GRAFT,
    rib_to: RibEnd = RibEnd.CUFF,
    rib: tuple[int, int] = (1, 1),
) -> SockGiven:
    """A sock order with the parts named; a rib's odd wales go to the halfway mark."""
    cup = CupGiven(None, widening, first_raise)
    return SockGiven(
        CuffGiven(kind=cuff, rib=rib, rib_to=rib_to, remainder=Remainder.HALFWAY),
        LegGiven(),
        HeelGiven(heel, cup, deep_kept, 3),
        ToeGiven(half, None, closing),
    )


@dataclass(frozen=True)
class Made:
    """A sizing and its program, the yarns it was built for, and the dial it needs."""

    sizing: Sizing
    yarns: YarnPlan
    program: Program
    dial: DialKind | None


def made_for(
    needles: int,
    given: SockGiven,
    dial: DialKind | None = None,
    yarns: YarnPlan | None = None,
    shape: tuple[float, ...] = (1.0,),
    settings: dict[float, float] | None = None,
    length_mm: float | None = None,
) -> Made:
    """A sock long enough for any number of needles, unless it is given a length."""
    cylinder = Cylinder(needles, 110.0, dial)
    machine = Machine("bench", Turning.CARRIER, (cylinder,))
    length_mm = length_mm or max(260.0, 5.0 * needles)
    sizing = size_sock(given, cylinder, machine, GAUGE, exactly(length_mm, "mm"), shape)
    return Made(sizing, yarns or YarnPlan(), build_program(sizing, yarns, settings), dial)


def program_for(needles: int, given: SockGiven, *arguments: Any, **named: Any) -> Program:
    """The program of such a sock."""
    return made_for(needles, given, *arguments, **named).program


def deep_kept(needles: int) -> int:
    """Needles a shallow first cup keeps: four more than the heel."""
    return default_kept(needles // 2) + 4


TWO_YARNS = YarnPlan("main", "cuff", "heel", "toe")


def every_construction() -> dict[str, tuple[Program, DialKind | None]]:
    """One program for each way to make a part, with the dial it needs."""
    return {name: (made.program, made.dial) for name, made in every_sock().items()}


def every_sock() -> dict[str, Made]:
    """One sock for each way to make a part."""
    half, full = DialKind.HALF, DialKind.FULL
    two_thirds = DialKind.TWO_THIRDS
    rib, after = CuffKind.TRUE_RIB, HeelKind.AFTERTHOUGHT
    made: dict[str, Made] = {}
    for cuff in CuffKind:
        if cuff is not rib:
            made[cuff.value] = made_for(60, sock(cuff))
    for end in RibEnd:
        made[f"1x1 to {end.value}"] = made_for(60, sock(rib, rib_to=end), half)
    made["2x2"] = made_for(54, sock(rib, rib=(2, 2)), two_thirds)
    made["2x2 full"] = made_for(60, sock(rib, rib=(2, 2)), full)
    made["3x1, rest plain"] = made_for(62, sock(rib, rib=(3, 1)), half)
    for widening in Widening:
        for first in (1, 2):
            given = sock(widening=widening, first_raise=first)
            made[f"{widening.value} {first}"] = made_for(60, given, yarns=TWO_YARNS)
    made["narrow"] = made_for(24, sock())
    made["odd, instep toe"] = made_for(61, sock(half=ToeHalf.INSTEP))
    made["odd, heel toe"] = made_for(61, sock())
    made["deep"] = made_for(72, sock(deep_kept=deep_kept(72)))
    made["afterthought"] = made_for(61, sock(heel=after))
    tube = HeelKind.NONE
    made["tube"] = made_for(60, sock(heel=tube))
    made["odd tube, instep toe"] = made_for(61, sock(heel=tube, half=ToeHalf.INSTEP))
    made["gathered tube"] = made_for(60, sock(heel=tube, closing=Closing.GATHER))
    made["ribbed tube"] = made_for(60, sock(rib, heel=tube, rib_to=RibEnd.INSTEP), half)
    made["gathered"] = made_for(60, sock(closing=Closing.GATHER))
    shape, settings = (1.08, 1.04, 0.97), {1.04: 12.0}
    made["shaped leg"] = made_for(60, sock(), shape=shape, settings=settings)
    return made
