"""What one finished pair says of its fabric, against what its swatches foretold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log
from typing import Any

from sqlalchemy.orm import Session

from sockwright.grammar.declare import Place
from sockwright.measure.finished import COMPONENTS
from sockwright.measure.from_socks import readings
from sockwright.order.finished import FINISHED
from sockwright.order.model import FinishedGiven, State
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.finished import FinishedSock, socks_of, tells
from sockwright.workshop.measured import MEASURED, SIZES


@dataclass(frozen=True)
class Lessons:
    """What a finished pair taught: by what share course, wale and loop came out larger (`shifts`,
    of those that were read), whether `answers` were given and for whom (`person`), and whether it
    has sizes that do not count for want of a wash."""

    shifts: Mapping[str, float]
    answers: bool
    person: str
    not_washed: bool


def lessons_of(session: Session, pair: Thing) -> Lessons | None:
    """What a finished pair teaches; None where it tells nothing."""
    if not tells(pair):
        return None
    socks = socks_of(session, (pair,))
    person = kept.part(session, ItemKind.PERSON, pair.fields["person_id"]).name
    read = MEASURED.read(pair.fields["measured"], Place("", []))
    sized = set(SIZES) & read.given
    unwashed = read.get("state") is not State.WASHED or read.get("washes") == 0
    answers = any(sock.answers for sock in socks)
    return Lessons(_shifts(socks), answers, person, bool(sized) and unwashed)


def _shifts(socks: tuple[FinishedSock, ...]) -> dict[str, float]:
    found: dict[str, list[float]] = {}
    for number, sock in enumerate(socks):
        table: dict[str, Any] = sock.table("sock", {}, of_wearer=False)
        given = FINISHED.one.read(table, Place("", []))
        assert isinstance(given, FinishedGiven)
        for reading in readings(given, 0, number, sock.knitted.fineness.value):
            foretold = log(getattr(sock.knitted, str(reading.component)))
            found.setdefault(reading.component, []).append(reading.value - foretold)
    every = {str(one): found[one] for one in COMPONENTS if one in found}
    shares = {name: exp(sum(each) / len(each)) - 1 for name, each in every.items()}
    return {name: shares[name] for name in ("course", "wale", "loop") if name in shares}
