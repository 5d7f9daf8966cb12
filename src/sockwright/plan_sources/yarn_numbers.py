"""Where the numbers of the yarns come from: the label, the loops that take it, one sock or two."""

from __future__ import annotations

from collections.abc import Iterator

from sockwright.estimates import Estimate
from sockwright.fabric.yarn_use import JOIN_SD_MM, SHARE_SD, YarnUse, extra_mm
from sockwright.facts import fact
from sockwright.measure.yarn import fibre
from sockwright.order.model import YarnGiven
from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.ground import Ground
from sockwright.plan_sources.inputs import STANDINGS, exactly, reckoned, share, told
from sockwright.words import joined, said

ROLES = {
    "main": said("main yarn"),
    "cuff": said("yarn of the cuff"),
    "heel": said("yarn of the heel"),
    "toe": said("yarn of the toe"),
    "waste": said("waste yarn"),
    "cord": said("ravel cord"),
}
COUNTED = said("counted loop by loop on the dry run")


def given_yarn(plan: Ground, role: str) -> YarnGiven:
    """The yarn as the order gives it; a role without its own has the fineness of the main yarn."""
    return plan.order.yarn(role)


def fineness_key(plan: Ground, role: str) -> str:
    """The key of a role's fineness: that of the yarn it takes it from."""
    return f"yarn.{given_yarn(plan, role).role}.fineness"


def fineness_input(plan: Ground, role: str, part: float) -> Input:
    """The fineness of a role's yarn as the input of another number."""
    given = given_yarn(plan, role)
    return Input(
        fineness_key(plan, role),
        said("fineness of the {yarn}", yarn=ROLES[given.role]),
        plan.yarns[role].tex,
        part,
        "estimated" if given.tex_sd is None else "measured",
        _fineness_source(given),
    )


def diameter_input(plan: Ground) -> Input:
    """The thickness of the main yarn as the input of another number."""
    return reckoned("yarn.main.diameter", said("yarn diameter"), plan.yarns["main"].diameter)


def yarn_numbers(plan: Plan, other: Plan | None) -> Iterator[Explained]:
    """Fineness, length, mass and loops of every yarn of a sock, and what the pair takes; `other`
    is the plan of the other foot."""
    for given in plan.order.yarns:
        yield fineness(plan, given)
    yield _diameter(plan)
    for role, use in plan.use.items():
        yield _length(plan, role, use)
        yield _mass(plan, role, use)
        yield _loops(role, use)
        yield from _pair(plan, role, other)


def _fineness_source(given: YarnGiven) -> str:
    if given.tex_sd is None:
        return said(
            "the order; a label errs: {source}", source=told(fact("constants", "label_relative_sd"))
        )
    return said("weighed by the maker, with the ± that the order gives")


def fineness(plan: Ground, given: YarnGiven) -> Explained:
    """The explanation of a yarn's fineness."""
    told_by_label = given.tex_sd is None
    tex = plan.yarns[given.role].tex
    reading = Input(
        f"order.yarn.{given.role}.fineness",
        said("label of the {yarn}", yarn=ROLES[given.role])
        if told_by_label
        else said("weighed skein of the {yarn}", yarn=ROLES[given.role]),
        tex,
        1.0 if tex.sd else 0.0,
        "measured",
        _fineness_source(given),
    )
    return Explained(
        fineness_key(plan, given.role),
        said("fineness of the {yarn}", yarn=ROLES[given.role]),
        tex,
        said("mass (g) ÷ length (km)"),
        (reading,),
        said("ISO 1144:2016: grams in 1000 m"),
        "published",
    )


def _diameter(plan: Plan) -> Explained:
    yarn = plan.yarns["main"]
    diameter = yarn.diameter
    halves = [diameter.value * 0.5 * one.sd / one.value for one in (yarn.tex, yarn.density)]
    fibres = given_yarn(plan, "main").fibres
    density = Input(
        "yarn.main.density",
        said("density of the fibres"),
        yarn.density,
        share(halves[1], diameter),
        "table",
        said("the fibres' own, by their shares: {source}", source=_sources_of(fibres))
        if fibres
        else told(fact("constants", "density_of_unknown_fibres")),
    )
    constant = fact("constants", "diameter_texcoms")
    return Explained(
        "yarn.main.diameter",
        said("yarn diameter"),
        diameter,
        said("{mm:.4f} mm × √(fineness ÷ density of the fibres)", mm=10 * constant.number),
        (fineness_input(plan, "main", share(halves[0], diameter)), density),
        said(constant.source),
        constant.standing,
    )


