"""What an order that is refused is offered instead: each change of it is tried before it is told.

Of a refusal's own offers those that can be had stay, and so does advice that no key of the order
stands for. Where too few are left, the usual changes are tried, the smallest first.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from sockwright.errors import CannotMake, Offer, OrderError
from sockwright.i18n import Message, _, joined
from sockwright.order.changes import changed
from sockwright.order.model import CuffKind, Drape, EaseGiven, Order
from sockwright.quantities import format_both
from sockwright.sock.fit import CylinderFit, ease_words
from sockwright.sock.leg import DEFAULT_HEIGHT
from sockwright.sock.sizing import Sizing

Sized = tuple[CylinderFit, Sizing]
Keys = dict[str, str | int]
Size = Callable[[Order], Sized | CannotMake]
"""How an order would be made, or why it cannot be."""

ENOUGH = 2
"""Changes that can be had, from which on no more are looked for."""
MOST_TRIED = 12
"""Changes that are tried, of a refusal's own and of the usual ones each."""
MOST_TOGETHER = 3
"""Changes that are tried together."""
MOST_CYLINDERS = 3


@dataclass(frozen=True)
class _Change:
    """A change to try: its words, its keys, and what it is said to effect, None to be told from
    what comes of it."""

    words: tuple[Message | str, ...]
    what: Keys
    effect: str | None = None

    def and_then(self, offer: Offer) -> _Change:
        """This change and what its own refusal offers."""
        return _Change((*self.words, offer.change), {**self.what, **offer.what})


def with_ways_out(
    refusal: CannotMake, order: Order, ranking: Sequence[CylinderFit], size: Size
) -> CannotMake:
    """The refusal with what can be had instead; `size` tells how a changed order would be made."""
    own = [
        _Change((offer.change,), dict(offer.what), offer.effect)
        for offer in refusal.offers
        if offer.what
    ]
    sure = list(_tried(own, order, size, len(own)))
    if len(sure) < ENOUGH:
        known = [offer.what for offer in sure]
        usual = [one for one in _usual(order, ranking) if one.what not in known]
        sure += _tried(usual, order, size, ENOUGH - len(sure))
    advice = [offer for offer in refusal.offers if not offer.what]
    return CannotMake(refusal.reason, (*sure, *advice) or (_NOTHING,))


def _tried(changes: Iterable[_Change], order: Order, size: Size, most: int) -> Iterator[Offer]:
    """At most so many of the changes that can be had; where one is refused, with what its refusal
    offers."""
    waiting = deque(changes)
    for __ in range(MOST_TRIED):
        if not waiting or not most:
            return
        change = waiting.popleft()
        try:
            sized = size(changed(order, change.what))
        except OrderError:
            continue
        if not isinstance(sized, CannotMake):
            most -= 1
            yield _offer(change, *sized)
        elif len(change.words) < MOST_TOGETHER:
            more = (one for one in sized.offers if one.what and not one.what.keys() & change.what)
            waiting.extend(change.and_then(one) for one in more)


_NOTHING = Offer(
    _("another yarn, machine or design"), _("no smaller change of this order makes a sock")
)


def _offer(change: _Change, fit: CylinderFit, sizing: Sizing) -> Offer:
    effect = change.effect or _(
        "{needles} needles, a tube of {girth}, {ease}; {height} high",
        needles=sizing.needles,
        girth=format_both(fit.girth.value),
        ease=ease_words(fit.girth_ease.value),
        height=format_both(sizing.leg_height.value),
    )
    return Offer(joined(", ", change.words), effect, change.what)


def _usual(order: Order, ranking: Sequence[CylinderFit]) -> Iterator[_Change]:
    """Other cylinders that fit without a doubt, then what is usual of each part that is not as
    usual."""
    fits = (fit.cylinder.needles for fit in ranking if fit.fits and not fit.doubts)
    others = (needles for needles in fits if needles != order.sock.needles)
    for needles in islice(others, MOST_CYLINDERS):
        words = _("the {needles}-needle cylinder", needles=needles)
        yield _Change((words,), {"needles": needles})
    yield from _of_design(order)


def _of_design(order: Order) -> Iterator[_Change]:
    sock, long = order.sock, order.wearer.left.length_mm
    if sock.cuff.kind is not CuffKind.HUNG_HEM:
        yield _Change((_("a hung hem"),), {"cuff.kind": str(CuffKind.HUNG_HEM)})
    if long is not None and (sock.leg.height_mm or sock.leg.leg_mm or sock.leg.rounds):
        height = round(DEFAULT_HEIGHT * long * (1 - sock.ease.length))
        words = _("a height of {height}", height=format_both(height))
        yield _Change((words,), {"leg.height": f"{height} mm"})
    usual = EaseGiven().girth
    if sock.ease.girth != usual:
        words = _("{share:.0f} % narrower than the foot", share=100 * usual)
        yield _Change((words,), {"ease.girth": f"{100 * usual:.0f} %"})
    if not order.swatches:
        for drape in Drape:
            if drape is not sock.drape:
                words = _("a {drape} fabric", drape=_(drape.value))
                yield _Change((words,), {"drape": str(drape)})
