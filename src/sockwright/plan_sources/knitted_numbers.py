"""Where the numbers of the knitted sock come from: counted loop by loop on the dry run."""

from __future__ import annotations

from collections.abc import Iterator

from sockwright.estimates import Estimate
from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.heel_terms import heel_input
from sockwright.plan_sources.inputs import exactly, reckoned, share
from sockwright.plan_sources.sizing_words import LABELS, course_input
from sockwright.sock.sizing import gather_loss
from sockwright.words import said

COUNTED = said("counted loop by loop on the dry run")


def knitted_numbers(plan: Plan) -> Iterator[Explained]:
    """Courses, rows, lengths and loops of the knitted sock."""
    yield from _courses(plan)
    yield from _lengths(plan)
    yield from _counts(plan)


def _courses(plan: Plan) -> Iterator[Explained]:
    fabric = plan.fabric
    counted = {
        "sole_courses": (
            said("courses of the sole"),
            fabric.sole_courses,
            said("along the middle wale of the heel half, from the heel's fold to the toe's tip"),
        ),
        "instep_courses": (
            said("courses of the instep"),
            fabric.instep_courses,
            said("along the middle wale of the instep, from the heel to the toe's tip"),
        ),
        "leg_courses": (
            said("courses of the leg"),
            fabric.leg_courses,
            said(
                "along the middle wale of the heel half, from the floor to the top; a folded hem "
                "once, a looser loop as a higher course"
            ),
        ),
    }
    for name, (label, courses, formula) in counted.items():
        value = exactly(courses, "course")
        yield Explained(f"fabric.{name}", label, value, formula, (), COUNTED, "derived")


def _lengths(plan: Plan) -> Iterator[Explained]:
    fabric, gauge = plan.fabric, plan.gauge
    foot, leg, girth = fabric.foot_length, fabric.leg_length, fabric.girth
    through_course = fabric.sole_courses * gauge.course.sd
    of_sole, of_leg = said("courses of the sole × course"), said("courses of the leg × course")
    if not plan.sizing.heel.cups:
        of_sole = said("courses of the sole × course + the turn")
        of_leg = said("courses of the leg × course + the turn")
        yield _tube(plan)
    yield Explained(
        "fabric.foot_length",
        said("foot length of the sock"),
        foot,
        of_sole,
        (
            _counted("sole_courses", said("courses of the sole"), fabric.sole_courses),
            course_input(plan, share(through_course, foot)),
            *_gathered(plan, foot),
            *_turn(plan, foot),
        ),
        COUNTED,
        "derived",
    )
    yield Explained(
        "fabric.leg_length",
        said("height of the sock from the floor"),
        leg,
        of_leg,
        (
            _counted("leg_courses", said("courses of the leg"), fabric.leg_courses),
            course_input(plan, share(fabric.leg_courses * gauge.course.sd, leg)),
            *_turn(plan, leg),
        ),
        COUNTED,
        "derived",
    )
    wale = reckoned("gauge.wale", said("width of a wale"), gauge.wale, 1.0 if girth.sd else 0.0)
    formula = said("wales of the widest plain round of the foot × wale")
    label = said("girth of the knitted sock")
    yield Explained("fabric.girth", label, girth, formula, (wale,), COUNTED, "derived")


def _counted(name: str, label: str, courses: float) -> Input:
    return reckoned(f"fabric.{name}", label, exactly(courses, "course"))


def _turn(plan: Plan, length: Estimate) -> tuple[Input, ...]:
    """What the turn of a sock without a heel is worth in a length."""
    if plan.sizing.heel.cups:
        return ()
    return (heel_input(plan, share(plan.sizing.heel.corner.sd, length)),)


def _tube(plan: Plan) -> Explained:
    """The tube from top to toe."""
    fabric, course = plan.fabric, plan.gauge.course
    tube = fabric.tube_length
    courses = fabric.sole_courses + fabric.leg_courses
    return Explained(
        "fabric.tube_length",
        said("length of the tube from top to toe"),
        tube,
        said("(courses of the sole + courses of the leg) × course"),
        (
            _counted("sole_courses", said("courses of the sole"), fabric.sole_courses),
            _counted("leg_courses", said("courses of the leg"), fabric.leg_courses),
            course_input(plan, share(courses * course.sd, tube)),
            *_gathered(plan, tube),
        ),
        COUNTED,
        "derived",
    )


def _gathered(plan: Plan, foot: Estimate) -> tuple[Input, ...]:
    """What a gathered end takes, taken off the courses already."""
    if plan.sizing.toe.cup is not None:
        return ()
    lost = gather_loss(plan.sizing.needles, plan.gauge)
    part = share(lost.sd * plan.gauge.course.value, foot)
    return (reckoned("sizing.gather_loss", LABELS["gather_loss"], lost, part),)


def _counts(plan: Plan) -> Iterator[Explained]:
    loops = plan.dry_run.loops
    stay = int((loops.stays & loops.is_loop).sum())
    counted = {
        "fabric.short_rows": (said("rows to and fro"), plan.fabric.short_rows),
        "dry_run.short_rows": (said("rows to and fro"), plan.fabric.short_rows),
        "dry_run.loops": (said("loops in the sock"), stay),
        "dry_run.courses": (said("courses knitted, waste and cord with them"), loops.courses),
        "dry_run.grafted_pairs": (said("pairs of loops grafted"), len(loops.grafts)),
    }
    formula = said("counted")
    for key, (label, count) in counted.items():
        yield Explained(key, label, count, formula, (), COUNTED, "derived")
