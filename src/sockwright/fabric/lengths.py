"""Lengths and girths of the finished sock, counted on the loop table."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sockwright.estimates import Count, Estimate, Propagated, counted
from sockwright.i18n import _
from sockwright.measure.fabrics import PLAIN
from sockwright.measure.gauge import Gauge
from sockwright.needlebed.loops import Bed, Course, LoopTable
from sockwright.sock.cuff import ROLLED_SHARE
from sockwright.steps import Section

NO_COURSES, NO_LENGTH = Estimate(0.0, 0.0, "course"), Estimate(0.0, 0.0, "mm")
COUNTED = _("counted loop by loop on the dry run")

SOLE = _("courses of the sole")
INSTEP = _("courses of the instep")
LEG = _("courses of the leg")
ALONG_SOLE = _("along the middle wale of the heel half, from the heel's fold to the toe's tip")
ALONG_INSTEP = _("along the middle wale of the instep, from the heel to the toe's tip")
ALONG_LEG = _(
    "along the middle wale of the heel half, from the floor to the top; a folded hem once, a "
    "looser loop as a higher course"
)


@dataclass(frozen=True)
class FabricMeasures:
    """What the loops measure.

    `sole_courses` from the fold of the heel to the tip of the toe along the middle wale of the
    heel half; `instep_courses` from the heel to the tip along the middle of the instep;
    `leg_courses` from the floor to the top, a folded hem counted once; lengths in mm.
    """

    sole_courses: Estimate
    instep_courses: Estimate
    leg_courses: Estimate
    short_rows: Count
    foot_length: Estimate
    leg_length: Estimate
    girth: Estimate
    tube_length: Estimate
    """From top to toe along the sole and the back, without the heel."""


@dataclass(frozen=True)
class Fabrics:
    """What cuff and leg are made of, by the names of fabrics; all else of a sock is plain."""

    cuff: str = PLAIN
    leg: str = PLAIN


ALL_PLAIN = Fabrics()


def ribbed(table: LoopTable, run: Course) -> bool:
    """Whether needles of the dial knit in it."""
    return max(run.slots, default=0) >= table.needles


def fabric_of(table: LoopTable, run: Course, fabrics: Fabrics) -> str:
    """The fabric of a course; a ribbed leg's last rounds, all on the cylinder, are plain."""
    if run.section == Section.CUFF.value:
        return fabrics.cuff
    if run.section == Section.LEG.value and ribbed(table, run):
        return fabrics.leg
    return PLAIN


def measure_fabric(
    table: LoopTable,
    gauge: Gauge,
    gather_courses: Estimate | None = None,
    corner: Estimate = NO_LENGTH,
    fabrics: Fabrics = ALL_PLAIN,
) -> FabricMeasures:
    """Count the courses and wales of the finished sock in `table`.

    `gather_courses` is what a gathered end takes from the length, in courses; `corner` what foot
    and leg gain where the tube turns without a heel, mm; `fabrics` are those of cuff and leg. The
    sd of a length is the gauge's, the same for every course, and theirs.
    """
    wales = _Wales(table, fabrics)
    half = table.needles // 2
    heel_half, instep = wales.middle(1, half), wales.middle(half + 1, 2 * half)
    lost = gather_courses or NO_COURSES
    sole = _courses("sole_courses", SOLE, ALONG_SOLE, _sole(wales, heel_half, instep) - lost.value)
    by_fabric = _leg(wales, heel_half, instep)
    leg = _courses("leg_courses", LEG, ALONG_LEG, sum(by_fabric.values()))
    course, heel = gauge.course, _heel_courses(wales, heel_half, instep)
    high = Propagated(0.0, {})
    for kind, courses in by_fabric.items():
        high = high + gauge.of(kind).course * courses
    # What the gathering takes is taken off the courses already: only its error comes in.
    unsure = lost - lost.value
    turns = corner.value != 0
    return FabricMeasures(
        sole_courses=sole,
        instep_courses=_courses(
            "instep_courses", INSTEP, ALONG_INSTEP, _instep(wales, heel_half, instep)
        ),
        leg_courses=leg,
        short_rows=counted(
            _short_rows(table), "fabric.short_rows", SHORT_ROWS, _("counted"), COUNTED
        ),
        foot_length=_length(
            (sole - unsure) * course + corner,
            "foot_length",
            _("foot, heel to toe"),
            _("courses of the sole × course + the turn")
            if turns
            else _("courses of the sole × course"),
        ),
        leg_length=_length(
            high + corner,
            "leg_length",
            _("height from the floor"),
            _("courses of heel, leg and cuff, each × its course, + the turn")
            if turns
            else _("courses of heel, leg and cuff, each × its course"),
        ),
        girth=_length(
            gauge.wale * float(_foot_width(wales)),
            "girth",
            _("girth of the knitted sock"),
            _("wales of the widest plain round of the foot × wale"),
        ),
        tube_length=_length(
            (sole - heel - unsure) * course + high,
            "tube_length",
            _("tube, top to toe"),
            _("courses of the sole and of leg and cuff, each × its course"),
        ),
    )


