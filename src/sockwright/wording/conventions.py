"""What a program's reader is told before the first step: how the sheet speaks, and cautions."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.i18n import N_, locale_of
from sockwright.machine import Direction, Machine, Turning, fixed_carrier, gap_hour
from sockwright.needlebed.execute import Execution
from sockwright.wording.instructions import find_cups
from sockwright.wording.nouns import Terms

SWIVEL = N_(
    "Where the cylinder goes round, the work goes with it: hang the main weight so that it can go "
    "round too, or the tube twists."
)
RIBBER = N_("The ribber runs forward only: disconnect it before any row in reverse.")
CAUTIONS = (
    N_(
        "The instructions of your machine's maker come first; where they differ from this sheet, "
        "follow them."
    ),
    N_(
        "Hooks and latches pierce skin, and picks are sharp: lay a pick where you can see it, "
        "point away from you."
    ),
    N_(
        "Keep fingers, sleeves, hair and scarves clear of open gears, of the cams and of the "
        "carrier; stop cranking before you reach in. Children watch from a distance."
    ),
    N_("See that the clamps hold before you crank; a machine on a table's edge can tip."),
    N_(
        "Weights fall: wear closed shoes, lay a mat under the machine, and keep feet, children and "
        "animals from under it."
    ),
    N_("Never force the crank. If it goes hard, stop and find the cause."),
    N_(
        "Cranking repeats one movement: pause every 20 to 30 minutes, change hands, and sit so "
        "that the handle is at the height of your elbow."
    ),
    SWIVEL,
    RIBBER,
    N_(
        "A tight cuff can harm swollen or numb feet, and legs with poor circulation or diabetes: "
        "ask a clinician before you make one."
    ),
)
FORWARD = {
    (Turning.CARRIER, Direction.ANTICLOCKWISE): N_(
        "Forward: the carrier runs anticlockwise, seen from above."
    ),
    (Turning.CARRIER, Direction.CLOCKWISE): N_(
        "Forward: the carrier runs clockwise, seen from above."
    ),
    (Turning.CYLINDER, Direction.ANTICLOCKWISE): N_(
        "Forward: the needles pass the carrier in the order 1, 2, 3; the cylinder runs clockwise, "
        "seen from above."
    ),
    (Turning.CYLINDER, Direction.CLOCKWISE): N_(
        "Forward: the needles pass the carrier in the order 1, 2, 3; the cylinder runs "
        "anticlockwise, seen from above."
    ),
}
"""Which way is forward, by what turns and by the way the carrier goes round the needles."""
ROUND = N_(
    "A round goes once round all needles in work, forward. A row goes once across the working "
    "needles, one way."
)
PAST = N_(
    "Past a needle: so far beyond it that the cams have let go of it and of the next one or two."
)
PAST_CYLINDER = N_(
    "Past a needle: it has gone by the carrier, so far that the cams have let go of it and of the "
    "next one or two."
)
RAISE = N_(
    "Raised: the needle keeps its loop and does not knit. Lowered: it knits again, its latch open. "
    "Rows: on the carrier's side, unless it says at the far end."
)


def cautions(
    program: op.Program | None = None, machine: Machine | None = None, language: str = "en"
) -> tuple[str, ...]:
    """Cautions, the maker's own instructions first; those that cannot apply to `program` and
    `machine` are left out where these are given.

    Raises UnknownLanguage for a language without a catalogue.
    """
    unneeded = set()
    if machine is not None and machine.turns is Turning.CARRIER:
        unneeded.add(SWIVEL)
    if program is not None and not program.dial:
        unneeded.add(RIBBER)
    return tuple(locale_of(language).render(text) for text in CAUTIONS if text not in unneeded)


def conventions(run: Execution, machine: Machine, language: str = "en") -> tuple[str, ...]:
    """How the instructions speak: forward, hours, needle numbers, marks, rounds and rows.

    Raises UnknownLanguage for a language without a catalogue.
    """
    terms = Terms(locale_of(language), machine, run.program.needles, "cm", {})
    render, carrier = terms.render, machine.turns is Turning.CARRIER
    lines = [render(FORWARD[machine.turns, machine.forward])]
    if carrier or machine.landmarks:
        lines.append(
            render("Places are hours on a clock face seen from above; six o'clock is nearest you.")
        )
    lines += [
        render(
            "Needles are numbered 1 to {needles} in the order in which a forward round knits them.",
            needles=run.program.needles,
        ),
        _home(terms, carrier=carrier),
        _halfway(terms),
        *_limits(terms, run),
    ]
    past = PAST if carrier else PAST_CYLINDER
    return (*lines, *(render(text) for text in (ROUND, past, RAISE)))


def _home(terms: Terms, *, carrier: bool) -> str:
    ends = {"last": terms.needles_plain((terms.count,)), "first": terms.needles_plain((1,))}
    name = terms.mark("home")
    if not carrier:
        fixed = fixed_carrier(terms.machine)
        if fixed is None:
            return terms.render(
                "At home: the carrier is past {last}, by the {name} between it and {first}.",
                name=name,
                **ends,
            )
        hour = terms.hour(fixed.hour)
        return terms.render(
            "At home: the carrier is past {last}, by the {name} between it and {first}, at {hour}.",
            name=name,
            hour=hour,
            **ends,
        )
    hour = terms.hour(gap_hour(terms.machine, terms.count, 0))
    return terms.render(
        "At home: the carrier is past {last}, by the {name} between it and {first}, at {hour}.",
        name=name,
        hour=hour,
        **ends,
    )


def _halfway(terms: Terms) -> str:
    half = terms.half
    return terms.render(
        "The {name} is between {last} and {first}. Heel half: {heel}. Instep half: {instep}.",
        name=terms.mark("halfway"),
        last=terms.needles_plain((half,)),
        first=terms.needles_plain((half + 1,)),
        heel=terms.run(1, half),
        instep=terms.run(half + 1, terms.count),
    )


def _limits(terms: Terms, run: Execution) -> list[str]:
    """Each pair of turn limits that a cup of the program uses, once."""
    cups = {cup.role: cup for cup in find_cups(run) if cup.role is not None}
    return [
        terms.render(
            "The {name} are {limits}; the {count} needles between them ({kept}) stay in work "
            "through the narrowing of the first, shallow cup."
            if role == "deep limits"
            else (
                "The {name} are {limits}; the {count} needles between them ({kept}) stay in work "
                "all through the narrowing."
            ),
            name=terms.mark(role),
            limits=terms.needles_plain(cup.limits),
            count=cup.high - cup.low + 1,
            kept=terms.run(cup.low, cup.high),
        )
        for role, cup in cups.items()
    ]
