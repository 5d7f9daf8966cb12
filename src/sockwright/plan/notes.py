"""What a maker should know of a plan beside its numbers, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.facts.feet import foot_measures
from sockwright.i18n import N_, Message, _, sentence
from sockwright.needlebed.findings import Code, Finding
from sockwright.order.model import ToeHalf
from sockwright.plan.make import SockPlan
from sockwright.program.draft import CORD, WASTE
from sockwright.quantities import format_length, format_mass, format_mass_at_least, format_pm
from sockwright.sock.fit import Passing, heel_doubt, passing_words
from sockwright.sock.leg import leg_opening
from sockwright.steps import SetCam, Thread
from sockwright.wording.write import Instruction

AGREEMENT_COURSES = 0.5
"""Formula and fabric may differ by half a course in the foot's length."""


def fabric_agrees(plan: SockPlan) -> bool:
    """Whether the foot length of the formula and that of the fabric agree within half a course."""
    apart = abs(plan.sizing.foot_length.value - plan.fabric.foot_length.value)
    return apart <= AGREEMENT_COURSES * plan.gauge.course.value


def plan_notes(plan: SockPlan) -> tuple[str, ...]:
    """Everything to know of one sock beside its doubts, each thing said once."""
    notes = [
        *_agreement(plan),
        *((plan.feet.note,) if plan.feet.note else ()),
        *plan.foot.notes,
        *(
            _("{what}: {note}", what=_plain(name), note=measure.note)
            for name, measure in plan.foot.measures().items()
            if measure.note and measure.source == "measured"
        ),
        *_estimated(plan),
        *plan.gauge.notes,
        *plan.fit.reasons,
        *plan.leg_shape.notes,
        *_cam(plan),
        *_tube(plan),
        *_lopsided(plan),
        *_heel(plan),
        *_ankle(plan),
        *_top(plan),
        *_yarn(plan),
        *_idle_yarn(plan),
        *plan.sizing.notes,
    ]
    doubts = look_again(plan)
    told = dict.fromkeys(sentence(note) for note in notes)
    return tuple(note for note in told if note not in doubts)


def look_again(plan: SockPlan) -> tuple[str, ...]:
    """What makes the whole plan doubtful: to be read before anything else."""
    top = _top(plan) if top_passing(plan).likely_tight else ()
    doubts = (*plan.gauge.conflicts, *heel_doubt(plan.fit), *top, *_unmeasured(plan))
    return tuple(sentence(doubt) for doubt in doubts)


def _unmeasured(plan: SockPlan) -> Iterator[str]:
    """A word where nothing of the fabric was measured."""
    if not plan.gauge.readings_used:
        yield _(
            "no swatch gives this gauge, so every length is rough: the foot comes to {length}; "
            "knit a swatch, measure it and plan again",
            length=format_pm(plan.fabric.foot_length, plan.units),
        )


def finding_words(plan: SockPlan, finding: Finding, steps: Sequence[Instruction]) -> Message:
    """A finding as the maker reads it: by the number of the printed step, and in which sock."""
    number = next((each.number for each in steps if finding.step in each.steps), finding.step)
    step = _("step {number}", number=number)
    if finding.code is Code.YARN_GONE:
        step = _short_sock(plan, finding, step)
    return _("{wrong}; {mend}", wrong=finding.told(step), mend=finding.mend)


def _short_sock(plan: SockPlan, finding: Finding, step: str) -> Message:
    """Which sock runs out, and by how much: the first only where one alone takes more of the yarn
    in the carrier than there is."""
    threaded = [one.yarn for one in plan.program.steps[: finding.step] if isinstance(one, Thread)]
    have = plan.yarns[threaded[-1]].on_hand_g or 0.0
    grams = plan.pair_use[threaded[-1]].mass.value - have
    if plan.use[threaded[-1]].mass.value <= have:
        where = N_("in the second sock knitted, {grams:.0f} g short for the pair, {step}")
    else:
        where = N_("in the first sock knitted, {grams:.0f} g short for the pair, {step}")
    return _(where, grams=grams, step=step)


def _plain(name: str) -> Message:
    """The name of a measure where it is clear that a foot's are meant."""
    return _(foot_measures()[name].short)


def _agreement(plan: SockPlan) -> Iterator[str]:
    if not fabric_agrees(plan):
        units = plan.units
        yield _(
            "the formula gives a foot of {reckoned}, the loops "
            "give {counted}: do not knit this plan",
            reckoned=format_pm(plan.sizing.foot_length, units),
            counted=format_pm(plan.fabric.foot_length, units),
        )


def _estimated(plan: SockPlan) -> Iterator[str]:
    """Where the estimated measures come from, each origin once."""
    origins: dict[str, list[str]] = {}
    for name, measure in plan.foot.measures().items():
        if measure.note and measure.source == "estimated":
            origins.setdefault(measure.note, []).append(_plain(name))
    for note, names in origins.items():
        yield _("{what}: {note}", what=names, note=note)


