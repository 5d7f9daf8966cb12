"""A kept swatch with its yarn and machine as an order without a foot: what its numbers rest on."""

from __future__ import annotations

from sqlalchemy.orm import Session

from sockwright.machine.model import Machine
from sockwright.order.machine_part import MACHINE
from sockwright.order.model import Order, WearerGiven, YarnGiven
from sockwright.order.reader import Place
from sockwright.store import kept
from sockwright.store.items import Kind
from sockwright.workshop.grammar import document_kind, read_swatch


def swatch_order(session: Session, id: str, units: str) -> Order | None:
    """The order of a swatch, in `units` ("cm" or "in"); None where it cannot be read any more.

    NotKept if there is no such swatch.
    """
    swatch = kept.get(session, Kind.SWATCH, id)
    given = read_swatch(swatch.document)
    yarn = kept.get(session, Kind.YARN, swatch.fields["yarn_id"])
    machine = kept.get(session, Kind.MACHINE, swatch.fields["machine_id"])
    of_yarn = document_kind(Kind.YARN).read(yarn.document, Place("", []))
    of_machine = MACHINE.read(machine.document, Place("", []))
    if given is None or not isinstance(of_yarn, YarnGiven) or not isinstance(of_machine, Machine):
        return None
    return Order(swatch.name, WearerGiven(""), of_machine, (of_yarn,), (given,), units=units)
