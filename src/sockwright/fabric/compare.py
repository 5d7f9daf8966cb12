"""What was knitted against what was sized: rounds, rows, wales, yarns, stitch cam and wraps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sockwright.needlebed.execute import DryRun
from sockwright.needlebed.findings import Code, Finding
from sockwright.needlebed.loops import Bed, Course, LoopKind, LoopTable
from sockwright.order.model import CuffKind, ToeHalf, Widening
from sockwright.program.build import SELVEDGE_ROUNDS
from sockwright.program.draft import YarnPlan
from sockwright.sock.cup import Cup
from sockwright.sock.sizing import Sizing
from sockwright.steps import Program, Section, SetCam

UNSIZED = -1
"""Wales whose loops the sizing does not tell one by one."""

Wales = NDArray[np.int64]

COMPARED = frozenset(
    (
        Code.WRAP_MISSED,
        Code.ROUNDS_DIFFER,
        Code.WALES_UNEQUAL,
        Code.EYELETS_DIFFER,
        Code.CAM_DIFFERS,
        Code.WRONG_YARN,
    )
)
"""What is found only by comparing with a sizing."""


def sized_wales(sizing: Sizing, section: Section) -> Wales:
    """(N,) loops on each needle, needle 1 first, or UNSIZED."""
    wales = np.zeros(sizing.needles, np.int64)
    if section in PARTS:
        PARTS[section](sizing, wales)
    return wales


def own_wales(sizing: Sizing, section: Section) -> Wales:
    """(N,) those loops of a heel or toe that are knitted in its own yarn: its rows, and all of an
    afterthought heel."""
    wales = np.zeros(sizing.needles, np.int64)
    heel, toe = sizing.heel, sizing.toe
    if section is Section.HEEL and heel.tube_rounds:
        return sized_wales(sizing, section)
    if section is Section.HEEL:
        _cups(wales, heel.cups, 1)
    elif toe.cup is not None:
        _cups(wales, (toe.cup,), _first_of_toe(sizing))
    return wales


def _first_of_toe(sizing: Sizing) -> int:
    return 1 if sizing.toe.half is ToeHalf.HEEL else sizing.heel_needles + 1


def _cuff(sizing: Sizing, wales: Wales) -> None:
    cuff = sizing.cuff
    wales[:] = cuff.rounds
    if cuff.kind is CuffKind.MOCK_RIB_HEM:
        wales[cuff.every - 1 :: cuff.every] = 4  # two rounds before they are out, two after
    if cuff.kind is CuffKind.TRUE_RIB and cuff.rib is not None:
        wales += 1 + SELVEDGE_ROUNDS
        wales[[needle - 1 for needle, _ in cuff.rib.edge]] -= SELVEDGE_ROUNDS


def _leg(sizing: Sizing, wales: Wales) -> None:
    """The last round is knitted over the heel half before the heel, over the others after it,
    where a heel parts it."""
    wales[:] = sizing.leg_rounds
    wales[sizing.heel_needles :] -= sizing.heel.parts_round


def _foot(sizing: Sizing, wales: Wales) -> None:
    """The other half of the leg's last round, and the foot's, the last of which is begun before a
    toe on the heel half and done after it."""
    half = sizing.heel_needles
    wales[:] = sizing.foot_rounds
    wales[half:] += sizing.heel.parts_round
    if sizing.toe.cup is not None:
        if sizing.toe.half is ToeHalf.HEEL:
            wales[half:] -= 1
        wales[2 * half :] = UNSIZED  # of an odd number the last needle is left out


def _toe(sizing: Sizing, wales: Wales) -> None:
    cup, half = sizing.toe.cup, sizing.heel_needles
    if cup is None:
        return
    if sizing.toe.half is ToeHalf.HEEL:
        wales[half : 2 * half] = 1
    _cups(wales, (cup,), _first_of_toe(sizing))


def _heel(sizing: Sizing, wales: Wales) -> None:
    heel, half = sizing.heel, sizing.heel_needles
    _cups(wales, heel.cups, 1)
    wales += heel.wedge_rounds
    # Rounds of its own, the first over the one half before the rows, over the other after them.
    wales[: 2 * half] += heel.tube_rounds


def cup_wales(cup: Cup) -> Wales:
    """(needles,) rows that each needle of a cup knits, that with the lowest number first; the
    carrier stands at the other end when narrowing begins and when it ends."""
    side = cup.raised // 2
    place = np.arange(1, side + 1)  # from the end of the run inwards
    inner = side + 1 - place
    down = 2 * np.maximum(place - cup.first_raise, 0)  # rows before it is raised
    near = cup.widening in (Widening.WRAPPED_NEAR, Widening.PLAIN)
    up = cup.raised - 2 * (inner - 1)  # rows once it is lowered, on the side that comes first
    if cup.widening is Widening.TWO_DOWN_ONE_UP:
        up = up + (inner > 1)  # the outer of two knits a row before it goes up again
    wales = np.full(cup.needles, cup.rows)
    wales[:side] = down + 1 + up - near
    wales[cup.needles - side :] = (down + up - 1 + near)[::-1]
    return wales


def _cups(wales: Wales, cups: Sequence[Cup], first: int) -> None:
    for cup in cups:
        wales[first - 1 : first - 1 + cup.needles] += cup_wales(cup)


PARTS: dict[Section, Callable[[Sizing, Wales], None]] = {
    Section.CUFF: _cuff,
    Section.LEG: _leg,
    Section.HEEL: _heel,
    Section.FOOT: _foot,
    Section.TOE: _toe,
}


def compared(run: DryRun, sizing: Sizing, program: Program, yarns: YarnPlan) -> DryRun:
    """The dry run with what differs from the sizing among its findings."""
    found = tuple(_as_ordered(finding, sizing, program) for finding in run.findings)
    return replace(run, findings=(*found, *differences(run.loops, sizing, program, yarns)))


def differences(
    table: LoopTable, sizing: Sizing, program: Program, yarns: YarnPlan
) -> Iterator[Finding]:
    """What of the loops in `table`, knitted by `program`, differs from what was sized."""
    sock = [run for run in table.runs if not table.removable[run.yarn]]
    last = {run.section: run.step for run in sock}
    end = len(program.steps)
    for section, wales in _counted(table, sizing).items():
        step = last.get(section.value, end)
        yield from _rounds(wales, sized_wales(sizing, section), step)
    yield from _eyelets(table, sizing, last.get(Section.CUFF.value, end))
    yield from _cam(sock, sizing, program)
    yield from _yarn(table, sock, yarns)
    for section, own in ((Section.HEEL, yarns.heel), (Section.TOE, yarns.toe)):
        if own == yarns.main:
            continue
        yield from _own_yarn(table, sizing, section, own, last.get(section.value, end))


def _as_ordered(finding: Finding, sizing: Sizing, program: Program) -> Finding:
    """A missing wrap is an error where the design asks for wraps."""
    if finding.code is Code.NO_WRAP:
        section = program.steps[finding.step - 1].section
        toe = () if sizing.toe.cup is None else (sizing.toe.cup,)
        cups = toe if section is Section.TOE else sizing.heel.cups
        if any(cup.widening is not Widening.PLAIN for cup in cups):
            return replace(finding, code=Code.WRAP_MISSED)
    return finding


def _counted(
    table: LoopTable, sizing: Sizing, only: NDArray[np.bool_] | None = None
) -> dict[Section, Wales]:
    """(N,) loops of the sock on each needle, by section, or `only` some of them; dial loops count
    on the needle that they came from."""
    n, sections = sizing.needles, list(Section)
    number = {section.value: place for place, section in enumerate(sections)}
    at = np.concatenate(
        [_places(run, before, number, sizing.heel_needles) for before, run in _in_turn(table)]
    )
    needle = table.needle.astype(np.int64)
    if table.dial:
        over = np.zeros(len(table.dial) + 1, np.int64)
        rib = sizing.cuff.rib
        for place, slot in () if rib is None else (*rib.edge, *rib.rib):
            over[slot] = place
        dial = table.bed == Bed.DIAL
        needle[dial] = over[needle[dial]]
    counts = table.stays & (table.is_loop | (table.kind == LoopKind.TUCK))
    if only is not None:
        counts &= only
    flat = np.bincount((at * (n + 1) + needle)[counts], minlength=len(sections) * (n + 1))
    grid = flat.reshape(len(sections), n + 1)[:, 1:]
    return {section: grid[number[section.value]] for section in sections}


def _in_turn(table: LoopTable) -> Iterator[tuple[Course | None, Course]]:
    """Each run of courses after the one before it."""
    return zip((None, *table.runs), table.runs, strict=False)


def _places(run: Course, before: Course | None, number: dict[str, int], half: int) -> Wales:
    """The number of the section of each loop in a run of courses. The last row of a heel stops half
    way, for needles to be lowered, and is done in the part round that follows."""
    at = np.full(len(run.slots) * run.rounds, number[run.section])
    if before is not None and (before.shape, run.shape) == ("row", "part"):
        at[np.array(run.slots) < half] = number[before.section]
    return at


def _rounds(wales: Wales, sized: Wales, step: int) -> Iterator[Finding]:
    """Wales with more or fewer loops in a section than were sized."""
    differ = np.flatnonzero((sized != UNSIZED) & (wales != sized))
    if not len(differ):
        return
    known = int((sized != UNSIZED).sum())
    code = Code.ROUNDS_DIFFER if len(differ) * 4 >= known else Code.WALES_UNEQUAL
    yield Finding(code, step, int(differ[0]) + 1, len(differ))


def _eyelets(table: LoopTable, sizing: Sizing, step: int) -> Iterator[Finding]:
    """Needles of the cuff that were emptied for a hole and should not be, or the other way."""
    emptied = (table.kind == LoopKind.TUCK) & (table.bed == Bed.CYLINDER)
    if not emptied.any() and sizing.cuff.kind is not CuffKind.PICOT_HEM:
        return
    # A hole in another round than the fold's is none of those sized.
    fold = int(table.course[np.argmax(table.stays)]) + sizing.cuff.rounds // 2
    wales = _counted(table, sizing, only=emptied & (table.course == fold))[Section.CUFF]
    sized = np.zeros(sizing.needles, np.int64)
    if sizing.cuff.kind is CuffKind.PICOT_HEM:
        sized[1::2] = 1
    differ = np.flatnonzero(wales != sized)
    if len(differ):
        yield Finding(Code.EYELETS_DIFFER, step, int(differ[0]) + 1, len(differ))


def _cam(sock: list[Course], sizing: Sizing, program: Program) -> Iterator[Finding]:
    """The first course whose loops are not as long as was sized."""
    leg = [factor for part, factor in sizing.leg_shape for _ in range(part)]
    leg[-1] = 1.0  # the last round is knitted half before the heel and half after it
    cams = [
        (step, one.factor) for step, one in enumerate(program.steps, 1) if isinstance(one, SetCam)
    ]
    factor, knitted = 1.0, 0
    for run in sock:
        while cams and cams[0][0] < run.step:
            factor = cams.pop(0)[1]
        sized = {1.0}
        if run.section == Section.CUFF.value:
            sized = {sizing.top_factor}
        elif run.section == Section.LEG.value:
            sized = set(leg[knitted : knitted + run.rounds]) or {1.0}
            knitted += run.rounds
        if sized != {factor}:
            yield Finding(Code.CAM_DIFFERS, run.step)
            return


def _yarn(table: LoopTable, sock: list[Course], yarns: YarnPlan) -> Iterator[Finding]:
    """The first course in a yarn that is another part's."""
    own = {Section.CUFF: {yarns.cuff}, Section.HEEL: {yarns.heel}, Section.TOE: {yarns.toe}}
    for run in sock:
        section = Section(run.section)
        allowed = own.get(section, {yarns.main})
        if run.shape != "row" and section in (Section.HEEL, Section.TOE):
            allowed = allowed | {yarns.main}  # a round between two cups, or after them
        if table.yarns[run.yarn] not in allowed:
            yield Finding(Code.WRONG_YARN, run.step)
            return


def _own_yarn(
    table: LoopTable, sizing: Sizing, section: Section, own: str, step: int
) -> Iterator[Finding]:
    """Wales of which more or fewer loops than a cup's own are in its own yarn."""
    names = [number for number, name in enumerate(table.yarns) if name == own]
    wales = _counted(table, sizing, only=np.isin(table.yarn, names))[section]
    differ = np.flatnonzero(wales != own_wales(sizing, section))
    if len(differ):
        yield Finding(Code.WRONG_YARN, step, int(differ[0]) + 1, len(differ))
