"""What the page beside the machine is made of: the plan of one sock, its data, its log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from sockwright.bench.counting import beats_in
from sockwright.bench.follow import Following
from sockwright.bench.log import FIRST, SECOND, WHICH, Entry, state_of
from sockwright.bench.page_data import bench_data
from sockwright.plan.make import Plan
from sockwright.web.context import Visit
from sockwright.web.errors import NoPage
from sockwright.words.said import said
from sockwright.workshop.answers import Planned, PlannedSock
from sockwright.workshop.workshop import Workshop


def which_of(text: str) -> str:
    """One of WHICH; NoPage for anything else in an address."""
    if text not in WHICH:
        raise NoPage(said("a pair has a first sock and a second one"))
    return text


@dataclass(frozen=True)
class Bench:
    """What one sock is counted by: its plan, and what the second follows of the first."""

    which: str
    plan: Plan
    following: Following | None = None


def bench_for(shop: Workshop, id: str, which: str) -> Bench:
    """What one sock of a pair is counted by; NoPage where there is no plan that is proven."""
    planned = planned_for(shop, id)
    if which == FIRST:
        return Bench(which, planned.pair.first)
    second = shop.plan_at_bench(id, SECOND, planned)
    if not isinstance(second, PlannedSock) or not second.plan.ok:
        raise _unproven()
    return Bench(which, second.plan, shop.following(id, planned))


def planned_for(shop: Workshop, id: str) -> Planned:
    """The plan of a pair; NoPage where there is none that is proven."""
    outcome = shop.plan_of(id)
    if not isinstance(outcome, Planned):
        raise NoPage(said("there is nothing to count: the order of this pair makes no sock"))
    if not outcome.pair.ok:
        raise _unproven()
    return outcome


def _unproven() -> NoPage:
    return NoPage(said("there is nothing to count: the plan of this pair is not proven"))


def plans_for(shop: Workshop, id: str) -> dict[str, Plan]:
    """The plans of the socks of a pair, without one that is not proven because it follows the
    first; NoPage where the first has none."""
    planned = planned_for(shop, id)
    first, second = planned.pair.first, shop.plan_at_bench(id, SECOND, planned)
    if not isinstance(second, PlannedSock) or not second.plan.ok:
        return {FIRST: first}
    return {FIRST: first, SECOND: second.plan}


def log_of(shop: Workshop, id: str, which: str) -> tuple[Entry, ...]:
    """What was counted of one sock of a pair so far."""
    return shop.bench_log(id, which)


def bench_of(visit: Visit, bench: Bench) -> dict[str, Any]:
    """The data of one sock of a pair, in the visitor's language and units."""
    return bench_data(visit.shown(bench.plan), bench.which, visit.tongue, bench.following)


def log_data(entries: Iterable[Entry]) -> list[dict[str, Any]]:
    """Entries as data."""
    return [asdict(entry) for entry in entries]


def progress(visit: Visit, id: str, plan: Plan, which: str) -> tuple[int, int]:
    """How many counts of a sock are done, and how many there are."""
    beats = beats_in(plan)
    return state_of(log_of(visit.shop, id, which), beats).done, beats


def progress_words(done: int, beats: int) -> str:
    """How far so many counts of a sock are, in words."""
    if done == 0:
        return said("not begun")
    if done == beats:
        return said("off the machine")
    return said("{share} % of its counts are done", share=100 * done // beats)
