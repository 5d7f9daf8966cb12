"""Which ribs a cylinder and its dial can make, and which needles purl."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.errors import CannotMake, Offer
from sockwright.machine.model import Cylinder, DialKind, Machine
from sockwright.order.model import Remainder, RibEnd

Moves = tuple[tuple[int, int], ...]
"""(cylinder needle, dial slot) pairs."""


@dataclass(frozen=True)
class RibLayout:
    """A rib laid out on a ring of needles.

    `name` as "3x1"; `dial` the angular place of every dial slot in needle numbers; `rib` the
    cylinder needles whose loops go to the dial, each with its slot; `edge` the same for the first
    edge, before the rib proper; `paired` dial slots that stand beside another and begin empty.
    """

    name: str
    dial: tuple[float, ...]
    rib: Moves
    edge: Moves
    paired: tuple[int, ...] = ()

    def over(self, first: int, last: int) -> Moves:
        """The rib's moves whose needles lie in first..last."""
        return tuple(move for move in self.rib if first <= move[0] <= last)


def dial_places(kind: DialKind, needles: int) -> tuple[float, ...]:
    """Angular place of each dial slot, in needle numbers (slot 1 first).

    A half dial has a slot over every second needle, a full one over every needle, a two-thirds
    dial three half-needles apart (common practice: 54 needles with a dial of 36).
    """
    if kind is DialKind.FULL:
        return tuple(float(place) for place in range(1, needles + 1))
    if kind is DialKind.HALF:
        return tuple(float(place) for place in range(2, needles + 1, 2))
    return tuple(1.5 * place for place in range(1, 2 * needles // 3 + 1))


def purl_needles(knit: int, purl: int, needles: int, remainder: Remainder) -> tuple[int, ...]:
    """Needles that purl in a knit x purl rib from needle 1 on, the needles left over knitted
    plain at home (the last ones) or from the halfway mark on."""
    period = knit + purl
    spare = needles % period
    pause = needles - spare
    if remainder is Remainder.HALFWAY:
        pause = (needles // 2) // period * period
    places = []
    for place in range(needles - spare):
        if place % period >= knit:
            places.append(place + 1 + (spare if place >= pause else 0))
    return tuple(places)


def lay_out_rib(
    rib: tuple[int, int],
    cylinder: Cylinder,
    machine: Machine,
    remainder: Remainder,
    rib_to: RibEnd,
) -> RibLayout:
    """The layout of a true rib on `cylinder`.

    Raises CannotMake, with the nearest ribs and cylinders that can, where the dial is missing or
    has no slot where one is needed, the rib does not divide the needles and no place is given for
    the rest, or a rib carried onto the instep does not end on the half.
    """
    knit, purl = rib
    name = f"{knit}x{purl}"
    needles = cylinder.needles
    if cylinder.dial is None:
        raise CannotMake(
            f"a {name} true rib needs a ribber, and the {needles}-needle cylinder has no dial",
            (Offer("a mock-rib hem", "looks ribbed but does not draw in as a rib does"),),
        )
    _check_division(rib, needles, machine, remainder, rib_to)
    if rib == (2, 2) and cylinder.dial is DialKind.TWO_THIRDS:
        return _paired_layout(needles)
    dial = dial_places(cylinder.dial, needles)
    purls = purl_needles(knit, purl, needles, remainder)
    missing = [needle for needle in purls if float(needle) not in dial]
    if missing:
        raise CannotMake(
            f"a {name} rib purls on needle {missing[0]}, where a {cylinder.dial.value} dial on "
            f"{needles} needles has no slot",
            _other_ribs(rib, cylinder, rib_to),
        )
    return RibLayout(name, dial, _moves(purls, dial), _moves(_edge_needles(dial, needles), dial))


def _moves(purls: tuple[int, ...], dial: tuple[float, ...]) -> Moves:
    return tuple((needle, dial.index(float(needle)) + 1) for needle in purls)


def _edge_needles(dial: tuple[float, ...], needles: int) -> tuple[int, ...]:
    """Needles that go to the dial for the first edge: every second where the dial allows."""
    alternate = tuple(range(2, needles + 1, 2))
    if all(float(needle) in dial for needle in alternate):
        return alternate
    return tuple(needle for needle in range(3, needles + 1, 3) if float(needle) in dial)


def _paired_layout(needles: int) -> RibLayout:
    """2x2 on a two-thirds dial: of every three needles one comes out, and a pair of dial needles
    stands in its gap (the dial turned by half a slot)."""
    out = tuple(range(3, needles + 1, 3))
    dial = tuple(place for needle in out for place in (needle - 0.75, needle + 0.75))
    moves = tuple((needle, 2 * place + 1) for place, needle in enumerate(out))
    return RibLayout("2x2", dial, moves, moves, tuple(slot + 1 for _, slot in moves))


def _check_division(
    rib: tuple[int, int], needles: int, machine: Machine, remainder: Remainder, rib_to: RibEnd
) -> None:
    knit, purl = rib
    period = _period(rib, machine, needles)
    half = needles // 2
    if rib_to is RibEnd.INSTEP and (half % period or (needles - half) % period):
        raise CannotMake(
            f"a {knit}x{purl} rib on {needles} needles does not end on the instep half of "
            f"{needles - half} needles",
            (
                Offer("let the rib end above the heel", "leg ribbed, foot plain"),
                *_ribs_that_fit(needles, halves=True),
                *_cylinders_that_fit(period, machine, halves=True),
            ),
        )
    if needles % period and remainder is Remainder.REFUSE:
        spare = needles % period
        raise CannotMake(
            f"a {knit}x{purl} rib repeats every {period} needles, which does not divide {needles}",
            (
                Offer(
                    f"knit the {spare} needles left over plain, at home or at the halfway mark",
                    f"one plain stripe {spare + knit} wales wide",
                ),
                *_ribs_that_fit(needles, halves=False),
                *_cylinders_that_fit(period, machine, halves=False),
            ),
        )


def _period(rib: tuple[int, int], machine: Machine, needles: int) -> int:
    """Cylinder needles in one repeat; a 2x2 on a two-thirds dial repeats every three."""
    dials = [c.dial for c in machine.cylinders if c.needles == needles]
    if rib == (2, 2) and DialKind.TWO_THIRDS in dials:
        return 3
    return sum(rib)


USUAL_RIBS = ((1, 1), (3, 1), (2, 1), (2, 2), (5, 1), (4, 2))


def _ribs_that_fit(needles: int, *, halves: bool) -> tuple[Offer, ...]:
    half = needles // 2
    fits = [
        f"{p}x{q}"
        for p, q in USUAL_RIBS
        if needles % (p + q) == 0
        and not (halves and (half % (p + q) or (needles - half) % (p + q)))
    ]
    if not fits:
        return ()
    return (Offer(f"a rib of {' or '.join(fits[:3])}", f"divides the {needles} needles"),)


def _cylinders_that_fit(period: int, machine: Machine, *, halves: bool) -> tuple[Offer, ...]:
    counts = [
        cylinder.needles
        for cylinder in machine.cylinders
        if cylinder.needles % (2 * period if halves else period) == 0
    ]
    if not counts:
        return ()
    return (Offer(f"the {counts[0]}-needle cylinder", "changes girth and rounds"),)


def _other_ribs(rib: tuple[int, int], cylinder: Cylinder, rib_to: RibEnd) -> tuple[Offer, ...]:
    """Ribs the dial can make, and the dial that could make the one asked for."""
    assert cylinder.dial is not None
    needles = cylinder.needles
    dial = dial_places(cylinder.dial, needles)
    fits = []
    for p, q in USUAL_RIBS:
        purls = purl_needles(p, q, needles, Remainder.HOME)
        divides = needles % (p + q) == 0
        on_half = rib_to is not RibEnd.INSTEP or (needles // 2) % (p + q) == 0
        if divides and on_half and all(float(n) in dial for n in purls):
            fits.append(f"{p}x{q}")
    offers = [Offer("a full dial", f"makes {rib[0]}x{rib[1]} on any of these needles")]
    if fits:
        offers.insert(0, Offer(f"a rib of {' or '.join(fits[:3])}", "this dial can make it"))
    return tuple(offers)