def _courses(name: str, label: str, formula: str, courses: float) -> Estimate:
    return Propagated(courses, {}).named(f"fabric.{name}", label, "course", formula, COUNTED)


def _length(value: Propagated, name: str, label: str, formula: str) -> Estimate:
    return value.named(f"fabric.{name}", label, "mm", formula, COUNTED)


SHORT_ROWS = _("rows to and fro")


def _short_rows(table: LoopTable) -> int:
    return sum(run.shape == "row" and not table.removable[run.yarn] for run in table.runs)


def run_counts(table: LoopTable) -> tuple[Count, ...]:
    """What is counted on the dry run."""
    counts = {
        "dry_run.loops": (_("loops in the sock"), table.kept),
        "dry_run.courses": (_("courses knitted, waste and cord with them"), table.courses),
        "dry_run.short_rows": (SHORT_ROWS, _short_rows(table)),
        "dry_run.grafted_pairs": (_("pairs of loops grafted"), len(table.grafts)),
    }
    return tuple(
        counted(count, key, label, _("counted"), COUNTED) for key, (label, count) in counts.items()
    )


class _Wales:
    """Loops of the finished sock by wale and section."""

    def __init__(self, table: LoopTable, fabrics: Fabrics) -> None:
        self.table = table
        self.fabrics = fabrics
        sections = list(Section)
        self.names = {section: place for place, section in enumerate(sections)}
        sizes = [len(run.slots) * run.rounds for run in table.runs]
        order = [self.names[Section(run.section)] for run in table.runs]
        self.section = np.repeat(np.array(order, np.int8), sizes)
        self.in_row = np.repeat([run.shape == "row" for run in table.runs], sizes)
        self.ribbed = np.repeat([ribbed(table, run) for run in table.runs], sizes)
        self.place = self._places()
        self.counts = table.stays & table.is_loop
        self.height = self._heights()

    def _places(self) -> NDArray[np.float64]:
        """(n,) angular place of each loop in needle numbers; dial loops stand over needles."""
        table = self.table
        if not table.dial:
            return table.needle.astype(np.float64)
        dial = np.array(table.dial)[np.clip(table.needle - 1, 0, len(table.dial) - 1)]
        return np.where(table.bed == Bed.DIAL, dial, table.needle)

    def _heights(self) -> NDArray[np.float64]:
        """(n,) height of each loop in courses of the swatch: as its own yarn to that of a loop of
        the foot, which is knitted at the swatch's setting (a looser stitch cam makes the course
        higher in the same share)."""
        table = self.table
        own = np.empty(len(table))
        for number in range(len(table.yarns)):
            mine = table.yarn == number
            own[mine] = np.diff(table.yarn_at[mine], prepend=0.0)
        foot = self.counts & (self.section == self.names[Section.FOOT])
        usual = float(np.median(own[foot])) if foot.any() else 1.0
        return np.asarray(own / usual)

    def middle(self, first: int, last: int) -> int:
        """The wale nearest the middle of needles first..last that was knitted throughout, not on
        a needle that was out for a rib."""
        centre = (first + last) // 2
        whole = {n: int((self.counts & (self.place == n)).sum()) for n in (centre - 1, centre + 1)}
        whole[centre] = int((self.counts & (self.place == centre)).sum())
        return max(sorted(whole, key=lambda n: abs(n - centre)), key=whole.__getitem__)

    def on(self, needle: int, section: Section, *, rows: bool = False) -> NDArray[np.bool_]:
        """(n,) True for the loops of a wale in a section, rows only if asked."""
        here = self.counts & (self.place == needle) & (self.section == self.names[section])
        return np.asarray(here & self.in_row) if rows else here

    def count(self, needle: int, section: Section, *, rows: bool = False) -> int:
        """How many loops a wale has in a section."""
        return int(self.on(needle, section, rows=rows).sum())


