"""Which swatches speak for the fabric to be knitted, and which only for the shape of its loop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.belief import believe, from_yarn, tightness
from sockwright.measure.loop_laws import drape_tightness
from sockwright.measure.swatch import Observation, SharedError, observe
from sockwright.order.model import Drape, State, SwatchGiven
from sockwright.words import said


@dataclass(frozen=True)
class Sorted:
    """Swatches of the main yarn: `own` of the cylinder and cam setting asked for, `others` not.

    `observations` are those of all of them, `notes` what a maker should know.
    """

    own: tuple[SwatchGiven, ...]
    others: tuple[SwatchGiven, ...]
    observations: tuple[Observation, ...]
    notes: tuple[str, ...]


def sort_swatches(
    swatches: Sequence[SwatchGiven], yarn_tex: Estimate, needles: int, drape: Drape
) -> Sorted:
    """Swatches sorted for a sock on so many needles.

    Swatches of another cylinder or cam setting keep their ratios, but their size as a whole gets
    a wide error of its own.
    """
    main = [swatch for swatch in swatches if swatch.yarn == "main"]
    notes = [_of_other_yarn(swatch) for swatch in swatches if swatch.yarn != "main"]
    setting, setting_notes = _setting(
        [swatch for swatch in main if swatch.needles == needles], yarn_tex, drape
    )
    notes += setting_notes
    own: list[SwatchGiven] = []
    others: list[SwatchGiven] = []
    observations: list[Observation] = []
    for swatch in main:
        seen = observe(swatch, yarn_tex)
        notes += seen.notes
        if swatch.needles == needles and swatch.cam in (None, setting):
            own.append(swatch)
            observations += seen.observations
        else:
            others.append(swatch)
            observations += [_of_other_level(swatch, each) for each in seen.observations]
    notes += [_other_cylinder(s, needles) for s in others if s.needles != needles]
    return Sorted(tuple(own), tuple(others), tuple(observations), tuple(notes))


def _setting(
    own: Sequence[SwatchGiven], yarn_tex: Estimate, drape: Drape
) -> tuple[float | None, list[str]]:
    """The cam setting whose swatches come nearest the wished tightness, and a note if several."""
    settings = sorted({swatch.cam for swatch in own if swatch.cam is not None})
    if len(settings) < 2:
        return (settings[0] if settings else None), []
    prior, wish = from_yarn(yarn_tex, drape), drape_tightness(drape)

    def miss(setting: float) -> float:
        seen = [o for s in own if s.cam == setting for o in observe(s, yarn_tex).observations]
        if not seen:
            return float("inf")
        return abs(log(tightness(believe(prior, seen), yarn_tex).value / wish))

    chosen = min(settings, key=miss)
    note = said(
        "Swatches were knitted at {count} cam settings: the gauge is that of setting "
        "{chosen:g}, the nearest to the wished drape ({drape}).",
        count=len(settings),
        chosen=chosen,
        drape=said(drape.value),
    )
    return chosen, [note]


def _of_other_level(swatch: SwatchGiven, seen: Observation) -> Observation:
    setting = "" if swatch.cam is None else f" at cam setting {swatch.cam:g}"
    error = SharedError(
        f"level of {swatch.needles} needles{setting}",
        fact("gauge", "level_relative_sd").number,
    )
    return replace(seen, shared=(*seen.shared, (error, 1.0)))


def _of_other_yarn(swatch: SwatchGiven) -> str:
    return said(
        "Swatch '{swatch}' is of the {yarn} yarn: it was not used for the gauge of the main yarn.",
        swatch=swatch.name,
        yarn=said(swatch.yarn),
    )


def _other_cylinder(swatch: SwatchGiven, needles: int) -> str:
    told = said("it tells the shape of the loop, its size only roughly")
    if swatch.state is State.ON_MACHINE:
        # Its widths and heights are not used, so nothing of it tells the shape.
        loops = swatch.unravelled or swatch.weighed
        told = (
            said("it tells the loop's length only roughly")
            if loops
            else said("off the machine, too, it would tell the size only roughly")
        )
    return said(
        "Swatch '{swatch}' was knitted on {its_needles} needles, not {needles}: {told}. "
        "Knit one on {needles} needles.",
        swatch=swatch.name,
        its_needles=swatch.needles,
        needles=needles,
        told=told,
    )


SLOPE = "slope"


def cam_slope(swatches: Sequence[SwatchGiven], yarn_tex: Estimate, needles: int) -> Estimate | None:
    """Change of ln l (so of ln w and ln h too) for one step of the cam setting, unit "1".

    From swatches of the main yarn on a cylinder of so many needles at two settings or more that
    show something of the fabric; None without them. Below zero where a larger setting is tighter.
    """
    seen = [
        (swatch.cam, each)
        for swatch in swatches
        if swatch.yarn == "main" and swatch.needles == needles and swatch.cam is not None
        for each in observe(swatch, yarn_tex).observations
    ]
    settings = [cam for cam, _ in seen]
    if len(set(settings)) < 2:
        return None
    low, high = min(settings), max(settings)
    # An sd of 1 for the whole range is no opinion: loops never grow 2.7 times.
    slope = SharedError(SLOPE, 1 / (high - low))
    middle = (low + high) / 2
    sloped = [_at_setting(each, slope, cam - middle) for cam, each in seen]
    belief = believe(from_yarn(yarn_tex, Drape.MIDDLE), sloped)
    row = belief.row({SLOPE: 1.0})
    return Estimate(float(row @ belief.mean), belief.sd(row), "1")


def _at_setting(seen: Observation, slope: SharedError, steps: float) -> Observation:
    return replace(seen, shared=(*seen.shared, (slope, steps)))
