"""What a pair's logs tell of it: each sock as planned, as it is knitted by, and as knitted."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sqlalchemy.orm import Session

from sockwright.bench.beats import sock_of
from sockwright.bench.follow import Following
from sockwright.bench.knitted import as_knitted, possible_extra
from sockwright.bench.log import FIRST, WHICH, Entry
from sockwright.bench.record import Record, more_by_section, record_of
from sockwright.plan import Plan
from sockwright.store.items import Thing
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.bench_log import followed as what_follows
from sockwright.workshop.bench_log import log_of, plan_at_bench


@dataclass(frozen=True)
class SockAtBench:
    """One sock of a pair at the machine.

    `planned` is its plan as it was kept, `followed` the one it is knitted by (the second sock's
    follows the first), `knitted` that with the rounds more and fewer of its own log. `more` are
    the rounds more than planned (fewer: below 0) by section; `impossible` those of the log, by
    instruction, that the plan cannot have. `following` is what the second follows of the first.
    """

    which: str
    planned: Plan
    followed: Plan
    knitted: Plan
    entries: tuple[Entry, ...]
    record: Record
    more: dict[str, int]
    impossible: dict[int, int]
    following: Following | None = None


def socks_at_bench(
    session: Session, pair: Thing, outcome: Planned | Problems | Refused
) -> tuple[SockAtBench, ...] | Problems | Refused:
    """Both socks of a pair, the first first; `outcome` is the pair's plan."""
    if not isinstance(outcome, Planned):
        return outcome
    found = []
    for which in WHICH:
        own = outcome.plan if which == FIRST else outcome.plan.second or outcome.plan
        followed = plan_at_bench(session, pair, which, outcome)
        assert isinstance(followed, Planned)  # as it was planned at all
        sock = _sock(own, followed.plan, which, log_of(session, pair.id, which))
        follows = None if which == FIRST else what_follows(session, pair.id, outcome.plan)
        found.append(replace(sock, following=follows))
    return tuple(found)


def _sock(own: Plan, followed: Plan, which: str, entries: tuple[Entry, ...]) -> SockAtBench:
    record = record_of(entries, sock_of(followed))
    extra = record.state.extra
    possible = possible_extra(followed, extra)
    knitted = as_knitted(followed, possible) if possible else followed
    return SockAtBench(
        which=which,
        planned=own,
        followed=followed,
        knitted=knitted,
        entries=entries,
        record=record,
        more=more_by_section(own, knitted),
        impossible={number: by for number, by in extra.items() if number not in possible},
    )
