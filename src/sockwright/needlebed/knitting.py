"""Steps that knit: rounds, part rounds and rows."""

from __future__ import annotations

from functools import partial

from sockwright import steps as op
from sockwright.needlebed.bed import OUT_OF_SLOT, RAISED, WORKING, Bed, Run
from sockwright.needlebed.findings import Code
from sockwright.needlebed.loops import LOOP_SHARE, NONE, LoopKind

MOST_LOOPS_CLEARED = 3
"""A latch clears a loop and its two wraps (hand-knitting instructions, Simply Knitting,
October 2018: a stitch wrapped twice is worked with both wraps)."""

LONGEST_FLOAT = 3
"""Idle needles a strand may cross before it snags or gathers (common practice: mock rib leaves
out one needle at a time; three is the widest gap we accept)."""

MOST_IDLE_ROUNDS = 3
"""Rounds that may pass by loops on a dial not connected: a selvedge has two (common practice; some
say four)."""
MOST_FORK_ROWS = 10
"""Rows after which heel weights must have moved (common practice: every six to ten)."""
FORKS_REACH = 5
"""Needles that heel weights may hang outside those in work, as many as narrow away on a side in
the rows between two moves."""

SHARES = tuple(float(share) for share in LOOP_SHARE)


def ready(run: Run, *, row: bool) -> bool:
    """Report what is missing for knitting; False when nothing can be knitted."""
    bed = run.bed
    if bed.yarn == NONE:
        run.find(Code.NO_YARN)
        return False
    if row:
        if not (bed.knitted or bed.end_held or bed.removable):
            run.find(Code.FREE_END)
        if not bed.forks and not bed.removable:
            run.find(Code.NO_HEEL_WEIGHT)
        if bed.ribber:
            run.find(Code.RIBBER_IN_REVERSE)
        if bed.mounted and not bed.loops_on_dial():
            run.find(Code.RIBBER_OVER_ROWS)
        return True
    if bed.spring and not bed.removable:
        run.find(Code.SPRING_LEFT_ON)
    setting_up = run.section == op.Section.SET_UP.value
    if not (bed.main_weight or setting_up):
        run.find(Code.NO_MAIN_WEIGHT)
    if setting_up and not bed.removable:
        run.find(Code.SOCK_YARN_IN_WASTE)
    return True


def knit_rounds(run: Run, step: op.Rounds) -> None:
    """Whole rounds: the first needle by needle, the like ones after it as one block."""
    bed = run.bed
    if step.count < 1 or not ready(run, row=False):
        return
    if bed.forks:
        run.find(Code.FORKS_LEFT_ON)
    slots = bed.round_slots()
    if not _knit_course(run, slots, "round", _emit_wraps(run)):
        return
    if bed.dial and not bed.ribber:
        _count_idle(run, step.count)
    if step.count > 1:
        kinds = bytes(map(partial(_kind, run), slots))
        parents = [
            bed.top[s] if k <= LoopKind.PURL else NONE for s, k in zip(slots, kinds, strict=True)
        ]
        where = (run.section, run.step, bed.yarn, "round")
        first = run.recorder.tube(slots, kinds, parents, step.count - 1, where)
        last = first + len(slots) * (step.count - 2)
        for place, slot in enumerate(slots, last):
            if bed.needle[slot] == WORKING:
                bed.top[slot] = place
    bed.gap, bed.way = bed.gap or bed.n, 1
    _check_supply(run)


def _count_idle(run: Run, rounds: int) -> None:
    """Report, once, that loops on a dial not connected wait too long."""
    bed = run.bed
    if bed.loops_on_dial():
        before, bed.idle_rounds = bed.idle_rounds, bed.idle_rounds + rounds
        if before <= MOST_IDLE_ROUNDS < bed.idle_rounds:
            run.find(Code.DIAL_IDLE)


def knit_part_round(run: Run, step: op.PartRound) -> None:
    """A round as far as one needle."""
    bed = run.bed
    if not run.valid((step.last,)) or not ready(run, row=False):
        return
    if bed.needle[step.last - 1] == RAISED:
        run.find(Code.OFF_CORNER, [step.last - 1])
    slots = bed.round_slots()
    end = (step.last - bed.gap) % bed.n or bed.n
    start = bed.gap % bed.n
    passed = [s for s in slots if (bed.angle[s] - start - 0.5) % bed.n < end]
    _knit_course(run, passed, "part", _emit_wraps(run))
    bed.gap, bed.way = step.last, 1
    _check_supply(run)


