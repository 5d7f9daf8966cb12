"""What a maker should know of a plan beside its numbers, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sockwright.errors import Offer
from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.facts.feet import foot_measures
from sockwright.i18n import N_, Message, _, ngettext, numeral, sentence
from sockwright.measure.fabrics import rib_name
from sockwright.measure.swatches import settings_seen
from sockwright.needlebed.findings import Code, Finding
from sockwright.once import once
from sockwright.order.model import Remainder, RibEnd, ToeHalf
from sockwright.plan.make import SockPlan
from sockwright.plan.short_yarn import Reach, odds_words, short_words, supplies, yarn_at
from sockwright.plan.wishes import wish_notes
from sockwright.quantities import format_length, format_mass, format_mass_at_least, format_pm
from sockwright.sock.passing import passing_words
from sockwright.sock.rib import can_make, plain_edges
from sockwright.sock.top import Cures, stays_words, top_offers
from sockwright.steps import SetCam
from sockwright.wording.write import Instruction

AGREEMENT_COURSES = 0.5
"""Formula and fabric may differ by half a course in the foot's length."""


def fabric_agrees(plan: SockPlan) -> bool:
    """Whether the foot length of the formula and that of the fabric agree within half a course."""
    apart = abs(plan.sizing.foot_length.value - plan.fabric.foot_length.value)
    return apart <= AGREEMENT_COURSES * plan.gauge.course.value


def plan_notes(plan: SockPlan, *, cures: bool = True) -> tuple[str, ...]:
    """Everything to know of one sock beside its doubts, each thing said once; without the `cures`
    of its top for those who show them otherwise."""
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
        *_learned(plan),
        *wish_notes(plan.wishes, plan.sizing.heel_needles, plan.gauge, plan.sizing.length_wish_mm),
        *plan.fit.reasons,
        *plan.leg_shape.notes,
        *_cam(plan),
        *_rib(plan),
        *_tube(plan),
        *_lopsided(plan),
        *_heel(plan),
        *_ankle(plan),
        *_top(plan, cures_of_top(plan) if cures else ()),
        *_yarn(plan),
        *_idle_yarn(plan),
        *plan.sizing.notes,
    ]
    doubts = look_again(plan)
    told = dict.fromkeys(sentence(note) for note in notes)
    return tuple(note for note in told if note not in doubts)


def look_again(plan: SockPlan) -> tuple[str, ...]:
    """What is to be read before anything else: yarn that is short, and what makes the whole plan
    doubtful."""
    return (*(sentence(words) for words in short_words(plan)), *doubts_of(plan))


def doubts_of(plan: SockPlan) -> tuple[str, ...]:
    """What makes the whole plan doubtful."""
    top = _top_doubts(plan)
    odd = plan.foot.unusual.values()
    doubts = (*plan.gauge.conflicts, *odd, *plan.fit.doubts, *top, *_unmeasured(plan))
    return tuple(sentence(doubt) for doubt in doubts)


CURING_RIBS = ((1, 1), (2, 2), (3, 1))
"""Ribs that hold a top up, the usual one first."""


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
    role = yarn_at(plan, finding.step)
    have = plan.yarns[role].on_hand_g or 0.0
    grams = plan.pair_use[role].mass.value - have
    if plan.use[role].mass.value <= have:
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
    yield from _beyond_swatches(plan)


def _beyond_swatches(plan: SockPlan) -> Iterator[Message]:
    """A caution where a setting lies outside those that swatches were knitted at."""
    seen = settings_seen(plan.order.swatches, plan.sizing.needles)
    told = {step.setting for step in plan.program.steps if isinstance(step, SetCam)}
    beyond = sorted(one for one in told if one is not None and seen and _outside(one, seen))
    if beyond:
        yield _(
            "no swatch was knitted at a setting of {settings}, only from {least} to {most}: try it "
            "on a test tube first",
            settings=tuple(numeral(f"{one:g}") for one in beyond),
            least=numeral(f"{min(seen):g}"),
            most=numeral(f"{max(seen):g}"),
        )


def _outside(setting: float, seen: Sequence[float]) -> bool:
    return not min(seen) <= setting <= max(seen)


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


def _learned(plan: SockPlan) -> Iterator[Message]:
    """What finished socks taught, and what that does to the rounds of the foot."""
    learned = plan.gauge.learned
    if learned is None:
        return
    percent, sd = 100 * (learned.course.value - 1), 100 * learned.course.sd
    long = _("your socks come out {n:.1f} ± {sd:.1f} % longer than your swatches", n=percent, sd=sd)
    if percent < 0:
        long = _(
            "your socks come out {n:.1f} ± {sd:.1f} % shorter than your swatches",
            n=-percent,
            sd=sd,
        )
    per_round = plan.sizing.total_courses
    fewer = round(per_round * (learned.course.value - 1))
    if fewer == 0:
        yield _("{long}: no round more or fewer in the foot for that", long=long)
    elif fewer > 0:
        yield ngettext(
            "{long}: {n} round fewer in the foot",
            "{long}: {n} rounds fewer in the foot",
            fewer,
            long=long,
        )
    else:
        yield ngettext(
            "{long}: {n} round more in the foot",
            "{long}: {n} rounds more in the foot",
            -fewer,
            long=long,
        )


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


