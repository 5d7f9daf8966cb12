"""The whole crank program, cuff down, from a sizing."""

from __future__ import annotations

from collections.abc import Mapping

from sockwright import steps as op
from sockwright.order.model import Closing, CuffKind
from sockwright.program.cuff import knit_cuff, set_up
from sockwright.program.draft import Draft, YarnPlan, change_yarn
from sockwright.program.heel import begin_heel
from sockwright.program.tube import knit_foot, knit_leg
from sockwright.sock.sizing import Sizing


def build_program(
    sizing: Sizing,
    yarns: YarnPlan | None = None,
    cam_settings: Mapping[float, float] | None = None,
) -> op.Program:
    """Every step from hanging the scrap to darning the ends.

    `yarns` names the yarn of each part; `cam_settings` maps loop-length factors to the user's own
    cam numbers.
    """
    yarns = yarns or YarnPlan()
    draft = Draft(sizing.needles)
    settings = cam_settings or {}
    edge = set_up(draft, sizing.cuff, yarns.cuff, settings.get(1.0))
    if sizing.top_factor != 1.0:
        draft.add(op.SetCam, sizing.top_factor, settings.get(sizing.top_factor))
    knit_cuff(draft, sizing.cuff, edge)
    draft.section = op.Section.LEG
    change_yarn(draft, yarns.cuff, yarns.main)
    knit_leg(draft, sizing, settings, rounds=sizing.leg_rounds - 1)
    finish_heel = begin_heel(draft, sizing, yarns)
    knit_foot(draft, sizing, yarns)
    draft.section = op.Section.CLOSING
    if sizing.toe.closing is Closing.GATHER:
        draft.add(op.Gather)
    draft.add(op.PullCord)
    if sizing.cuff.kind is CuffKind.ROLLED_EDGE:
        draft.add(op.BindOff, edge)
    finish_heel()
    draft.section = op.Section.CLOSING
    draft.add(op.Finish)
    dial = sizing.cuff.rib.dial if sizing.cuff.rib is not None else ()
    return op.Program(sizing.needles, dial, tuple(draft.steps))