def knit_row(run: Run, step: op.Row) -> None:
    """One row across the working cylinder needles, wraps laid since the last one first."""
    bed = run.bed
    if not ready(run, row=True):
        return
    low, high, solid = bed.span()
    if low < 0:
        run.find(Code.NOTHING_IN_WORK)
        return
    forward = step.way is op.Way.FORWARD
    if low < bed.gap <= high:
        # A needle lowered beside the carrier has it beyond; else it would pass this one by.
        passed = range(low, bed.gap) if forward else range(bed.gap, high + 1)
        if not bed.lowered.issuperset(passed):
            run.find(Code.OFF_CORNER)
    bed.lowered.clear()
    _check_turn(run, low, high, forward)
    if bed.forks:
        _check_forks(run, low, high)
    if step.last is not None:
        if not low <= step.last - 1 <= high:
            run.find_at(Code.NO_NEEDLE, [(step.last, False)])
            return
        low, high = (low, step.last - 1) if forward else (step.last - 1, high)
    slots = list(range(low, high + 1))
    if not forward:
        slots.reverse()
    if solid and not bed.eyelets:
        _solid_row(run, slots, low, high, forward)
    else:
        _knit_course(run, slots, "row", _emit_wraps(run))
    bed.gap = high + 1 if forward else low
    bed.way = 1 if forward else -1
    _check_supply(run)


def _check_forks(run: Run, low: int, high: int) -> None:
    """Report, once each time they are hung, heel weights left too low or too far out."""
    bed = run.bed
    bed.fork_rows += 1
    if bed.fork_rows == MOST_FORK_ROWS + 1:
        run.find(Code.FORKS_NOT_MOVED)
    first, last = bed.forks[0], bed.forks[-1]
    if (first < low - FORKS_REACH or last > high + FORKS_REACH) and not bed.forks_far:
        bed.forks_far = True
        run.find(Code.FORKS_UNDER_RAISED, [first if first < low else last])


def _check_turn(run: Run, low: int, high: int, forward: bool) -> None:
    """Where the yarn turns: is the carrier at the right end, and what does the strand wrap?"""
    bed = run.bed
    n, gap = bed.n, bed.gap
    to_low = min((low - gap) % n, (gap - low) % n)
    to_high = min((high + 1 - gap) % n, (gap - high - 1) % n)
    if (to_low > to_high) if forward else (to_high > to_low):
        run.find(Code.WRONG_SIDE)
    way = 1 if forward else -1
    if bed.way in (0, way) or bed.removable:
        return
    if not bed.spring:
        run.find(Code.NO_SPRING)
    # Needles raised since the last pass lie between the carrier and the first to knit: the
    # strand crosses their stems and wraps them by itself.
    # Home is gap 0 and gap n, so the way to the first needle is counted round the ring.
    if forward:
        crossed = [(gap + k) % n for k in range(to_low if (low - gap) % n == to_low else 0)]
        beyond = _next_needle(run, low, -1)
    else:
        away = to_high if (gap - high - 1) % n == to_high else 0
        crossed = [(gap - 1 - k) % n for k in range(away)]
        beyond = _next_needle(run, high, 1)
    bed.wraps += [s for s in crossed if bed.needle[s] == RAISED and s not in bed.wraps]
    if bed.needle[beyond] == RAISED and beyond not in bed.wraps:
        run.find(Code.NO_WRAP, [beyond])


def _next_needle(run: Run, slot: int, way: int) -> int:
    """The slot nearest to `slot` in `way` that holds a cylinder needle."""
    bed = run.bed
    slot = (slot + way) % bed.n
    while bed.needle[slot] == OUT_OF_SLOT:
        slot = (slot + way) % bed.n
    return slot


def _emit_wraps(run: Run) -> list[int]:
    """The wraps laid since the last course, to be written at the head of the next."""
    wraps, run.bed.wraps = run.bed.wraps, []
    return wraps