def _top_doubts(plan: SockPlan) -> Iterator[Message]:
    """What is to be thought of twice at the top: whether it goes on, stays up, or presses."""
    top = plan.top
    if top.hardest.doubtful and top.calf is None:
        yield passing_words(_("the top"), top.hardest)
    elif top.hardest.doubtful and top.hardest is top.looser:
        yield passing_words(_("over the calf, if it is knitted looser there"), top.hardest)
    elif top.hardest.doubtful:
        yield passing_words(_("over the calf"), top.hardest)
    if top.slips:
        yield _("the top may slip: {words}", words=_held(plan))
    if top.presses:
        yield _(
            "the top presses: it would be worn {worn:.2f} times its width all day",
            worn=top.worn.value,
        )


@once
def cures_of_top(plan: SockPlan) -> tuple[Offer, ...]:
    """What would do instead of the top, where it is doubted or not sure to stay up."""
    if not any(_top_doubts(plan)) and not plan.top.may_slip and not plan.wishes.slipped:
        return ()
    needles, machine = plan.sizing.needles, plan.order.machine
    cylinder = next(one for one in machine.cylinders if one.needles == needles)
    ribs = tuple(
        rib_name(*rib)
        for rib in CURING_RIBS
        if can_make(rib, cylinder, RibEnd.CUFF, Remainder.REFUSE)
    )
    others = {
        fit.cylinder.needles: fit.gauge
        for fit in plan.ranking
        if fit.fits and not fit.doubts and fit.cylinder.needles != needles
    }
    cures = Cures(ribs, plan.sizing.cuff.visible, others)
    return top_offers(plan.top, plan.foot, plan.gauge, needles, cures)


def _rib(plan: SockPlan) -> Iterator[Message]:
    """Where a rib stands on the instep, and what is knitted plain beside it."""
    rib, needles = plan.sizing.cuff.rib, plan.sizing.needles
    if rib is None or not rib.instep:
        return
    before, after = plain_edges(rib, needles)
    first, last = needles // 2 + 1 + before, needles - after
    if before == after:
        yield _(
            "the rib stands on needles {first} to {last} of the instep; needles knitted plain at "
            "each edge: {edge}",
            first=first,
            last=last,
            edge=before,
        )
        return
    yield _(
        "the rib stands on needles {first} to {last} of the instep, {off} needles off its middle; "
        "needles knitted plain: {before} before it, {after} after it",
        first=first,
        last=last,
        off=numeral(f"{abs(before - after) / 2:g}"),
        before=before,
        after=after,
    )


def _held(plan: SockPlan) -> Message:
    """How sure it is that the top stays up, and of what girths."""
    top, units = plan.top, plan.units
    return _(
        "{girth} round on a leg of {leg} there; {stays}",
        girth=format_pm(top.girth, units),
        leg=format_pm(top.leg, units),
        stays=stays_words(top),
    )


def _top(plan: SockPlan, cures: Sequence[Offer]) -> Iterator[Message]:
    """How the top suits the leg, where that is worth a word, and what would do instead."""
    top = plan.top
    if plan.fit.heel.word < top.hardest.word and not top.hardest.doubtful:
        yield passing_words(_("the top"), top.hardest)
    if top.may_slip and not top.slips:
        yield _("the top may slip a little: {words}", words=_held(plan))
    for offer in cures:
        yield _("instead, {change}: {effect}", change=offer.change, effect=offer.effect)
    if top.press > 1 and not top.presses:
        yield _("the top sits firmly: worn {worn:.2f} times its width", worn=top.worn.value)


def _yarn(plan: SockPlan) -> Iterator[str]:
    """Yarn that reaches; that which does not is told before everything else."""
    for supply in supplies(plan):
        use_and_stock = _(
            "{role} yarn: the pair takes {need}, {have:.0f} g are on hand",
            role=_(supply.role),
            need=format_mass(supply.need),
            have=supply.have,
        )
        first = plan.use[supply.role].mass
        if supply.reach is Reach.TIGHT:
            yield _(
                "{stock}: tight, {odds}; weigh after the first sock, {rest:.0f} g must be "
                "left for the second",
                stock=use_and_stock,
                odds=odds_words(supply),
                rest=supply.have - first.value,
            )
        elif supply.reach is Reach.ENOUGH:
            yield _(
                "{stock}: enough; wind off {mass} for the second sock",
                stock=use_and_stock,
                mass=to_wind(first),
            )


def to_wind(use: Estimate) -> Message:
    """What to wind off for one sock: its use and two sds more, rounded upward."""
    return format_mass_at_least(use.value + 2 * use.sd)