def _cam(plan: SockPlan) -> Iterator[str]:
    """Stitch-cam settings that must be found before the sock is begun."""
    factors = {
        step.factor
        for step in plan.program.steps
        if isinstance(step, SetCam) and step.setting is None and step.factor != 1.0
    }
    if factors:
        wanted = tuple(f"{100 * (factor - 1):+.0f} %" for factor in sorted(factors, reverse=True))
        yield _(
            "before you begin, find on a test tube the stitch-cam settings for loops longer than "
            "the swatch's by {wanted}, and write them down",
            wanted=wanted,
        )


def _tube(plan: SockPlan) -> Iterator[str]:
    """How the lengths of a sock without a heel are meant."""
    corner, units = plan.sizing.heel.corner, plan.units
    if corner.value:
        yield _(
            "no heel: leg and foot are one tube, {tube} long from top to toe, which turns when it "
            "is worn. Foot and height are what it covers then; the turn counts {corner} in each, "
            "for which no round is knitted",
            tube=format_pm(plan.fabric.tube_length, units),
            corner=format_pm(corner, units),
        )


def _lopsided(plan: SockPlan) -> Iterator[str]:
    """Cups whose two ends come out unlike."""
    heel, toe, half = plan.sizing.heel, plan.sizing.toe, plan.sizing.heel_needles
    of_toe = 0 if toe.cup is None else toe.cup.lopsided
    first = 1 if toe.half is ToeHalf.HEEL else half + 1
    for part, courses, needle in ((_("heel"), heel.lopsided, 1), (_("toe"), of_toe, first)):
        if courses:
            yield _(
                "{part}: a little lopsided, as every cup widened at the far end: needle {first} "
                "knits {courses} courses ({length}) more than needle {last}; lowered at the "
                "carrier both come out alike",
                part=part,
                first=needle,
                courses=courses,
                length=format_length(courses * plan.gauge.course.value, plan.units),
                last=needle + half - 1,
            )


def _idle_yarn(plan: SockPlan) -> Iterator[str]:
    """Yarns of a part that this sock has not, or that is not knitted for itself."""
    for yarn in plan.order.yarns:
        if yarn.role in ("cuff", "heel", "toe") and yarn.role not in plan.use:
            yield _("{role} yarn: nothing of this sock is knitted in it", role=_(yarn.role))


def _heel(plan: SockPlan) -> Iterator[str]:
    """The wearer's heel-and-instep girth against that of the finished heel."""
    girth = plan.sizing.heel.girth_mm(plan.gauge.wale.value, plan.gauge.course.value)
    heel = plan.foot.heel_girth.estimate
    stretch = heel.value / girth
    units = plan.units
    if stretch > fact("fit", "cup_stretch_most").number:
        yield _(
            plan.sizing.heel.tight_words,
            girth=format_length(girth, units),
            heel=format_pm(heel, units),
            stretch=100 * (stretch - 1),
        )


def _ankle(plan: SockPlan) -> Iterator[str]:
    ankle, tube = plan.foot.ankle_girth.estimate, plan.fit.girth
    if tube.value > ankle.value:
        units = plan.units
        yield _(
            "the tube ({tube}) is wider than the ankle "
            "({ankle}): it will hang loose there unless a rib draws it in",
            tube=format_pm(tube, units),
            ankle=format_pm(ankle, units),
        )


def top_passing(plan: SockPlan) -> Passing:
    """How the top of the sock goes round the leg."""
    height = plan.fabric.leg_length.value
    top_factor = plan.sizing.top_factor
    plain = leg_opening(plan.foot, plan.gauge, plan.sizing.needles, height)
    needed = Estimate(plain.value / top_factor, plain.sd / top_factor, "1")
    return Passing(needed, plan.gauge.open_ratio)


def _top(plan: SockPlan) -> Iterator[str]:
    """Whether the top of the sock goes round the leg, and stays there."""
    top = top_passing(plan)
    if top.likely_tight:
        yield _(
            "{opening}: shape the leg, or make it shorter",
            opening=passing_words(_("the top may not go round the leg"), top),
        )
    elif top.just:
        yield passing_words(_("the top just goes round the leg"), top)
    elif top.needed.value < 1:
        yield _(
            "at its top the sock is {opening:.0f} % wider than the leg: only a "
            "cuff that draws in will hold it",
            opening=100 * (1 / top.needed.value - 1),
        )


def _yarn(plan: SockPlan) -> Iterator[str]:
    for name, use in plan.pair_use.items():
        have = plan.yarns[name].on_hand_g
        if have is None or name in (WASTE, CORD):
            continue
        need = use.mass
        use_and_stock = _(
            "{role} yarn: the pair takes {need}, {have:.0f} g are on hand",
            role=_(name),
            need=format_mass(need),
            have=have,
        )
        first = plan.use[name].mass
        if need.value > have:
            yield _("{stock}: not enough", stock=use_and_stock)
        elif need.value + 2 * need.sd > have:
            yield _(
                "{stock}: tight; weigh after the first sock, {rest:.0f} g must be "
                "left for the second",
                stock=use_and_stock,
                rest=have - first.value,
            )
        else:
            yield _(
                "{stock}: enough; wind off {mass} for the second sock",
                stock=use_and_stock,
                mass=to_wind(first),
            )


def to_wind(use: Estimate) -> Message:
    """What to wind off for one sock: its use and two sds more, rounded upward."""
    return format_mass_at_least(use.value + 2 * use.sd)
