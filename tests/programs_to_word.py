"""Crank programs and machines for the tests of wording."""

from sockwright.estimates import Estimate
from sockwright.machine.model import Cylinder, DialKind, Machine, Turning
from sockwright.measure.gauge import Gauge
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    HeelGiven,
    LegGiven,
    PouchGiven,
    PouchKind,
    Remainder,
    RibEnd,
    SockGiven,
    ToeGiven,
    ToeHalf,
    Widening,
)
from sockwright.program.build import build_program
from sockwright.program.yarns import YarnPlan
from sockwright.sock.cup import default_kept
from sockwright.sock.sizing import size_sock
from sockwright.steps import Program

GAUGE = Gauge(
    Estimate(3.1, 0.1, "mm"),
    Estimate(2.35, 0.1, "mm"),
    Estimate(12.8, 0.1, "mm"),
    Estimate(1.29, 0.1, "tex^0.5/mm"),
    ((0.0, 0.0, 0.0),) * 3,
    Estimate(1.5, 0.1, "1"),
    areal_mass=Estimate(480.0, 20.0, "g/m2"),
    jam=Estimate(1.55, 0.08, "tex^0.5/mm"),
)


def sock(
    cuff: CuffKind = CuffKind.HUNG_HEM,
    heel: PouchKind = PouchKind.SHORT_ROW,
    widening: Widening = Widening.WRAPPED_NEAR,
    first_raise: int = 1,
    deep_kept: int | None = None,
    half: ToeHalf = ToeHalf.HEEL,
    closing: Closing = Closing.GRAFT,
    rib_to: RibEnd = RibEnd.CUFF,
    rib: tuple[int, int] = (1, 1),
) -> SockGiven:
    """A sock order with the parts named; a rib's odd wales go to the halfway mark."""
    pouch = PouchGiven(None, widening, first_raise)
    return SockGiven(
        CuffGiven(kind=cuff, rib=rib, rib_to=rib_to, remainder=Remainder.HALFWAY),
        LegGiven(),
        HeelGiven(heel, pouch, deep_kept, 3),
        ToeGiven(half, None, closing),
    )


def program_for(
    needles: int,
    given: SockGiven,
    dial: DialKind | None = None,
    yarns: YarnPlan | None = None,
    shape: tuple[float, ...] = (1.0,),
    settings: dict[float, float] | None = None,
) -> Program:
    """The program of a sock long enough for any number of needles."""
    cylinder = Cylinder(needles, 110.0, dial)
    machine = Machine("bench", Turning.CARRIER, (cylinder,))
    length_mm = max(260.0, 5.0 * needles)
    sizing = size_sock(given, cylinder, machine, GAUGE, length_mm, shape)
    return build_program(sizing, yarns, settings)


def deep_kept(needles: int) -> int:
    """Needles a shallow first cup keeps: four more than the heel."""
    return default_kept(needles // 2) + 4


TWO_YARNS = YarnPlan("main", "cuff", "heel", "toe")


def every_construction() -> dict[str, tuple[Program, DialKind | None]]:
    """One program for each way to make a part, with the dial it needs."""
    half, full = DialKind.HALF, DialKind.FULL
    two_thirds = DialKind.TWO_THIRDS
    rib, after = CuffKind.TRUE_RIB, PouchKind.AFTERTHOUGHT
    made: dict[str, tuple[Program, DialKind | None]] = {}
    for cuff in CuffKind:
        if cuff is not rib:
            made[cuff.value] = (program_for(60, sock(cuff)), None)
    for end in RibEnd:
        made[f"1x1 to {end.value}"] = (program_for(60, sock(rib, rib_to=end), half), half)
    made["2x2"] = (program_for(54, sock(rib, rib=(2, 2)), two_thirds), two_thirds)
    made["2x2 full"] = (program_for(60, sock(rib, rib=(2, 2)), full), full)
    made["3x1, rest plain"] = (program_for(62, sock(rib, rib=(3, 1)), half), half)
    for widening in Widening:
        for first in (1, 2):
            given = sock(widening=widening, first_raise=first)
            made[f"{widening.value} {first}"] = (program_for(60, given, yarns=TWO_YARNS), None)
    made["narrow"] = (program_for(24, sock()), None)
    made["odd, instep toe"] = (program_for(61, sock(half=ToeHalf.INSTEP)), None)
    made["odd, heel toe"] = (program_for(61, sock()), None)
    made["deep"] = (program_for(72, sock(deep_kept=deep_kept(72))), None)
    made["afterthought"] = (program_for(61, sock(heel=after)), None)
    made["gathered"] = (program_for(60, sock(closing=Closing.GATHER)), None)
    shaped = program_for(60, sock(), shape=(1.08, 1.04, 0.97), settings={1.04: 12.0})
    made["shaped leg"] = (shaped, None)
    return made