def _heel_courses(wales: _Wales, heel_half: int, instep: int) -> float:
    """Courses the heel adds to the middle wale, both sides of the fold.

    A grafted heel was knitted as a tube of its own: its upper half belongs to the same wale.
    """
    courses = wales.count(heel_half, Section.HEEL)
    grafts = wales.table.grafts
    if len(grafts) and (wales.section[grafts[:, 0]] == wales.names[Section.HEEL]).any():
        courses += wales.count(instep, Section.HEEL)
    return courses


def _toe_share(wales: _Wales, heel_half: int, instep: int) -> float:
    rows = max(wales.count(needle, Section.TOE, rows=True) for needle in (heel_half, instep))
    return rows / 2


def _sole(wales: _Wales, heel_half: int, instep: int) -> float:
    heel = _heel_courses(wales, heel_half, instep) / 2
    foot = wales.count(heel_half, Section.FOOT)
    return heel + foot + _toe_share(wales, heel_half, instep)


def _instep(wales: _Wales, heel_half: int, instep: int) -> float:
    """The toe's cup folds round the tip, so that half of it lies on the instep's side whichever
    half knitted it; loops of the toe outside its rows lie there whole."""
    toe = wales.count(instep, Section.TOE) - wales.count(instep, Section.TOE, rows=True)
    return wales.count(instep, Section.FOOT) + toe + _toe_share(wales, heel_half, instep)


def _leg(wales: _Wales, heel_half: int, instep: int) -> dict[str, float]:
    """Courses of the leg by fabric, from the floor to the top."""
    leg = wales.on(heel_half, Section.LEG)
    parts = (
        (PLAIN, _heel_courses(wales, heel_half, instep) / 2),
        (PLAIN, float(wales.height[leg & ~wales.ribbed].sum())),
        (wales.fabrics.leg, float(wales.height[leg & wales.ribbed].sum())),
        (wales.fabrics.cuff, _visible_cuff(wales, heel_half)),
    )
    found: dict[str, float] = {}
    for kind, courses in parts:
        found[kind] = found.get(kind, 0.0) + courses
    return found


def _visible_cuff(wales: _Wales, needle: int) -> float:
    """Cuff courses that show: a hung hem lies double, a bound edge curls."""
    table = wales.table
    mine = wales.on(needle, Section.CUFF)
    courses = int(mine.sum())
    height = float(wales.height[mine].mean()) if courses else 0.0
    cuff = np.flatnonzero(wales.counts & (wales.section == wales.names[Section.CUFF]))
    if not len(cuff):
        return 0.0
    edge = cuff[table.course[cuff] == table.course[cuff[0]]]
    if np.isin(edge, table.more_parents[:, 1]).any():
        return (courses - 1) / 2 * height
    if np.isin(edge, table.closed).any():
        return courses * ROLLED_SHARE * height
    return (courses - _edge_courses(wales)) * height


def _edge_courses(wales: _Wales) -> int:
    """Courses of a ribbed first edge that roll into a cord and add no length: the first and the
    rounds of the cylinder alone."""
    table = wales.table
    edge = 0
    for run in table.runs:
        if run.section != Section.CUFF.value or table.removable[run.yarn]:
            continue
        both = any(slot >= table.needles for slot in run.slots)
        if both and edge:
            break
        edge += run.rounds
    return edge if table.dial else 0


def _foot_width(wales: _Wales) -> int:
    """Wales of the widest whole round of the foot on the cylinder alone: a ribbed instep is as
    wide as the plain rounds it ends in."""
    table = wales.table
    widths = [
        len(run.slots)
        for run in table.runs
        if run.section == Section.FOOT.value
        and run.shape == "round"
        and max(run.slots) < table.needles
    ]
    return max(widths, default=table.needles)
