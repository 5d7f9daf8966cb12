"""Loose ends: what a finished program leaves live or unsecured, read off the loop table."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sockwright.needlebed.findings import Code, Finding
from sockwright.needlebed.loops import NONE, Bed, Kind, LoopTable


def loose_ends(
    table: LoopTable,
    step: int,
    cord_pulled: bool,
    on_needles: Sequence[int],
    opened: Sequence[int],
) -> list[Finding]:
    """Findings at the end of a program.

    `on_needles` are loops never taken off, `opened` loops whose bars were laid bare by drawing out
    waste rows; the latter must have been knitted or grafted again.
    """
    if not len(table):
        return []
    live = table.stays & (table.kind != Kind.FLOAT) & (table.kind != Kind.WRAP) & ~_held(table)
    if opened:
        bared = np.array(opened, np.int32)
        live[bared] |= _children(table)[bared] < 2
    live[table.closed] = False
    live[np.array(on_needles, np.int32)] |= table.stays[np.array(on_needles, np.int32)]
    found = []
    if live.any():
        first = int(np.flatnonzero(live)[0])
        needle = int(table.needle[first])
        on_dial = bool(table.bed[first] == Bed.DIAL)
        found.append(Finding(Code.LIVE_LOOP, step, needle, int(live.sum()), on_dial))
    if cord_pulled and not _edge_secure(table):
        found.append(Finding(Code.EDGE_RAVELS, step))
    on_waste = _on_waste(table)
    on_waste[np.array(opened, np.int32)] = False
    if on_waste.any():
        first = int(np.flatnonzero(on_waste)[0])
        needle, on_dial = int(table.needle[first]), bool(table.bed[first] == Bed.DIAL)
        step = next(run.step for run in reversed(table.runs) if run.first <= first)
        found.append(Finding(Code.WASTE_IN_SOCK, step, needle, int(on_waste.sum()), on_dial))
    return found


def _on_waste(table: LoopTable) -> NDArray[np.bool_]:
    """(n,) whether a staying loop was pulled through one that leaves the sock, but for the loops of
    its first edge."""
    gone = np.append(~table.stays, False)  # the last is what NONE, -1, points at
    start = int(np.argmax(table.stays))
    return np.asarray(table.stays & gone[table.parent] & (table.parent > start))


def _held(table: LoopTable) -> NDArray[np.bool_]:
    """(n,) whether a staying loop was pulled through each loop."""
    held = np.zeros(len(table) + 1, dtype=bool)  # the last takes what NONE, -1, points at
    held[table.parent[table.stays]] = True
    held[table.more_parents[table.stays[table.more_parents[:, 0]], 1]] = True
    return held[:-1]


def _children(table: LoopTable) -> NDArray[np.int64]:
    """(n,) how many staying loops were pulled through each loop."""
    pulled = table.parent[table.stays & (table.parent != NONE)]
    more = table.more_parents[table.stays[table.more_parents[:, 0]], 1]
    return np.bincount(pulled, minlength=len(table)) + np.bincount(more, minlength=len(table))


def _edge_secure(table: LoopTable) -> bool:
    """Whether the first staying course cannot ravel: begun on both beds, hung, or bound off."""
    staying = np.flatnonzero(table.stays & (table.kind != Kind.FLOAT))
    if not len(staying):
        return True
    first = int(table.course[staying[0]])
    edge = staying[table.course[staying] == first]
    if (table.bed[edge] == Bed.DIAL).any():
        return True
    secured = np.zeros(len(table.stays), bool)
    secured[table.more_parents[:, 1]] = secured[table.closed] = True
    return bool(secured[edge].all())
