"""Which ribs a cylinder and its dial can make, and which needles purl."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sockwright.errors import CannotMake, Offer
from sockwright.i18n import _, listed
from sockwright.machine import Cylinder, DialKind, Machine
from sockwright.order.model import CuffKind, Remainder, RibEnd

Moves = tuple[tuple[int, int], ...]
"""(cylinder needle, dial slot) pairs."""

MOCK_RIB = Offer(
    _("a mock-rib hem"),
    _("looks ribbed but does not draw in as a rib does"),
    {"cuff.kind": str(CuffKind.MOCK_RIB_HEM)},
)


@dataclass(frozen=True)
class RibLayout:
    """A rib laid out on a ring of needles.

    `name` as "3x1"; `dial` the angular place of every dial slot in needle numbers; `rib` the
    cylinder needles whose loops go to the dial, each with its slot; `edge` the same for the first
    edge, before the rib proper; `paired` dial slots that stand beside another and begin empty;
    `instep` those moves of `rib` that a foot keeps, where the rib goes down the instep.
    """

    name: str
    dial: tuple[float, ...]
    rib: Moves
    edge: Moves
    paired: tuple[int, ...] = ()
    instep: Moves = ()

    @property
    def above(self) -> Moves:
        """The rib's moves that end above the heel."""
        return tuple(move for move in self.rib if move not in self.instep)

    def slots_at(self, needle: int) -> tuple[int, ...]:
        """The dial slots of a needle that purls; two where they stand in pairs."""
        slot = dict(self.rib)[needle]
        return (slot, slot + 1) if slot + 1 in self.paired else (slot,)


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
    the rest, or no purl wale of a rib carried down the instep lies within that half.
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
    layout = _laid_out(rib, cylinder, remainder, rib_to)
    if layout is None:
        raise _without_slots(rib, cylinder, machine, remainder, rib_to)
    if rib_to is RibEnd.INSTEP and not layout.instep:
        raise _not_on_the_instep(rib, cylinder, machine, remainder)
    return layout


def _laid_out(
    rib: tuple[int, int], cylinder: Cylinder, remainder: Remainder, rib_to: RibEnd
) -> RibLayout | None:
    """The layout, None where the dial has no slot at a purling needle. A rib down the instep is
    turned on the ring until it stands in the middle of that half, as nearly as the slots allow."""
    needles = cylinder.needles
    if _paired(rib, cylinder):
        layout = _paired_layout(needles)
        kept = within_instep(tuple((needle,) for needle, _ in layout.rib), needles)
        moves = tuple(move for move in layout.rib if (move[0],) in kept)
        return replace(layout, instep=moves) if rib_to is RibEnd.INSTEP else layout
    assert cylinder.dial is not None
    dial = dial_places(cylinder.dial, needles)
    wales = _purl_wales(*rib, needles, remainder)
    turns = _turns(*rib, needles, remainder) if rib_to is RibEnd.INSTEP else (0,)
    turned = [_turned(wales, turn, needles) for turn in turns]
    slots = {int(place) for place in dial if place == int(place)}
    possible = [ring for ring in turned if slots.issuperset(needle for w in ring for needle in w)]
    if not possible:
        return None
    ring = min(possible, key=lambda ring: _off_middle(ring, needles))
    kept = within_instep(ring, needles) if rib_to is RibEnd.INSTEP else ()
    return RibLayout(
        f"{rib[0]}x{rib[1]}",
        dial,
        _moves(_needles_of(ring), dial),
        _moves(_edge_needles(dial, needles), dial),
        instep=_moves(_needles_of(kept), dial),
    )


Wales = tuple[tuple[int, ...], ...]
"""The needles of each purl wale, or of each group of them side by side."""


def within_instep(wales: Wales, needles: int) -> Wales:
    """The purl wales that lie within the instep half, a knit wale beside each of its borders."""
    first, last = needles // 2 + 2, needles - 1
    return tuple(wale for wale in wales if first <= min(wale) and max(wale) <= last)


