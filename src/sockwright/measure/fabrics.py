"""The fabrics of a sock beside plain: ribs, hems and mock rib, each with a gauge of its own.

What is not measured comes from the plain fabric of the same needles by ratios of the trade
(`facts/fabrics.toml`); a swatch of the fabric replaces them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import log

from sockwright.estimates import Estimate
from sockwright.facts import Fact, fact, table
from sockwright.i18n import N_, Message, _, pgettext
from sockwright.order.model import CuffGiven, CuffKind, Fabric, RibEnd

PLAIN = str(Fabric.PLAIN)

FABRIC_WORDS = {
    Fabric.PLAIN: pgettext("fabric", "plain"),
    Fabric.HEM: pgettext("fabric", "hem"),
    Fabric.MOCK_RIB: pgettext("fabric", "mock rib"),
}


def rib_name(knit: int, purl: int) -> str:
    """The name of a rib, as "3x1"."""
    return f"{knit}x{purl}"


def cuff_fabric(cuff: CuffGiven) -> str:
    """The fabric that a cuff is made of."""
    if cuff.kind is CuffKind.TRUE_RIB:
        return rib_name(*cuff.rib)
    if cuff.kind is CuffKind.MOCK_RIB_HEM:
        return str(Fabric.MOCK_RIB)
    return PLAIN if cuff.kind is CuffKind.ROLLED_EDGE else str(Fabric.HEM)


def leg_fabric(cuff: CuffGiven) -> str:
    """The fabric of the leg below a cuff: its rib, where that goes on down."""
    ribbed = cuff.kind is CuffKind.TRUE_RIB and cuff.rib_to is not RibEnd.CUFF
    return rib_name(*cuff.rib) if ribbed else PLAIN


def fabric_word(kind: str) -> Message:
    """What a fabric is called."""
    if kind in FABRIC_WORDS:
        return _(FABRIC_WORDS[Fabric(kind)])
    return _("{rib} rib", rib=kind)


@dataclass(frozen=True)
class Ratios:
    """A fabric against the plain one of the same needles, as facts: relaxed width, width in a firm
    pull, height of a course, yarn in a loop. `draws_in` multiplies the width."""

    width: Fact
    opened: Fact
    height: Fact
    loop: Fact
    draws_in: float = 1.0

    @property
    def wide(self) -> float:
        """Times the plain fabric's relaxed width."""
        return self.width.number * self.draws_in


@cache
def ratios_of(kind: str) -> Ratios:
    """The ratios of a fabric, by its name."""
    known, stem = table("fabrics"), kind.replace(" ", "_")
    like = "folded"
    if f"{stem}_width" not in known:
        stem, like = f"rib_{kind}", "rib"
    height, loop = fact("fabrics", f"{like}_height"), fact("fabrics", f"{like}_loop")
    if f"{stem}_width" in known:
        return Ratios(known[f"{stem}_width"], known[f"{stem}_opened"], height, loop)
    knit, purl = (int(part) for part in kind.split("x"))
    share = min(knit, purl) / (knit + purl)
    return Ratios(
        fact("fabrics", "rib_other_width"),
        fact("fabrics", "rib_other_opened"),
        height,
        loop,
        1 - fact("fabrics", "rib_draws_in").number * share,
    )


@dataclass(frozen=True)
class FabricGauge:
    """A fabric of the sock, washed and relaxed.

    `wale` is the width of one needle's share, `course` and `loop` as the plain gauge's, mm;
    `open_ratio` tells how many times its own relaxed width it opens in a firm pull. `measured`
    tells that a swatch of it was.
    """

    kind: str
    wale: Estimate
    course: Estimate
    loop: Estimate
    open_ratio: Estimate
    measured: bool = False


LABELS = {
    "wale": N_("width of a wale, {fabric}"),
    "course": N_("height of a course, {fabric}"),
    "loop": N_("yarn in one loop, {fabric}"),
    "open_ratio": N_("opens in a firm pull to, {fabric}"),
}
FORMULAS = {
    "wale": _("wale of plain fabric × how far it draws in"),
    "course": _("course of plain fabric, or near it"),
    "loop": _("loop of plain fabric, or near it"),
    "open_ratio": _("opening of plain fabric × how much wider it pulls ÷ how far it draws in"),
}
RATIO_LABELS = {
    "width": N_("{fabric} against plain: relaxed width"),
    "opened": N_("{fabric} against plain: width in a firm pull"),
    "height": N_("{fabric} against plain: height of a course"),
    "loop": N_("{fabric} against plain: yarn in a loop"),
}


def key_of(kind: str, name: str) -> str:
    """The key of a number of a fabric, as "gauge.3x1.wale"."""
    return f"gauge.{kind.replace(' ', '_')}.{name}"


def label_of(kind: str, name: str) -> Message:
    """What a number of a fabric is called."""
    return _(LABELS[name], fabric=fabric_word(kind))


def ratio(kind: str, name: str) -> Estimate:
    """One of a fabric's ratios to plain as a number with its derivation."""
    ratios = ratios_of(kind)
    known: Fact = getattr(ratios, name)
    value = known.number * (ratios.draws_in if name == "width" else 1.0)
    label = _(RATIO_LABELS[name], fabric=fabric_word(kind))
    number = Estimate(value, value * (known.sd or 0.0), "1")
    return known.called(f"fabrics.{kind.replace(' ', '_')}.{name}", label, number)


def by_ratios(
    kind: str, wale: Estimate, course: Estimate, loop: Estimate, open_ratio: Estimate
) -> FabricGauge:
    """A fabric that nobody measured, from the plain one.

    What its width errs is in the girth already, so that of the opening only the error of the
    opened width is its own.
    """
    ratios = ratios_of(kind)
    values = {
        "wale": wale * ratio(kind, "width"),
        "course": course * ratio(kind, "height"),
        "loop": loop * ratio(kind, "loop"),
        "open_ratio": open_ratio * ratio(kind, "opened") / ratios.wide,
    }
    told = {
        name: value.named(
            key_of(kind, name),
            label_of(kind, name),
            "1" if name == "open_ratio" else "mm",
            FORMULAS[name],
            ratios.width.told,
            ratios.width.standing,
        )
        for name, value in values.items()
    }
    return FabricGauge(kind, told["wale"], told["course"], told["loop"], told["open_ratio"])


SIZES = ("width", "height", "loop")
"""What a swatch of a fabric tells against plain ones, in the order of wale, course and loop."""


def shared_name(kind: str, size: str) -> str:
    """The name of the error that all swatches of a fabric share against plain ones."""
    return f"{size} of {kind}"


def log_ratio(kind: str, size: str) -> tuple[float, float]:
    """ln of a ratio of SIZES, and its sd."""
    found = ratio(kind, size)
    return log(found.value), found.sd / found.value
