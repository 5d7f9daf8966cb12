"""The finished sock as a graph, judged by networkx, which knows nothing of knitting.

Nodes are the loops of yarn that stay; an edge leads from a loop to the loop pulled through it.
"""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest

from builders import knit, size, sock
from sockwright.machine import DialKind
from sockwright.needlebed.execute import DryRun
from sockwright.needlebed.loops import LoopKind, LoopTable
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    HeelKind,
    RibEnd,
    SockGiven,
    ToeHalf,
    Widening,
)
from sockwright.sock.sizing import Sizing

AFTERTHOUGHT = HeelKind.AFTERTHOUGHT
HALF, FULL, TWO_THIRDS = DialKind.HALF, DialKind.FULL, DialKind.TWO_THIRDS


def cuff(kind: CuffKind) -> SockGiven:
    return sock(cuff=CuffGiven(kind))


def ribbed(p: int, q: int, rib_to: RibEnd) -> SockGiven:
    return sock(cuff=CuffGiven(CuffKind.TRUE_RIB, rib=(p, q), rib_to=rib_to))


SOCKS: dict[str, tuple[int, SockGiven, DialKind | None]] = {
    "hung hem": (60, sock(), None),
    "picot hem": (60, cuff(CuffKind.PICOT_HEM), None),
    "mock-rib hem": (60, cuff(CuffKind.MOCK_RIB_HEM), None),
    "rolled edge": (60, cuff(CuffKind.ROLLED_EDGE), None),
    "1x1 rib": (60, ribbed(1, 1, RibEnd.CUFF), HALF),
    "3x1 rib leg": (60, ribbed(3, 1, RibEnd.LEG), HALF),
    "3x1 rib instep": (72, ribbed(3, 1, RibEnd.INSTEP), HALF),
    "2x2 rib in pairs": (54, ribbed(2, 2, RibEnd.LEG), TWO_THIRDS),
    "2x2 rib": (60, ribbed(2, 2, RibEnd.CUFF), FULL),
    "odd needles": (61, sock(), None),
    "odd needles, toe on the instep": (65, sock(toe_half=ToeHalf.INSTEP), None),
    "even needles, odd half": (54, sock(), None),
    "toe on the instep": (72, sock(toe_half=ToeHalf.INSTEP), None),
    "gathered": (61, sock(closing=Closing.GATHER), None),
    "doubled turns": (72, sock(first_raise=2), None),
    "wrapped far": (61, sock(widening=Widening.WRAPPED_FAR), None),
    "two down one up": (61, sock(widening=Widening.TWO_DOWN_ONE_UP), None),
    "no wrap": (60, sock(widening=Widening.PLAIN), None),
    "deep heel": (72, sock(kept=12, deep_kept=20), None),
    "afterthought": (60, sock(heel=AFTERTHOUGHT), None),
    "afterthought, odd": (61, sock(heel=AFTERTHOUGHT), None),
    "afterthought, gathered": (60, sock(heel=AFTERTHOUGHT, closing=Closing.GATHER), None),
    "tube": (60, sock(heel=HeelKind.NONE), None),
    "tube, odd, gathered": (61, sock(heel=HeelKind.NONE, closing=Closing.GATHER), None),
}


@pytest.fixture(scope="module", params=list(SOCKS))
def made(request: pytest.FixtureRequest) -> tuple[Sizing, DryRun]:
    """A construction, knitted."""
    needles, design, dial = SOCKS[request.param]
    knitted = knit(size(needles, design, dial=dial))
    return knitted.sizing, knitted.run


def pulled_through(table: LoopTable) -> nx.DiGraph:
    """Loops of the sock, each with edges from the loops it was pulled through."""
    graph = nx.DiGraph()
    graph.add_nodes_from(np.flatnonzero(table.stays).tolist())
    pairs = [(int(p), child) for child, p in enumerate(table.parent) if p >= 0]
    pairs += [(int(p), int(child)) for child, p in table.more_parents]
    graph.add_edges_from((p, c) for p, c in pairs if table.stays[p] and table.stays[c])
    return graph


