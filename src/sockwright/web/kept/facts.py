"""The few facts by which a kept thing is known in a list, by the order of its kind's headings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sockwright.facts.feet import foot_measures
from sockwright.i18n.messages import _, dated, joined, listed, ngettext
from sockwright.measure.foot_measures import spoken
from sockwright.order.model import Closing as ToeClosing
from sockwright.order.model import CuffKind, HeelKind
from sockwright.store.items import ItemKind, Thing
from sockwright.web.context import address
from sockwright.web.pairs_kept import part_of
from sockwright.web.preferences import Formats
from sockwright.workshop.gauge_memory import staleness

WANTED = tuple(name for name, one in foot_measures().items() if one.wanted)
"""The measures that a sock is reckoned from; without them they are estimated."""


Others = Mapping[str, Thing]
"""The things that one may refer to, by id."""


@dataclass(frozen=True)
class Fact:
    """A fact in the words of its user or ours (those are `Said`); `warns` marks a doubt."""

    words: str
    link: str = ""
    warns: bool = False


def person(thing: Thing, others: Others, formats: Formats) -> tuple[Fact, ...]:
    """The length of the feet, and which measures are wanting."""
    foot = thing.document.get("foot", {})
    feet = [{**foot, **foot.get(side, {})} for side in ("left", "right")]
    missing = [spoken(name) for name in WANTED if not all(name in one for one in feet)]
    return (
        Fact(_length(feet, thing.document.get("wearer", {}), formats)),
        Fact(joined(", ", missing) if missing else _("nothing")),
    )


def _length(feet: list[dict[str, Any]], wearer: Mapping[str, Any], formats: Formats) -> str:
    left, right = (formats.typed_length(str(one.get("length", ""))) for one in feet)
    if left and left == right:
        return left
    if left or right:
        return _(
            "left {left}, right {right}",
            left=left or _("not measured"),
            right=right or _("not measured"),
        )
    shoe = wearer.get("shoe_size")
    return _("by shoe size {shoe}", shoe=shoe) if shoe else _("not measured")


def yarn(thing: Thing, others: Others, formats: Formats) -> tuple[Fact, ...]:
    """What a yarn is, and how much there is of it."""
    document = thing.document
    fibres = [
        _("{share} {fibre}", share=str(share), fibre=_(name))
        for name, share in document.get("fibres", {}).items()
    ]
    amount = _("used up") if thing.fields["used_up"] else document.get("on_hand")
    return (
        Fact(str(document.get("fineness", ""))),
        Fact(joined(", ", fibres) if fibres else _("not stated")),
        Fact(amount or _("not stated")),
    )


def machine(thing: Thing, others: Others, formats: Formats) -> tuple[Fact, ...]:
    """Its cylinders, and its last service."""
    given = thing.document.get("cylinders", [])
    every = given if isinstance(given, list) else [given]
    cylinders = _("{cylinders} needles", cylinders=listed([_needles(one) for one in every]))
    if any(isinstance(one, Mapping) and "dial" in one for one in every):
        cylinders = listed([_cylinder(one) for one in every])
    serviced = thing.fields["serviced"]
    return (
        Fact(cylinders),
        Fact(dated(serviced) if serviced else _("not noted")),
    )


def _cylinder(given: Any) -> str:
    needles = _needles(given)
    if isinstance(given, Mapping) and "dial" in given:
        return _("{needles} needles with a dial", needles=needles)
    return _("{needles} needles", needles=needles)


def _needles(given: Any) -> str:
    return str(given.get("needles", "") if isinstance(given, Mapping) else given)


def swatch(thing: Thing, others: Others, formats: Formats) -> tuple[Fact, ...]:
    """What it was knitted of and on, how, when, and whether it still tells of that."""
    of = part_of(others, ItemKind.YARN, thing.fields["yarn_id"])
    on = part_of(others, ItemKind.MACHINE, thing.fields["machine_id"])
    document, stale = thing.document, staleness(thing, on)
    date = str(document.get("date", ""))
    return (
        Fact(of.name, address(of)),
        Fact(on.name, address(on)),
        Fact(str(document.get("needles", ""))),
        Fact(str(document["cam"]) if "cam" in document else _("not noted")),
        Fact(dated(date) if date else _("not noted")),
        Fact(_("outdated") if stale else _("yes"), warns=bool(stale)),
    )


def design(thing: Thing, others: Others, formats: Formats) -> tuple[Fact, ...]:
    """How the parts of a sock are made."""
    cuff, heel, toe = (thing.document.get(part, {}) for part in ("cuff", "heel", "toe"))
    return (
        Fact(_choice(cuff, "kind", CuffKind.HUNG_HEM)),
        Fact(_leg(thing.document.get("leg", {}), formats)),
        Fact(_choice(heel, "kind", HeelKind.SHORT_ROW)),
        Fact(_choice(toe, "closing", ToeClosing.GRAFT)),
    )


def _choice(part: Mapping[str, Any], key: str, usual: str) -> str:
    """The word that was chosen, as our own spelling has it, else the usual one."""
    return _(" ".join(str(part.get(key, usual)).casefold().replace("_", " ").split()))


def _leg(leg: Mapping[str, Any], formats: Formats) -> str:
    if "rounds" in leg:
        return ngettext("{n} round", "{n} rounds", int(leg["rounds"]))
    given = str(leg.get("height") or leg.get("leg") or "")
    return formats.typed_length(given) if given else _("chosen")


def note(thing: Thing, others: Others, formats: Formats) -> tuple[Fact, ...]:
    """What it is about."""
    about = part_of(others, ItemKind(thing.fields["about_kind"]), thing.fields["about_id"])
    return (Fact(about.name, address(about)),)
