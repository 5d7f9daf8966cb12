"""The dry run: executes a program on a virtual needle bed; loops out, and findings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sockwright import steps as op
from sockwright.needlebed import (
    closing_steps,
    knitting_steps,
    needle_steps,
    ribber_steps,
    setting_steps,
)
from sockwright.needlebed.ends import loose_ends
from sockwright.needlebed.findings import Code, Finding, Level
from sockwright.needlebed.loops import NONE, LoopTable
from sockwright.needlebed.run import Run


@dataclass(frozen=True)
class DryRun:
    """What a dry run gives: the loop table and the findings."""

    loops: LoopTable
    findings: tuple[Finding, ...]

    @property
    def ok(self) -> bool:
        """True without an error-level finding."""
        return not self.errors

    @property
    def errors(self) -> tuple[Finding, ...]:
        """The findings that spoil the sock."""
        return tuple(f for f in self.findings if f.level is Level.ERROR)


def dry_run(
    program: op.Program,
    loop_mm: float = 1.0,
    supply_mm: Mapping[str, float] | None = None,
) -> DryRun:
    """Execute `program` step by step.

    `loop_mm` is the yarn in one loop at cam factor 1, mm; `supply_mm` the yarn there is of each
    name, mm (a yarn not named has no end). Never raises for a wrong program: that is a finding.
    """
    run = Run(program, loop_mm, dict(supply_mm or {}))
    for _ in take(run, program.steps):
        pass
    table = run.recorder.table(program.dial, run.grafts, run.closed)
    bed = run.bed
    on_needles = [loop for slot in range(len(bed.top)) for loop in bed.loops_on(slot)]
    if bed.off:
        close(run, program.steps[-1])
    ends = loose_ends(table, run.step, run.cord_pulled, on_needles, run.opened)
    return DryRun(table, (*run.findings, *ends))


def close(run: Run, last: op.Step) -> None:
    """Report what is left to do once the work is off."""
    if not isinstance(last, op.Finish):
        run.find(Code.NOT_FINISHED)
    if run.bed.yarn != NONE:
        run.find(Code.YARN_NOT_CUT)
    if not run.cord_pulled and closing_steps.has_cord(run):
        run.find(Code.CORD_LEFT_IN)


def take(run: Run, steps: Sequence[op.Step]) -> Iterator[None]:
    """Take the steps one by one; gives a breath after each."""
    for run.step, step in enumerate(steps, 1):
        run.section = step.section.value
        HANDLERS[type(step)](run, step)
        yield


HANDLERS: dict[type, Callable[[Run, Any], None]] = {
    op.HangScrap: setting_steps.hang_scrap,
    op.Thread: setting_steps.thread_yarn,
    op.CutYarn: setting_steps.cut_yarn,
    op.Rounds: knitting_steps.knit_rounds,
    op.PartRound: knitting_steps.knit_part_round,
    op.Row: knitting_steps.knit_row,
    op.Raise: needle_steps.raise_needles,
    op.Lower: needle_steps.lower_needles,
    op.Wrap: needle_steps.wrap_needle,
    op.MoveLoops: needle_steps.move_loops,
    op.RemoveNeedles: needle_steps.remove_needles,
    op.ReplaceNeedles: needle_steps.replace_needles,
    op.LiftBars: needle_steps.lift_bars,
    op.HangHem: needle_steps.hang_hem,
    op.ToDial: ribber_steps.to_dial,
    op.FillDial: ribber_steps.fill_dial,
    op.ToCylinder: ribber_steps.to_cylinder,
    op.Mount: ribber_steps.mount,
    op.Ribber: ribber_steps.set_ribber,
    op.Weigh: setting_steps.hang_weight,
    op.Unweigh: setting_steps.take_weight,
    op.HeelSpring: setting_steps.heel_spring,
    op.SetCam: setting_steps.set_cam,
    op.Check: setting_steps.do_nothing,
    op.TakeOff: closing_steps.take_off,
    op.Graft: closing_steps.graft,
    op.Gather: closing_steps.gather,
    op.PullCord: closing_steps.pull_cord,
    op.BindOff: closing_steps.bind_off,
    op.OpenWaste: closing_steps.open_waste,
    op.Rehang: closing_steps.rehang,
    op.Finish: closing_steps.finish,
}