@pytest.fixture(scope="module")
def graph(made: tuple[Sizing, DryRun]) -> nx.DiGraph:
    """Its loops, to be looked at and not changed."""
    return nx.freeze(pulled_through(made[1].loops))


def with_yarn(graph: nx.DiGraph, table: LoopTable) -> nx.DiGraph:
    """The same with the yarn from each loop to the next of the same end, and the grafts."""
    graph = nx.DiGraph(graph)
    same = (table.yarn[1:] == table.yarn[:-1]) & table.stays[1:]
    graph.add_edges_from((int(k), int(k) + 1) for k in np.flatnonzero(same))
    graph.add_edges_from(map(tuple, table.grafts.tolist()))
    return graph


def test_runs_without_error(made: tuple[Sizing, DryRun]) -> None:
    assert made[1].errors == ()


def test_no_loop_is_pulled_through_itself(graph: nx.DiGraph) -> None:
    assert nx.is_directed_acyclic_graph(graph)


def test_every_loop_is_held_by_another_or_closed(
    made: tuple[Sizing, DryRun], graph: nx.DiGraph
) -> None:
    table = made[1].loops
    safe = set(table.grafts.flat) | set(table.closed.tolist())
    can_run = (LoopKind.KNIT, LoopKind.PURL, LoopKind.TUCK)
    loose = [
        loop
        for loop, held_by in graph.out_degree
        if not held_by and loop not in safe and table.kind[loop] in can_run
    ]
    assert loose == []


def test_closed_loops_are_the_ends_of_their_wales(
    made: tuple[Sizing, DryRun], graph: nx.DiGraph
) -> None:
    """Nothing is counted safe that another loop already holds, but for an edge bound off."""
    table = made[1].loops
    held = [loop for loop in table.closed.tolist() if graph.out_degree(loop)]
    first = table.course[np.flatnonzero(table.stays)[0]]
    assert all(table.course[loop] == first for loop in held)


def test_the_sock_is_one_piece(made: tuple[Sizing, DryRun], graph: nx.DiGraph) -> None:
    assert nx.is_weakly_connected(with_yarn(graph, made[1].loops))


def test_grafted_sides_match_loop_for_loop(made: tuple[Sizing, DryRun]) -> None:
    sizing, run = made
    grafts = run.loops.grafts
    places = (sizing.toe.cup is not None) + (sizing.heel.kind is AFTERTHOUGHT)
    assert grafts.shape == (places * sizing.heel_needles, 2)
    assert len(set(grafts.flat)) == grafts.size


def test_each_graft_joins_the_two_halves(made: tuple[Sizing, DryRun]) -> None:
    """First to last round the toe, so that the sock closes flat and not askew."""
    sizing, run = made
    half = sizing.heel_needles
    for a, b in run.loops.needle[run.loops.grafts].tolist():
        assert a + b == 2 * half + 1


def test_wales_of_a_plain_sock_are_joined_in_pairs_by_the_graft_alone() -> None:
    table = knit(size(60)).run.loops
    graph = pulled_through(table)
    assert nx.number_weakly_connected_components(graph) == 60
    graph.add_edges_from(map(tuple, table.grafts.tolist()))
    assert nx.number_weakly_connected_components(graph) == 30


def test_longest_chain_is_the_middle_wale() -> None:
    """The middle wale of the heel half is the longest line of loops: the hung hem, leg, both cups
    and the foot follow on it, the cord's edge first."""
    knitted = knit(size(60))
    sizing = knitted.sizing
    courses = sizing.cuff.rounds + sizing.leg_rounds + sizing.foot_rounds
    courses += sizing.heel.cup.rows + sizing.toe.cup.rows
    assert nx.dag_longest_path_length(pulled_through(knitted.run.loops)) == courses - 1


def test_a_dropped_graft_is_seen_by_the_same_judge() -> None:
    """The judge can say no: without the graft's loops the last course stands open."""
    table = knit(size(60)).run.loops
    graph = pulled_through(table)
    open_loops = [loop for loop, held_by in graph.out_degree if not held_by]
    grafted = set(table.grafts.flat)
    assert {loop for loop in open_loops if table.kind[loop] != LoopKind.WRAP} == grafted