def plain_edges(layout: RibLayout, needles: int) -> tuple[int, int]:
    """Needles knitted plain beside a rib on the instep: before it and after it."""
    placed = [needle for needle, _ in layout.instep]
    return min(placed) - needles // 2 - 1, needles - max(placed)


def _off_middle(ring: Wales, needles: int) -> tuple[int, int]:
    """How unlike the plain edges of the instep are, and then the wales that it lacks."""
    placed = _needles_of(within_instep(ring, needles))
    if not placed:
        return needles, 0
    before, after = placed[0] - needles // 2 - 1, needles - placed[-1]
    return abs(before - after), -len(placed)


def _needles_of(wales: Wales) -> tuple[int, ...]:
    return tuple(sorted(needle for wale in wales for needle in wale))


def _purl_wales(knit: int, purl: int, needles: int, remainder: Remainder) -> Wales:
    """The purling needles of a rib from needle 1 on, each repeat's together."""
    purls = purl_needles(knit, purl, needles, remainder)
    return tuple(purls[at : at + purl] for at in range(0, len(purls), purl))


def _turned(wales: Wales, by: int, needles: int) -> Wales:
    return tuple(tuple((needle - 1 + by) % needles + 1 for needle in wale) for wale in wales)


def _turns(knit: int, purl: int, needles: int, remainder: Remainder) -> tuple[int, ...]:
    """By how many needles the rib may be turned on the ring, none first: through one repeat, but
    a plain stripe keeps the mark that it lies at."""
    period = knit + purl
    spare = needles % period
    turns = range(-knit, spare + 1 if spare else purl)
    if spare and remainder is Remainder.HALFWAY:
        half = needles // 2
        before = half // period * period
        stripe = before + spare + knit
        turns = range(max(-knit, half - stripe), min(spare, half - before) + 1)
    return tuple(sorted({0, *turns}, key=abs))


def _without_slots(
    rib: tuple[int, int],
    cylinder: Cylinder,
    machine: Machine,
    remainder: Remainder,
    rib_to: RibEnd,
) -> CannotMake:
    """The refusal of a rib that the dial has no slots for."""
    assert cylinder.dial is not None
    needles, name = cylinder.needles, f"{rib[0]}x{rib[1]}"
    dial = dial_places(cylinder.dial, needles)
    purls = purl_needles(*rib, needles, remainder)
    missing = next(needle for needle in purls if float(needle) not in dial)
    full = replace(cylinder, dial=DialKind.FULL)
    wide = Offer(_("a full dial"), _("makes {name} on these needles", name=name))
    return CannotMake(
        _(
            "a {name} rib purls on needle {missing}, where a {dial} dial on "
            "{needles} needles has no slot",
            name=name,
            missing=missing,
            dial=_(cylinder.dial.value),
            needles=needles,
        ),
        (
            *_ribs_that_fit(cylinder, rib_to, _("this dial can make it")),
            *((wide,) if can_make(rib, full, rib_to, remainder) else ()),
            *_cylinders_that_fit(rib, machine, rib_to),
        )
        or (MOCK_RIB,),
    )


def _not_on_the_instep(
    rib: tuple[int, int], cylinder: Cylinder, machine: Machine, remainder: Remainder
) -> CannotMake:
    """The refusal of a rib whose purl wales all cross the borders of the instep."""
    end = Offer(
        _("let the rib end above the heel"),
        _("leg ribbed, foot plain"),
        {"cuff.rib_to": str(RibEnd.LEG)},
    )
    fits = _ribs_that_fit(cylinder, RibEnd.INSTEP, _("its purl wales lie within the instep"))
    return CannotMake(
        _(
            "no purl wale of a {knit}x{purl} rib lies within the instep half of {instep} needles",
            knit=rib[0],
            purl=rib[1],
            instep=cylinder.needles - cylinder.needles // 2,
        ),
        (end, *fits, *_cylinders_that_fit(rib, machine, RibEnd.INSTEP)),
    )


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


