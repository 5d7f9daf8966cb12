"""The maker's own pace on a machine, by the socks counted there and by what is usual.

A pace is worked out on its logarithm, with a conjugate normal: the usual pace has the sd of the
fact, which is that between makers and that between the socks of one maker together; the mean of n
counted socks has the latter by the root of n. With little counted the usual pace weighs more, with
much the own.
"""

from __future__ import annotations

from math import sqrt

from sockwright.estimates import THE_ORDER, Derivation, Estimate
from sockwright.facts import fact, with_standing
from sockwright.i18n import _, ngettext
from sockwright.machine import OwnPace


def own_pace(own: OwnPace, label: str) -> Estimate:
    """The pace that the maker's next sock will have, in the unit of its fact."""
    known = fact("pace", own.name)
    of_one = fact("pace", "between_socks").number
    of_all = known.estimate.sd / known.number
    between_makers = sqrt(max(of_all**2 - of_one**2, 0.0))
    weight = between_makers**2 / (between_makers**2 + of_one**2 / own.socks)
    usual = Estimate(known.number, between_makers * known.number, known.unit)
    counted = Estimate(own.value, own.value * of_one / sqrt(own.socks), known.unit)
    key = f"pace.{own.name}"
    from_socks = ngettext(
        "your own pace on this machine, from {n} sock",
        "your own pace on this machine, from {n} socks",
        own.socks,
    )
    usually = known.called(f"{key}.usual", _("the usual pace"), usual)
    counted = counted.called(
        Derivation(f"{key}.own", from_socks, THE_ORDER, standing="derived", origin="measured")
    )
    next_sock = Estimate(1.0, of_one, "1").called(
        Derivation(
            f"{key}.next",
            _("one sock is not knitted as fast as another"),
            with_standing(_("how a maker's pace differs from sock to sock"), "assumption"),
            standing="assumption",
            origin="table",
        )
    )
    # Without a formula, as a fact is told: beside the other paces it says whose it is.
    return (usually ** (1.0 - weight) * counted**weight * next_sock).named(
        key,
        label,
        known.unit,
        "",
        _("{own}; the usual pace: {usual}", own=from_socks, usual=known.told),
    )
