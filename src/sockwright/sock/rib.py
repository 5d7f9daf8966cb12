"""Which ribs a cylinder and its dial can make, and which needles purl."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.errors import CannotMake, Offer
from sockwright.i18n import _, either, listed
from sockwright.machine import Cylinder, DialKind, Machine
from sockwright.order.model import Remainder, RibEnd

Moves = tuple[tuple[int, int], ...]
"""(cylinder needle, dial slot) pairs."""

MOCK_RIB = Offer(_("a mock-rib hem"), _("looks ribbed but does not draw in as a rib does"))


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
            _(
                "a {name} true rib needs a ribber, and the {needles}-needle cylinder has no dial",
                name=name,
                needles=needles,
            ),
            (MOCK_RIB,),
        )
    _check_division(rib, cylinder, machine, remainder, rib_to)
    if _paired(rib, cylinder):
        return _paired_layout(needles)
    dial = dial_places(cylinder.dial, needles)
    purls = purl_needles(knit, purl, needles, remainder)
    missing = [needle for needle in purls if float(needle) not in dial]
    if missing:
        raise CannotMake(
            _(
                "a {name} rib purls on needle {missing}, where a {dial} dial on "
                "{needles} needles has no slot",
                name=name,
                missing=missing[0],
                dial=_(cylinder.dial.value),
                needles=needles,
            ),
            (
                *_ribs_that_fit(cylinder, rib_to, _("this dial can make it")),
                Offer(_("a full dial"), _("makes {name} on these needles", name=name)),
                *_cylinders_that_fit(rib, machine, rib_to),
            ),
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


def _paired(rib: tuple[int, int], cylinder: Cylinder) -> bool:
    """Whether this rib is knitted with pairs of dial needles."""
    return rib == (2, 2) and cylinder.dial is DialKind.TWO_THIRDS


def _period(rib: tuple[int, int], cylinder: Cylinder) -> int:
    """Cylinder needles in one repeat; a pair of dial needles stands in the gap of one needle."""
    return 3 if _paired(rib, cylinder) else sum(rib)


def _divides(rib: tuple[int, int], cylinder: Cylinder, rib_to: RibEnd) -> bool:
    """Whether the rib divides the needles, and where it goes onto the instep both halves."""
    period = _period(rib, cylinder)
    half = cylinder.needles // 2
    if rib_to is RibEnd.INSTEP:
        return half % period == 0 and (cylinder.needles - half) % period == 0
    return cylinder.needles % period == 0


def can_make(
    rib: tuple[int, int], cylinder: Cylinder, rib_to: RibEnd, remainder: Remainder
) -> bool:
    """Whether `lay_out_rib` would lay this rib out."""
    if cylinder.dial is None:
        return False
    divides = _divides(rib, cylinder, rib_to)
    if not divides and (remainder is Remainder.REFUSE or rib_to is RibEnd.INSTEP):
        return False
    if _paired(rib, cylinder):
        return divides or remainder is Remainder.HOME
    dial = dial_places(cylinder.dial, cylinder.needles)
    return all(float(n) in dial for n in purl_needles(*rib, cylinder.needles, remainder))


def _check_division(
    rib: tuple[int, int],
    cylinder: Cylinder,
    machine: Machine,
    remainder: Remainder,
    rib_to: RibEnd,
) -> None:
    """Refuse a rib whose repeat does not come out on the ring, or on the instep."""
    if _divides(rib, cylinder, rib_to):
        return
    knit, purl = rib
    needles = cylinder.needles
    others = _ribs_that_fit(cylinder, rib_to, _("divides the {needles} needles", needles=needles))
    others += _cylinders_that_fit(rib, machine, rib_to)
    if rib_to is RibEnd.INSTEP:
        if can_make(rib, cylinder, RibEnd.LEG, remainder):
            others = (
                Offer(_("let the rib end above the heel"), _("leg ribbed, foot plain")),
                *others,
            )
        raise CannotMake(
            _(
                "a {knit}x{purl} rib on {needles} needles does not end on the instep half of "
                "{instep} needles",
                knit=knit,
                purl=purl,
                needles=needles,
                instep=needles - needles // 2,
            ),
            others or (MOCK_RIB,),
        )
    if remainder is Remainder.REFUSE or (_paired(rib, cylinder) and remainder is Remainder.HALFWAY):
        period = _period(rib, cylinder)
        raise CannotMake(
            _(
                "a {knit}x{purl} rib repeats every {period} needles, "
                "which does not divide {needles}",
                knit=knit,
                purl=purl,
                period=period,
                needles=needles,
            ),
            _plain_stripe(rib, cylinder, rib_to) + others or (MOCK_RIB,),
        )


def _plain_stripe(rib: tuple[int, int], cylinder: Cylinder, rib_to: RibEnd) -> tuple[Offer, ...]:
    """The offer to knit the needles left over plain, at the places where the dial allows it."""
    words = {Remainder.HOME: _("at home"), Remainder.HALFWAY: _("at the halfway mark")}
    places = [words[r] for r in words if can_make(rib, cylinder, rib_to, r)]
    if not places:
        return ()
    spare = cylinder.needles % _period(rib, cylinder)
    where = listed(places, "or")
    return (
        Offer(
            _("knit the {spare} needles left over plain, {where}", spare=spare, where=where),
            _("one plain stripe {wales} wales wide", wales=spare + rib[0]),
        ),
    )


USUAL_RIBS = ((1, 1), (3, 1), (2, 1), (2, 2), (5, 1), (4, 2))


def _ribs_that_fit(cylinder: Cylinder, rib_to: RibEnd, effect: str) -> tuple[Offer, ...]:
    fits = [
        f"{p}x{q}" for p, q in USUAL_RIBS if can_make((p, q), cylinder, rib_to, Remainder.REFUSE)
    ]
    return (Offer(_("a rib of {ribs}", ribs=either(fits[:3])), effect),) if fits else ()


def _cylinders_that_fit(
    rib: tuple[int, int], machine: Machine, rib_to: RibEnd
) -> tuple[Offer, ...]:
    for cylinder in machine.cylinders:
        if can_make(rib, cylinder, rib_to, Remainder.REFUSE):
            change = _("the {needles}-needle cylinder", needles=cylinder.needles)
            return (Offer(change, _("changes girth and rounds")),)
    return ()
