"""Ribs: which needles purl, which dials can do it, and refusals whose offers can be made."""

from __future__ import annotations

import re
from functools import cache

import pytest

from builders import knit, machine, rib, size, sock
from sockwright.errors import CannotMake
from sockwright.machine import Cylinder, DialKind
from sockwright.needlebed.loops import LoopKind
from sockwright.order.model import CuffGiven, CuffKind, Remainder, RibEnd
from sockwright.sock.rib import can_make, dial_places, lay_out_rib, purl_needles

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


@pytest.mark.parametrize(
    ("pq", "needles", "on_half"),
    [((3, 1), 72, True), ((3, 1), 60, False), ((3, 1), 84, False), ((3, 1), 100, False)],
)
def test_rib_on_the_instep_must_divide_the_half(
    pq: tuple[int, int], needles: int, on_half: bool
) -> None:
    """3x1 divides 60, 84 and 100 but not their halves (common practice)."""
    cylinder = Cylinder(needles, 110.0, HALF)
    assert can_make(pq, cylinder, RibEnd.LEG, REFUSE)
    assert can_make(pq, cylinder, RibEnd.INSTEP, REFUSE) is on_half


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
    assert [offer.change for offer in error.offers] == [
        "knit the 2 needles left over plain, at home or at the halfway mark",
        "a rib of 1x1 or 5x1",
        "the 48-needle cylinder",
    ]


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


def test_rib_carried_down_the_instep_leaves_the_sole_plain() -> None:
    table = knit(size(72, sock(cuff=rib(3, 1, RibEnd.INSTEP)), dial=HALF)).run.loops
    run = next(run for run in table.runs if run.section == "foot" and run.shape == "round")
    kinds = table.kind[run.first : run.first + len(run.slots)].tolist()
    assert kinds == [LoopKind.KNIT] * 36 + ([LoopKind.KNIT] * 3 + [LoopKind.PURL]) * 9
