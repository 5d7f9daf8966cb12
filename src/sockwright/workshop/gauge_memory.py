"""The memory of gauge: what was knitted on which machine, of which yarn, at which setting, when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from sqlalchemy.orm import Session

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.grammar.bounds import most
from sockwright.grammar.declare import Place
from sockwright.i18n import _, dated, listed
from sockwright.machine import Cylinder, Machine, Turning
from sockwright.order.model import Drape, Fabric, State, SwatchGiven, YarnGiven
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.kinds import TYPES, read_swatch


@dataclass(frozen=True)
class Remembered:
    """What one swatch says of a machine and a yarn.

    `wale`, `course` and `loop` in mm are the washed fabric's by this swatch alone; `cam` and `date`
    are as noted (None, ""). `stale` says why it may hold no longer, and is empty while it does;
    `cautions` what cannot be right about it. `converted` tells that it was measured in another
    state, and its numbers are brought to the washed fabric. `tex` is the yarn's fineness;
    `readings` counts those of size that the numbers rest on, and `pull` is the relative error of
    the hand that straightened unravelled yarn, 0 where none was.
    """

    swatch: Thing
    machine: Thing
    yarn: Thing
    needles: int
    cam: float | None
    date: str
    wale: Estimate
    course: Estimate
    loop: Estimate
    tex: Estimate
    readings: int
    pull: float
    stale: str = ""
    cautions: tuple[str, ...] = ()
    converted: str = ""

    @property
    def plain(self) -> bool:
        """Whether it is of plain fabric."""
        return str(self.swatch.document.get("fabric", Fabric.PLAIN)) == Fabric.PLAIN


def remember(
    session: Session, today: date, machine_id: str | None = None, yarn_id: str | None = None
) -> tuple[Remembered, ...]:
    """The gauge of every kept swatch, of one machine or one yarn if asked, as seen `today`.

    Ordered by machine, needles, yarn and cam setting, the newest first.
    """
    machines = {thing.id: thing for thing in kept.listed(session, ItemKind.MACHINE, None)}
    yarns = {thing.id: thing for thing in kept.listed(session, ItemKind.YARN, None)}
    found = [
        _remembered(
            swatch,
            machines[swatch.fields["machine_id"]],
            yarns[swatch.fields["yarn_id"]],
            today,
        )
        for swatch in kept.listed(session, ItemKind.SWATCH)
        if machine_id in (None, swatch.fields["machine_id"])
        and yarn_id in (None, swatch.fields["yarn_id"])
        and swatch.fields["machine_id"] in machines
        and swatch.fields["yarn_id"] in yarns
    ]
    newest_first = sorted((one for one in found if one), key=lambda one: one.date, reverse=True)
    return tuple(sorted(newest_first, key=_order))


def fitting(session: Session, machine_id: str, yarn_ids: frozenset[str]) -> tuple[str, ...]:
    """The ids of the swatches of these yarns on this machine: those not stale, if any is. Of more
    than an order may hold, the newest."""
    machine = kept.part(session, ItemKind.MACHINE, machine_id)
    own = [
        swatch
        for swatch in kept.listed(session, ItemKind.SWATCH)
        if swatch.fields["machine_id"] == machine_id and swatch.fields["yarn_id"] in yarn_ids
    ]
    chosen = [swatch for swatch in own if not staleness(swatch, machine)] or own
    newest = sorted(chosen, key=lambda one: str(one.document.get("date", "")), reverse=True)
    kept_ids = {swatch.id for swatch in newest[: most("swatches")]}
    return tuple(swatch.id for swatch in chosen if swatch.id in kept_ids)


def staleness(swatch: Thing, machine: Thing) -> str:
    """Why a swatch may no longer tell of its machine, empty if it does."""
    serviced, date = machine.fields["serviced"], str(swatch.document.get("date", ""))
    if serviced is None or date >= serviced:
        return ""
    if not date:
        return _(
            "it is not dated, and the machine was serviced on {serviced}",
            serviced=dated(serviced),
        )
    return _(
        "it was knitted on {date}, before the machine was serviced on {serviced}",
        date=dated(date),
        serviced=dated(serviced),
    )


def _order(one: Remembered) -> tuple[str, str, int, str, str, float]:
    cam = -1.0 if one.cam is None else one.cam
    return one.machine.name, one.machine.id, one.needles, one.yarn.name, one.yarn.id, cam


def _remembered(swatch: Thing, machine: Thing, yarn: Thing, today: date) -> Remembered | None:
    from sockwright.measure.gauge import estimate_gauge
    from sockwright.measure.yarn import yarn_from

    given = read_swatch(swatch.document)
    of_yarn = TYPES[ItemKind.YARN].grammar.read(yarn.document, Place("", []))
    if given is None or not isinstance(of_yarn, YarnGiven):
        return None
    spun = yarn_from(of_yarn)
    alone = replace(given, yarn="main", fabric=Fabric.PLAIN)
    profile = _profile(machine, given.needles)
    gauge = estimate_gauge((alone,), spun, profile, given.needles, Drape.MIDDLE)
    return Remembered(
        swatch,
        machine,
        yarn,
        given.needles,
        given.cam,
        given.date,
        gauge.wale,
        gauge.course,
        gauge.loop,
        spun.tex,
        int(gauge.readings_used),
        fact("gauge", "pull_relative_sd").number if given.unravelled else 0.0,
        staleness(swatch, machine),
        (*_slips(given, machine, today), *gauge.conflicts),
        CONVERTED.get(given.state, ""),
    )


CONVERTED = {
    State.RESTED: _("rested, not washed: the change from washing is worked in"),
    State.ON_MACHINE: _(
        "measured on the machine: only the yarn in a loop is taken from it, and the washed fabric "
        "follows from that"
    ),
}
"""How the numbers of a swatch that was not measured washed come to be those of washed fabric."""


def _profile(machine: Thing, needles: int) -> Machine:
    """The machine as its document has it; one with just such a cylinder where that does not
    read."""
    found = TYPES[ItemKind.MACHINE].grammar.read(machine.document, Place("", []))
    if isinstance(found, Machine):
        return found
    return Machine(machine.name, Turning.CARRIER, (Cylinder(needles),))


def _slips(swatch: SwatchGiven, machine: Thing, today: date) -> Iterator[str]:
    """What was likely noted wrongly of a swatch: its day, its needles."""
    if swatch.date > today.isoformat():
        yield _(
            "Its date, {date}, is still to come: check when it was knitted.",
            date=dated(swatch.date),
        )
    profile = TYPES[ItemKind.MACHINE].grammar.read(machine.document, Place("", []))
    cylinders = [one.needles for one in profile.cylinders] if isinstance(profile, Machine) else []
    if cylinders and swatch.needles not in cylinders:
        yield _(
            "It was knitted on {needles} needles, and {machine} has cylinders of {cylinders}: "
            "check the needles, or add the cylinder to the machine.",
            needles=swatch.needles,
            machine=machine.name,
            cylinders=listed([str(one) for one in sorted(cylinders)]),
        )