def _solid_row(run: Run, slots: list[int], low: int, high: int, forward: bool) -> None:
    """A row over neighbouring needles, the common case, without a look at each needle."""
    bed, wraps = run.bed, _emit_wraps(run)
    parents = bed.top[low : high + 1]
    if NONE in parents:
        _knit_course(run, slots, "row", wraps)
        return
    if not forward:
        parents.reverse()
    width, offset = len(slots), len(wraps)
    where = (run.section, run.step, bed.yarn, "row")
    first = run.recorder.row(
        wraps + slots,
        b"\x02" * offset + b"\x00" * width,
        [NONE] * offset + parents,
        width + 0.5 * offset,
        where,
    )
    start = first + offset
    if bed.under:
        for slot in [s for s in bed.under if low <= s <= high]:
            _clear_under(run, slot, start + (slot - low if forward else high - slot))
    ids = range(start, start + width)
    bed.top[low : high + 1] = ids if forward else ids[::-1]
    _mark_end(bed, slots[-1])
    for place, slot in enumerate(wraps, first):
        bed.under.setdefault(slot, []).append(place)


def _clear_under(run: Run, slot: int, child: int) -> None:
    """Pull `child` through every further loop on its needle."""
    loops = run.bed.under.pop(slot)
    if len(loops) >= MOST_LOOPS_CLEARED:
        run.find(Code.TOO_MANY_LOOPS, [slot])
    run.recorder.more_parents += [(child, loop) for loop in loops]


def _kind(run: Run, slot: int) -> int:
    """What a needle makes of the yarn that passes it."""
    if run.bed.needle[slot] != WORKING:
        return LoopKind.FLOAT
    return LoopKind.KNIT if slot < run.bed.n else LoopKind.PURL


def _knit_course(run: Run, slots: list[int], shape: str, wraps: list[int] | None = None) -> bool:
    """Knit one course over `slots` in order; False when no needle works."""
    bed, wraps = run.bed, wraps or []
    kinds = bytearray(map(partial(_kind, run), slots))
    if all(kind == LoopKind.FLOAT for kind in kinds):
        run.find(Code.NOTHING_IN_WORK)
        return False
    _check_floats(run, slots, kinds, closed=shape == "round")
    parents = [NONE] * len(slots)
    empty = []
    for place, slot in enumerate(slots):
        if kinds[place] == LoopKind.FLOAT:
            continue
        parents[place] = bed.top[slot]
        if bed.top[slot] == NONE:
            kinds[place] = LoopKind.TUCK
            if slot in bed.eyelets:
                bed.eyelets.discard(slot)
            else:
                empty.append(slot)
    if empty:
        run.find(Code.EMPTY_NEEDLE, empty)
    kinds = bytearray([LoopKind.WRAP]) * len(wraps) + kinds
    length = sum(SHARES[kind] for kind in kinds)
    where = (run.section, run.step, bed.yarn, shape)
    first = run.recorder.row(
        wraps + slots, bytes(kinds), [NONE] * len(wraps) + parents, length, where
    )
    for place, slot in enumerate(slots, first + len(wraps)):
        if bed.needle[slot] == WORKING:
            if slot in bed.under:
                _clear_under(run, slot, place)
            bed.top[slot] = place
    for place, slot in enumerate(wraps, first):
        bed.under.setdefault(slot, []).append(place)
    _mark_end(bed, next(s for s in reversed(slots) if bed.needle[s] == WORKING))
    return True


def _mark_end(bed: Bed, slot: int) -> None:
    """The yarn in the carrier has knitted as far as `slot`."""
    bed.knitted = True
    if not bed.removable:
        bed.end_slot = slot


def _check_floats(run: Run, slots: list[int], kinds: bytearray, *, closed: bool) -> None:
    """Report runs of idle needles that the yarn passes between two it knits; a `closed` course
    goes on past its last needle to its first."""
    if LoopKind.FLOAT not in kinds:
        return
    idle = longest = 0
    at = slots[0]
    laps = 2 if closed else 1
    for slot, kind in zip(slots * laps, kinds * laps, strict=True):
        idle = idle + 1 if kind == LoopKind.FLOAT else 0
        if idle > longest:
            longest, at = idle, slot
    if longest > LONGEST_FLOAT:
        run.find(Code.LONG_FLOAT, [at])


def _check_supply(run: Run) -> None:
    """Report, once a yarn, that more was used than there is."""
    name = run.recorder.yarns[run.bed.yarn]
    if run.recorder.used_mm[run.bed.yarn] > run.supply_mm.get(name, float("inf")):
        run.find(Code.YARN_GONE)
        del run.supply_mm[name]