def _divides(rib: tuple[int, int], cylinder: Cylinder) -> bool:
    """Whether the rib divides the ring of needles."""
    return cylinder.needles % _period(rib, cylinder) == 0


def can_make(
    rib: tuple[int, int], cylinder: Cylinder, rib_to: RibEnd, remainder: Remainder
) -> bool:
    """Whether `lay_out_rib` would lay this rib out."""
    if cylinder.dial is None:
        return False
    if not _divides(rib, cylinder) and not _rest_is_placed(rib, cylinder, remainder):
        return False
    layout = _laid_out(rib, cylinder, remainder, rib_to)
    return layout is not None and (rib_to is not RibEnd.INSTEP or bool(layout.instep))


def _rest_is_placed(rib: tuple[int, int], cylinder: Cylinder, remainder: Remainder) -> bool:
    """Whether needles left over by the repeat have a place where they are knitted plain; those of
    a rib in pairs only at home."""
    return remainder is Remainder.HOME or (
        remainder is Remainder.HALFWAY and not _paired(rib, cylinder)
    )


def _check_division(
    rib: tuple[int, int],
    cylinder: Cylinder,
    machine: Machine,
    remainder: Remainder,
    rib_to: RibEnd,
) -> None:
    """Refuse a rib whose repeat does not come out on the ring."""
    if _divides(rib, cylinder) or _rest_is_placed(rib, cylinder, remainder):
        return
    knit, purl = rib
    needles = cylinder.needles
    others = _ribs_that_fit(cylinder, rib_to, _("divides the {needles} needles", needles=needles))
    others += _cylinders_that_fit(rib, machine, rib_to)
    raise CannotMake(
        _(
            "a {knit}x{purl} rib repeats every {period} needles, which does not divide {needles}",
            knit=knit,
            purl=purl,
            period=_period(rib, cylinder),
            needles=needles,
        ),
        _plain_stripe(rib, cylinder, rib_to) + others or (MOCK_RIB,),
    )


def _plain_stripe(rib: tuple[int, int], cylinder: Cylinder, rib_to: RibEnd) -> tuple[Offer, ...]:
    """The offer to knit the needles left over plain, at the places where the dial allows it."""
    words = {Remainder.HOME: _("at home"), Remainder.HALFWAY: _("at the halfway mark")}
    able = [where for where in words if can_make(rib, cylinder, rib_to, where)]
    places = [words[where] for where in able]
    if not places:
        return ()
    spare = cylinder.needles % _period(rib, cylinder)
    where = listed(places, "or")
    return (
        Offer(
            _("knit the {spare} needles left over plain, {where}", spare=spare, where=where),
            _("one plain stripe {wales} wales wide", wales=spare + rib[0]),
            {"cuff.remainder": str(able[0])},
        ),
    )


MOST_RIBS = 3
"""Ribs offered at once."""
USUAL_RIBS = ((1, 1), (3, 1), (2, 1), (2, 2), (5, 1), (4, 2))


def _ribs_that_fit(cylinder: Cylinder, rib_to: RibEnd, effect: str) -> tuple[Offer, ...]:
    fits = [
        f"{p}x{q}" for p, q in USUAL_RIBS if can_make((p, q), cylinder, rib_to, Remainder.REFUSE)
    ]
    return tuple(
        Offer(_("a {rib} rib", rib=rib), effect, {"cuff.rib": rib}) for rib in fits[:MOST_RIBS]
    )


def _cylinders_that_fit(
    rib: tuple[int, int], machine: Machine, rib_to: RibEnd
) -> tuple[Offer, ...]:
    for cylinder in machine.cylinders:
        if can_make(rib, cylinder, rib_to, Remainder.REFUSE):
            change = _("the {needles}-needle cylinder", needles=cylinder.needles)
            effect = _("changes girth and rounds")
            return (Offer(change, effect, {"needles": cylinder.needles}),)
    return ()
