"""What the page beside the machine is made of: the plan of one sock, its data, its log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from sockwright.bench.beats import sock_of
from sockwright.bench.log import Entry, state_of
from sockwright.bench.sheet import FIRST, SECOND, bench_data
from sockwright.plan import Plan
from sockwright.web.refusals import NoPage
from sockwright.web.visit import Visit
from sockwright.words.said import said
from sockwright.workshop.answers import Planned
from sockwright.workshop.workshop import Workshop

WHICH = (FIRST, SECOND)
"""The socks of a pair, by their turn."""


def plan_for(shop: Workshop, id: str, which: str) -> Plan:
    """The plan of one sock of a pair; NoPage where there is none that is proven."""
    outcome = shop.plan_at_bench(id, which)
    if not isinstance(outcome, Planned):
        raise NoPage(said("there is nothing to count: the order of this pair makes no sock"))
    if not outcome.plan.ok:
        raise NoPage(said("there is nothing to count: the plan of this pair is not proven"))
    return outcome.plan


def log_of(shop: Workshop, id: str, which: str) -> tuple[Entry, ...]:
    """What was counted of one sock of a pair so far."""
    return shop.bench_log(id, which)


def bench_of(visit: Visit, plan: Plan, which: str) -> dict[str, Any]:
    """The data of one sock, in the visitor's language and units."""
    data = bench_data(plan, which, visit.tongue)
    return {**data, "units": visit.preferences.units}


def log_data(entries: Iterable[Entry]) -> list[dict[str, Any]]:
    """Entries as data."""
    return [asdict(entry) for entry in entries]


def state_words(visit: Visit, id: str, plan: Plan, which: str) -> str:
    """How far a sock is, in words."""
    beats = len(sock_of(plan).beats)
    done = state_of(log_of(visit.shop, id, which), beats).done
    if done == 0:
        return said("not begun")
    if done == beats:
        return said("off the machine")
    return said("{share} % of its counts are done", share=100 * done // beats)
