"""What a refused order is offered can be had by writing the keys that the offer names."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace

import pytest

from orders import order
from sockwright.errors import CannotMake, Offer, keys_words
from sockwright.order.changes import as_tables, changed
from sockwright.order.model import (
    CuffGiven,
    CuffKind,
    CupGiven,
    HeelGiven,
    LegGiven,
    Order,
    RibEnd,
    SockGiven,
)
from sockwright.plan.make import make_plan

RIB = CuffGiven(CuffKind.TRUE_RIB)
TEN_KEPT = HeelGiven(cup=CupGiven(kept=10))
REFUSED = {
    "no such cylinder": order(60, sock=SockGiven(needles=72)),
    "too many needles": order(60, 96, sock=SockGiven(needles=96)),
    "no dial": order(60, sock=SockGiven(RIB)),
    "a rib on no half": order(60, sock=SockGiven(replace(RIB, rib=(3, 1), rib_to=RibEnd.INSTEP))),
    "a heel that does not turn": order(58, stretch=1.7, sock=SockGiven(heel=TEN_KEPT)),
    "over the knee": order(60, sock=SockGiven(leg=LegGiven(height_mm=550.0))),
    "too few rounds": order(60, sock=SockGiven(leg=LegGiven(rounds=1))),
    "too low": order(60, sock=SockGiven(leg=LegGiven(height_mm=60.0))),
    "two things at once": order(
        58, 60, 96, sock=SockGiven(RIB, heel=TEN_KEPT, leg=LegGiven(rounds=1), needles=96)
    ),
}


def refusal(asked: Order) -> CannotMake:
    with pytest.raises(CannotMake) as caught:
        make_plan(asked)
    return caught.value


def sure(refused: CannotMake) -> list[Offer]:
    """The offers that a key of the order stands for."""
    return [offer for offer in refused.offers if offer.what]


@pytest.mark.parametrize("asked", REFUSED.values(), ids=REFUSED.keys())
def test_every_refusal_offers_something_that_can_be_had(asked: Order) -> None:
    offers = sure(refusal(asked))
    assert offers
    for offer in offers:
        assert make_plan(changed(asked, offer.what)).ok


@pytest.mark.parametrize("asked", REFUSED.values(), ids=REFUSED.keys())
def test_what_the_command_line_says_to_write_is_what_the_offer_stands_for(asked: Order) -> None:
    for offer in sure(refusal(asked)):
        assert written(offer.what) == as_tables(offer.what)


def written(what: Mapping[str, str | int]) -> dict[str, object]:
    """The tables that a reader of the words would write."""
    text = ""
    for place in str(keys_words(what)).split("], "):
        lines, table = place.rstrip("]").split(" in [")
        text += f"[{table}]\n" + "".join(f"{line}\n" for line in lines.split(", "))
    sock = tomllib.loads(text)["sock"]
    assert isinstance(sock, dict)
    return sock


def test_a_cylinder_offered_is_one_that_the_foot_fits() -> None:
    offers = sure(refusal(REFUSED["too many needles"]))
    assert {"needles": 60} in [offer.what for offer in offers]


def test_an_offer_that_cannot_be_had_is_not_made() -> None:
    """A 1x1 rib opens far enough for a thick calf, but this machine has no dial."""
    asked = order(60, foot=replace(order().wearer.left, calf_girth_mm=460.0))
    asked = replace(asked, sock=SockGiven(leg=LegGiven(height_mm=380.0)))
    refused = refusal(asked)
    assert all(offer.what.get("cuff.kind") != "true rib" for offer in refused.offers)
    assert sure(refused)


def test_where_nothing_of_the_order_helps_that_is_said() -> None:
    """A tube half as wide as the foot, and no other cylinder."""
    refused = refusal(order(30))
    assert sure(refused) == []
    assert refused.offers


def test_a_key_replaces_those_that_say_the_same() -> None:
    asked = order(60, sock=SockGiven(leg=LegGiven(rounds=40)))
    assert changed(asked, {"leg.height": "24 cm"}).sock.leg == LegGiven(height_mm=240.0)
    ribbed = changed(asked, {"cuff.kind": "true rib", "cuff.rib": "3x1"})
    assert ribbed.sock.cuff == CuffGiven(CuffKind.TRUE_RIB, rib=(3, 1))
    assert changed(ribbed, {"cuff.kind": "hung hem"}).sock.cuff == CuffGiven()
