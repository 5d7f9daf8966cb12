"""Ribs: which needles purl, which dials can do it, and refusals whose offers can be made."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from builders import knit, machine, rib, size, sock
from sockwright.errors import CannotMake
from sockwright.machine import Cylinder, DialKind
from sockwright.needlebed.loops import LoopKind
from sockwright.order.model import CuffGiven, CuffKind, Remainder, RibEnd
from sockwright.sock.rib import (
    can_make,
    dial_places,
    lay_out_rib,
    plain_edges,
    purl_needles,
)

HALF, FULL, TWO_THIRDS = DialKind.HALF, DialKind.FULL, DialKind.TWO_THIRDS
REFUSE, HOME, HALFWAY = Remainder.REFUSE, Remainder.HOME, Remainder.HALFWAY
RIBS = [(1, 1), (2, 1), (3, 1), (5, 1), (7, 1), (2, 2), (4, 2), (3, 3)]


def refusal(
    pq: tuple[int, int],
    needles: int,
    dial: DialKind | None,
    remainder: Remainder = REFUSE,
    rib_to: RibEnd = RibEnd.CUFF,
    others: tuple[Cylinder, ...] = (),
) -> CannotMake:
    cylinder = Cylinder(needles, 110.0, dial)
    with pytest.raises(CannotMake) as refused:
        lay_out_rib(pq, cylinder, machine(cylinder, *others), remainder, rib_to)
    return refused.value


def test_purling_needles_follow_the_rib() -> None:
    assert purl_needles(3, 1, 12, REFUSE) == (4, 8, 12)
    assert purl_needles(2, 2, 8, REFUSE) == (3, 4, 7, 8)


def test_needles_left_over_are_plain_at_home_or_halfway() -> None:
    assert purl_needles(3, 1, 26, HOME) == (4, 8, 12, 16, 20, 24)
    assert purl_needles(3, 1, 26, HALFWAY) == (4, 8, 12, 18, 22, 26)
    # Halfway in 30 lies within a repeat, which is not torn: the stripe comes before it.
    assert purl_needles(2, 2, 30, HALFWAY) == (3, 4, 7, 8, 11, 12, 17, 18, 21, 22, 25, 26, 29, 30)


@pytest.mark.parametrize(
    ("kind", "needles", "first", "count"),
    [(HALF, 60, (2, 4, 6), 30), (FULL, 60, (1, 2, 3), 60), (TWO_THIRDS, 54, (1.5, 3, 4.5), 36)],
)
def test_dial_slots(kind: DialKind, needles: int, first: tuple[float, ...], count: int) -> None:
    places = dial_places(kind, needles)
    assert places[:3] == first
    assert len(places) == count
    assert places[-1] == needles


# Common practice: pairs of cylinder and dial that makers use, and the ribs they can make.
TRADE = [
    ((1, 1), 60, HALF, True),
    ((3, 1), 60, HALF, True),
    ((5, 1), 60, HALF, True),
    ((7, 1), 64, HALF, True),
    ((2, 1), 60, HALF, False),
    ((2, 2), 60, HALF, False),
    ((4, 2), 60, HALF, False),
    ((3, 1), 54, HALF, False),
    ((2, 1), 54, TWO_THIRDS, True),
    ((2, 2), 54, TWO_THIRDS, True),
    ((1, 1), 54, TWO_THIRDS, False),
    ((2, 2), 60, FULL, True),
    ((2, 2), 54, FULL, False),
]


@pytest.mark.parametrize(("pq", "needles", "dial", "possible"), TRADE)
def test_ribs_as_the_trade_knows_them(
    pq: tuple[int, int], needles: int, dial: DialKind, possible: bool
) -> None:
    cylinder = Cylinder(needles, 110.0, dial)
    assert can_make(pq, cylinder, RibEnd.CUFF, REFUSE) is possible


# Common practice: 3x1 down the instep on 60 is a staple. A half dial has a slot over every second
# needle, so that a rib with an even half is at best half a needle off its middle.
PLACED = [
    ((3, 1), 60, HALF, REFUSE, range(34, 59, 4)),
    ((3, 1), 72, HALF, REFUSE, range(38, 71, 4)),
    ((1, 1), 60, HALF, REFUSE, range(32, 59, 2)),
    ((1, 1), 54, HALF, REFUSE, range(30, 53, 2)),
    ((1, 1), 66, HALF, REFUSE, range(36, 65, 2)),
    ((5, 1), 54, HALF, REFUSE, range(32, 51, 6)),
    ((5, 1), 66, HALF, REFUSE, range(38, 63, 6)),
    ((2, 1), 54, TWO_THIRDS, REFUSE, range(30, 52, 3)),
    ((2, 2), 54, TWO_THIRDS, REFUSE, range(30, 52, 3)),
    ((3, 1), 61, FULL, HOME, range(32, 61, 4)),
    ((2, 2), 60, FULL, REFUSE, [33, 34, 37, 38, 41, 42, 45, 46, 49, 50, 53, 54, 57, 58]),
    ((4, 2), 66, FULL, REFUSE, [38, 39, 44, 45, 50, 51, 56, 57, 62, 63]),
]


@pytest.mark.parametrize(("pq", "needles", "dial", "remainder", "purls"), PLACED)
def test_a_rib_is_placed_in_the_middle_of_the_instep(
    pq: tuple[int, int], needles: int, dial: DialKind, remainder: Remainder, purls: list[int]
) -> None:
    cylinder = Cylinder(needles, 110.0, dial)
    layout = lay_out_rib(pq, cylinder, machine(cylinder), remainder, RibEnd.INSTEP)
    assert [needle for needle, _ in layout.instep] == list(purls)


@pytest.mark.parametrize("dial", DialKind)
@pytest.mark.parametrize("remainder", Remainder)
def test_an_instep_rib_is_the_legs_own_with_plain_edges(
    dial: DialKind, remainder: Remainder
) -> None:
    """A rib that the ring takes can go down the instep: whole purl wales, a knit one beside each
    border, and the leg has as many purl wales as a rib that ends there."""
    for needles in (*range(24, 67), 84, 100):
        cylinder = Cylinder(needles, 110.0, dial)
        for pq in RIBS:
            if not can_make(pq, cylinder, RibEnd.LEG, remainder):
                continue
            layout = lay_out_rib(pq, cylinder, machine(cylinder), remainder, RibEnd.INSTEP)
            leg = lay_out_rib(pq, cylinder, machine(cylinder), remainder, RibEnd.LEG)
            placed = [needle for needle, _ in layout.instep]
            assert placed
            assert needles // 2 + 1 < placed[0] <= placed[-1] < needles
            assert set(layout.instep) <= set(layout.rib)
            assert len(layout.rib) == len(leg.rib)
            paired = bool(layout.paired)
            assert paired or len(placed) % pq[1] == 0
            assert len(layout.instep) + len(layout.above) == len(layout.rib)
            assert sum(plain_edges(layout, needles)) + placed[-1] - placed[0] + 1 == (
                needles - needles // 2
            )


def test_a_rib_that_no_wale_of_fits_the_instep_is_refused() -> None:
    error = refusal((12, 12), 24, FULL, rib_to=RibEnd.INSTEP)
    assert error.offers[0].change == "let the rib end above the heel"
    assert can_make((12, 12), Cylinder(24, 110.0, FULL), RibEnd.LEG, REFUSE)


@pytest.mark.parametrize("dial", [None, *DialKind])
@pytest.mark.parametrize("remainder", Remainder)
@pytest.mark.parametrize("rib_to", RibEnd)
def test_can_make_says_what_lay_out_does(
    dial: DialKind | None, remainder: Remainder, rib_to: RibEnd
) -> None:
    for needles in (48, 54, 60, 61, 66):
        cylinder = Cylinder(needles, 110.0, dial)
        for pq in RIBS:
            try:
                layout = lay_out_rib(pq, cylinder, machine(cylinder), remainder, rib_to)
            except CannotMake:
                assert not can_make(pq, cylinder, rib_to, remainder)
            else:
                assert can_make(pq, cylinder, rib_to, remainder)
                assert layout.name == f"{pq[0]}x{pq[1]}"


# Refusals


def accept(
    change: str, pq: tuple[int, int], cylinder: Cylinder, rib_to: RibEnd, remainder: Remainder
) -> list[bool]:
    """Whether what an offer says can be made, for each choice it names."""
    if ribs := re.findall(r"(\d+)x(\d+)", change):
        return [can_make((int(p), int(q)), cylinder, rib_to, remainder) for p, q in ribs]
    if number := re.search(r"the (\d+)-needle cylinder", change):
        other = next(c for c in OTHERS if c.needles == int(number[1]))
        return [can_make(pq, other, rib_to, remainder)]
    if "left over plain" in change:
        named = {HOME: "home", HALFWAY: "halfway"}
        return [can_make(pq, cylinder, rib_to, r) for r, word in named.items() if word in change]
    if change == "a full dial":
        return [can_make(pq, Cylinder(cylinder.needles, None, FULL), rib_to, remainder)]
    if change == "let the rib end above the heel":
        return [can_make(pq, cylinder, RibEnd.LEG, remainder)]
    assert change == "a mock-rib hem"
    return [mock_rib_is_proven(cylinder.needles)]


@cache
def mock_rib_is_proven(needles: int) -> bool:
    """Whether a sock with a mock-rib hem can be knitted on so many needles."""
    return knit(size(needles, sock(cuff=CuffGiven(CuffKind.MOCK_RIB_HEM)))).run.ok


OTHERS = (
    Cylinder(48, 110.0, HALF),
    Cylinder(72, 110.0, HALF),
    Cylinder(54, 110.0, TWO_THIRDS),
    Cylinder(96, 110.0, FULL),
    Cylinder(84, 110.0, None),
)


@pytest.mark.parametrize("dial", [None, *DialKind])
@pytest.mark.parametrize("rib_to", RibEnd)
@pytest.mark.parametrize("needles", [50, 54, 60, 61, 64, 66, 84, 100])
def test_every_offer_can_be_made(dial: DialKind | None, rib_to: RibEnd, needles: int) -> None:
    cylinder = Cylinder(needles, 110.0, dial)
    for pq in RIBS:
        for remainder in Remainder:
            if can_make(pq, cylinder, rib_to, remainder):
                continue
            error = refusal(pq, needles, dial, remainder, rib_to, OTHERS)
            for offer in error.offers:
                made = accept(offer.change, pq, cylinder, rib_to, remainder)
                assert made, offer
                assert all(made), (pq, remainder, offer)


def test_a_rib_that_does_not_divide_offers_what_does() -> None:
    error = refusal((3, 1), 54, HALF, others=OTHERS)
    assert "3x1" in error.reason
    assert "54" in error.reason
    assert [offer.what for offer in error.offers] == [
        {"cuff.remainder": "home"},
        {"cuff.rib": "1x1"},
        {"cuff.rib": "5x1"},
        {"needles": 48},
    ]
    assert "at home or at the halfway mark" in error.offers[0].change


def test_no_dial_offers_the_mock_rib() -> None:
    assert [offer.change for offer in refusal((1, 1), 60, None).offers] == ["a mock-rib hem"]


# On the needles


@pytest.mark.parametrize(
    ("pq", "needles", "dial"),
    [((1, 1), 60, HALF), ((3, 1), 60, HALF), ((2, 1), 54, TWO_THIRDS), ((4, 2), 60, FULL)],
)
def test_rib_rounds_purl_where_the_rib_says(
    pq: tuple[int, int], needles: int, dial: DialKind
) -> None:
    table = knit(size(needles, sock(cuff=rib(*pq)), dial=dial)).run.loops
    run = [run for run in table.runs if run.section == "cuff"][-1]
    kinds = table.kind[run.first : run.first + len(run.slots)].tolist()
    p, q = pq
    assert kinds == ([LoopKind.KNIT] * p + [LoopKind.PURL] * q) * (needles // (p + q))


# Half dial, full and two-thirds; even and odd halves and an odd ring.
CARRIED = [
    ((3, 1), 60, HALF, REFUSE),
    ((3, 1), 72, HALF, REFUSE),
    ((5, 1), 54, HALF, REFUSE),
    ((1, 1), 66, HALF, REFUSE),
    ((2, 1), 54, TWO_THIRDS, REFUSE),
    ((3, 1), 61, FULL, HOME),
    ((4, 2), 66, FULL, HALFWAY),
]


@pytest.mark.parametrize(("pq", "needles", "dial", "remainder"), CARRIED)
def test_rib_carried_down_the_instep_leaves_the_sole_plain(
    pq: tuple[int, int], needles: int, dial: DialKind, remainder: Remainder
) -> None:
    cuff = replace(rib(*pq, RibEnd.INSTEP), remainder=remainder)
    sized = size(needles, sock(cuff=cuff), dial=dial)
    assert sized.cuff.rib is not None
    made = knit(sized)
    assert made.run.ok
    table = made.run.loops
    run = next(run for run in table.runs if run.section == "foot" and run.shape == "round")
    kinds = table.kind[run.first : run.first + len(run.slots)]
    purls = [place + 1 for place in (kinds == LoopKind.PURL).nonzero()[0]]
    assert purls == [needle for needle, _ in sized.cuff.rib.instep]
