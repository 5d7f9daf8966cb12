"""Which reading would most sharpen the sock's foot length, before anybody takes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

from sockwright.estimates import Estimate, rectangular_sd
from sockwright.facts import fact
from sockwright.i18n import _, by_units
from sockwright.measure.belief import NAMES, Belief, believe, from_setting, length
from sockwright.measure.swatch import (
    ROWS,
    Kind,
    Observation,
    SharedError,
    count_sd,
    division,
    planned_sd,
    ratio_sd,
    tex_error,
)
from sockwright.measure.swatches import SortedSwatches
from sockwright.order.model import Count, State, SwatchGiven

PLACES, SPAN_MM = 5, 100.0
"""At least five places over 100 mm or more (EN 14971, from memory)."""
ROUNDS_MEASURED = 40
ROUNDS_UNRAVELLED = 10
ROUNDS_WEIGHED = 60
MM_PER_KM = 1e6

PHRASES: dict[Kind, str] = {
    Kind.COURSES: by_units(
        _("count courses at five places over 10 cm of the washed swatch"),
        **{"in": _("count courses at five places over 4 in of the washed swatch")},
    ),
    Kind.ROUNDS_LENGTH: _(
        "measure {rounds} rounds of the washed tube at five places",
        rounds=ROUNDS_MEASURED,
    ),
    Kind.UNRAVELLED: _(
        "unravel {rounds} whole rounds and measure the straightened yarn",
        rounds=ROUNDS_UNRAVELLED,
    ),
    Kind.WEIGHED: _("weigh a piece of {rounds} rounds", rounds=ROUNDS_WEIGHED),
    Kind.FLAT_WIDTH: _("measure the width of the flattened washed tube at five places"),
    Kind.WALES: by_units(
        _("count wales at five places over 10 cm of the washed swatch"),
        **{"in": _("count wales at five places over 4 in of the washed swatch")},
    ),
}
FOOT_AGAIN = _("measure the foot again")


@dataclass(frozen=True)
class Gain:
    """A reading that could be added, and the sd of the foot length, mm, before and after it.

    `kind` is None for a second measuring of the foot itself.
    """

    kind: Kind | None
    phrase: str
    sd_before_mm: float
    sd_after_mm: float


@dataclass(frozen=True)
class NextReading:
    """The readings that could be added, the most useful first.

    `foot_share` is the share of the variance of the fit in length that comes from the foot's own
    measure, None where its sd was not given.
    """

    ranking: tuple[Gain, ...]
    foot_share: float | None = None

    @property
    def best(self) -> Gain:
        """The reading to take next."""
        return self.ranking[0]


def best_next_reading(
    seen: SortedSwatches, needles: int, courses: float, foot_length_sd: float | None = None
) -> NextReading:
    """Readings ranked by the sd they would leave on a foot of so many `courses`, after those seen.

    With the sd of the wearer's foot length (mm) the sds are those of sock against foot, and
    measuring the foot a second time is ranked among the readings. In a Gaussian belief the sd
    after a reading does not depend on what it shows, so it is known before.
    """
    yarn_tex = seen.setting.tex
    belief = believe(from_setting(seen.setting), seen.observations)
    foot_sd = foot_length_sd or 0.0
    height_mm = length(belief, "course").value

    def fit_sd(after: Belief) -> float:
        return hypot(courses * height_mm * after.sd(after.row({"course": 1.0})), foot_sd)

    before = fit_sd(belief)
    gains = [
        Gain(planned.kind, PHRASES[planned.kind], before, fit_sd(believe(belief, [planned])))
        for planned in planned_readings(belief, yarn_tex, needles, tools_of(seen.own))
    ]
    if foot_length_sd is not None:
        again = sqrt(max(0.0, before**2 - foot_sd**2 / 2))
        gains.append(Gain(None, FOOT_AGAIN, before, again))
    share = None if foot_length_sd is None else foot_sd**2 / before**2
    return NextReading(tuple(sorted(gains, key=lambda gain: gain.sd_after_mm)), share)


def tools_of(own: Sequence[SwatchGiven]) -> tuple[float, float]:
    """Divisions of the maker's finest ruler (mm) and balance (g)."""
    plain = SwatchGiven("", State.WASHED, 1)
    owned = own or (plain,)
    return min(s.ruler_mm for s in owned), min(s.balance_g for s in owned)


def planned_readings(
    belief: Belief, yarn_tex: Estimate, needles: int, tools: tuple[float, float]
) -> list[Observation]:
    """One observation of each kind, as good as the maker's tools allow."""
    wale, course, loop = (length(belief, name).value for name in NAMES)
    ruler_mm, balance_g = tools
    ruler_sd = rectangular_sd(division(ruler_mm))
    mass_g = ROUNDS_WEIGHED * needles * loop * yarn_tex.value / MM_PER_KM
    quarter = fact("gauge", "count_half_width").number
    rounds_mm = ROUNDS_MEASURED * course
    pull = SharedError("pull", fact("gauge", "pull_relative_sd").number)
    rounds_sd = ratio_sd(rounds_mm, division(ruler_mm), ROUNDS_MEASURED, quarter)
    return [
        _plan(Kind.COURSES, [count_sd(Count(SPAN_MM / course, SPAN_MM), ruler_mm)] * PLACES),
        _plan(Kind.ROUNDS_LENGTH, [rounds_sd] * PLACES),
        _plan(Kind.UNRAVELLED, [ruler_sd / (ROUNDS_UNRAVELLED * needles * loop)], pull),
        _plan(Kind.WEIGHED, [rectangular_sd(division(balance_g)) / mass_g], tex_error(yarn_tex)),
        _plan(Kind.FLAT_WIDTH, [ruler_sd / (needles * wale / 2)] * PLACES),
        _plan(Kind.WALES, [count_sd(Count(SPAN_MM / wale, SPAN_MM), ruler_mm)] * PLACES),
    ]


def _plan(kind: Kind, sds: list[float], *shared: SharedError) -> Observation:
    common = tuple((error, 1.0) for error in shared)
    sd = planned_sd(kind, sds)
    # The value does not matter: it moves the mean, and only the sd is looked at.
    return Observation(ROWS[kind], 0.0, sd, PHRASES[kind], State.WASHED, kind, common, len(sds))
