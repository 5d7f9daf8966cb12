"""The maker's own paces on a machine, from the logs of the pairs knitted on it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from math import exp, fsum, log
from typing import Any, Final

from sqlalchemy.orm import Session

from sockwright.bench.counting import work_of_counts
from sockwright.bench.log import WHICH
from sockwright.bench.pace import paces_of
from sockwright.errors import CannotMake, OrderError
from sockwright.grammar.bounds import limits
from sockwright.once import Memory
from sockwright.order.file import parse_order
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.answers import Composed, Planned, PlannedSock
from sockwright.workshop.bench import log_of, plan_at_bench
from sockwright.workshop.fields import MADE

MOST_PAIRS: Final = 8
"""The newest finished pairs of a machine that tell of the pace on it: older ones tell how it once
was, and one that is still counted tells something else at each count."""
DIGITS: Final = 3

Paces = tuple[dict[str, float], ...]
"""By their names, those of each sock of a pair that has any."""

_known: Memory[Paces] = Memory(64)
"""What pairs tell: a plan is needed for it, and their orders and logs seldom change."""


def pace_on(session: Session, machine_id: str) -> dict[str, Any]:
    """The table [machine.pace] of an order: for each kind of work the mean of the socks' paces (of
    their logarithms), and how many there were; empty where no log tells."""
    by_kind: dict[str, list[float]] = {}
    for paces in _of_socks(session, machine_id):
        for kind, pace in paces.items():
            by_kind.setdefault(kind, []).append(pace)
    return {kind: _mean(kind, each) for kind, each in sorted(by_kind.items())}


def _mean(kind: str, each: list[float]) -> float | dict[str, float]:
    reach = limits(kind)
    mean = float(f"{exp(fsum(map(log, each)) / len(each)):.{DIGITS}g}")
    pace = min(max(mean, reach.least), reach.most)
    return pace if len(each) == 1 else {"pace": pace, "socks": len(each)}


def _of_socks(session: Session, machine_id: str) -> Iterator[dict[str, float]]:
    pairs = kept.listed(session, ItemKind.SOCK, machine_id=machine_id, status=MADE)
    newest = sorted(pairs, key=lambda pair: (pair.created, pair.id), reverse=True)
    for pair in newest[:MOST_PAIRS]:
        stamp = kept.stamp_of_log(session, pair.id)
        if stamp[0]:
            # The name of the database too: a copy of it may have had another log of the pair.
            where = str(session.get_bind().engine.url)
            key = (where, pair.id, pair.fields["order_toml"], stamp)
            yield from _known.of(key, partial(_of_pair, session, pair))


def _of_pair(session: Session, pair: Thing) -> Paces:
    """None of a pair that cannot be planned any more."""
    from sockwright.plan.make import make_plan

    toml = pair.fields["order_toml"]
    try:
        composed = Composed(parse_order(toml), toml)
        planned = Planned(composed, make_plan(composed.order))
    except (OrderError, CannotMake):
        return ()
    found = []
    for which in WHICH:
        entries = log_of(session, pair.id, which)
        sock = plan_at_bench(session, pair, which, planned) if entries else None
        if isinstance(sock, PlannedSock):
            found.append(paces_of(entries, work_of_counts(sock.plan)))
    return tuple(paces for paces in found if paces)