def _sources_of(fibres: tuple[tuple[str, float], ...]) -> str:
    """Where the densities of these fibres are from, each source once."""
    return joined("; ", dict.fromkeys(told(fibre(name)) for name, _ in fibres))


def _length(plan: Plan, role: str, use: YarnUse) -> Explained:
    table, loop = plan.dry_run.loops, plan.gauge.loop
    extra = extra_mm(table, table.yarns.index(role), plan.gauge)
    inputs = [
        reckoned(f"yarn.{role}.loops", said("loops knitted of it"), exactly(use.loops)),
        reckoned(
            "gauge.loop",
            said("length of a loop"),
            loop,
            share(use.length.value * loop.sd / loop.value, use.length),
        ),
        Input(
            f"yarn.{role}.tails",
            said("where the tails are cut"),
            Estimate(0.0, JOIN_SD_MM, "mm"),
            share(JOIN_SD_MM, use.length),
            "table",
            said("how differently two people cut one tail ({standing})", standing=_ASSUMED),
        ),
    ]
    if extra:
        inputs.append(
            Input(
                f"yarn.{role}.wraps",
                said("yarn in wraps, tucks and floats"),
                Estimate(extra, SHARE_SD * extra, "mm"),
                share(SHARE_SD * extra, use.length),
                "table",
                said(
                    "half a loop a wrap or tuck, a quarter a float ({standing})", standing=_ASSUMED
                ),
            )
        )
    return Explained(
        f"yarn.{role}.length",
        said("length of the {yarn} in one sock", yarn=ROLES[role]),
        use.length,
        said(
            "loops × length of a loop, each at its own setting of the stitch cam, + wraps, tucks "
            "and floats + tails"
        ),
        tuple(inputs),
        COUNTED,
        "derived",
    )


_ASSUMED = STANDINGS["assumption"]


def _mass(plan: Plan, role: str, use: YarnUse) -> Explained:
    tex = plan.yarns[role].tex
    through = [use.mass.value * one.sd / one.value for one in (use.length, tex)]
    return Explained(
        f"yarn.{role}.mass",
        said("mass of the {yarn} in one sock", yarn=ROLES[role]),
        use.mass,
        said("length (km) × fineness (tex)"),
        (
            reckoned(
                f"yarn.{role}.length",
                said("length of the {yarn}", yarn=ROLES[role]),
                use.length,
                share(through[0], use.mass),
            ),
            fineness_input(plan, role, share(through[1], use.mass)),
        ),
        said("ISO 1144:2016: grams in 1000 m"),
        "published",
    )


def _loops(role: str, use: YarnUse) -> Explained:
    return Explained(
        f"yarn.{role}.loops",
        said("loops knitted of the {yarn}", yarn=ROLES[role]),
        use.loops,
        said("knit and purl loops of this yarn"),
        (),
        COUNTED,
        "derived",
    )


def _pair(plan: Plan, role: str, other: Plan | None) -> Iterator[Explained]:
    """Length and mass for both socks."""
    pair = plan.pair_use[role]
    labels = {
        "length": said("length of the {yarn} for the pair", yarn=ROLES[role]),
        "mass": said("mass of the {yarn} for the pair", yarn=ROLES[role]),
    }
    for name, label in labels.items():
        whole: Estimate = getattr(pair, name)
        yield Explained(
            f"yarn.{role}.pair_{name}",
            label,
            whole,
            said("both socks; they err together, so that their ± add"),
            tuple(_socks(plan, role, name, other)),
            said("one gauge and one yarn for both socks ({standing})", standing=_ASSUMED),
            "assumption",
        )


def _socks(plan: Plan, role: str, name: str, other: Plan | None) -> Iterator[Input]:
    """The two socks of a pair; one input where both are alike."""
    own: Estimate = getattr(plan.use[role], name)
    both: Estimate = getattr(plan.pair_use[role], name)
    key = f"yarn.{role}.{name}"
    if plan.side == "both":
        yield reckoned(key, said("one sock, twice"), own, 1.0 if both.sd else 0.0)
        return
    yield reckoned(key, said("this sock"), own, own.sd / both.sd if both.sd else 0.0)
    if other is not None and role in other.use:
        theirs: Estimate = getattr(other.use[role], name)
        part = theirs.sd / both.sd if both.sd else 0.0
        yield reckoned(f"other.{key}", said("the other sock"), theirs, part)
