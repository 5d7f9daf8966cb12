"""What a program's reader is told before the first step: how the sheet speaks, and cautions."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.machine.model import Machine, Turning
from sockwright.machine.places import fixed_carrier, gap_hour
from sockwright.needlebed.execute import Execution
from sockwright.wording.cups import find_cups
from sockwright.wording.nouns import Talk
from sockwright.wording.phrases import load_phrases


def cautions(
    program: op.Program | None = None, machine: Machine | None = None, language: str = "en"
) -> tuple[str, ...]:
    """Cautions, the maker's own instructions first; those that cannot apply to `program` and
    `machine` are left out where these are given.

    Raises UnknownTongue for a language without a catalogue.
    """
    phrases = load_phrases(language)
    unneeded = set()
    if machine is not None and machine.turns is Turning.CARRIER:
        unneeded.add("caution.swivel")
    if program is not None and not program.dial:
        unneeded.add("caution.ribber")
    return tuple(phrases.say(key) for key in phrases.under("caution") if key not in unneeded)


def conventions(run: Execution, machine: Machine, language: str = "en") -> tuple[str, ...]:
    """How the instructions speak: forward, hours, needle numbers, marks, rounds and rows.

    Raises UnknownTongue for a language without a catalogue.
    """
    talk = Talk(load_phrases(language), machine, run.program.needles, "cm", {})
    say, carrier = talk.say, machine.turns is Turning.CARRIER
    forward = f"convention.forward_{machine.turns.value}_{machine.forward.value}"
    lines = [say(forward)]
    if carrier or machine.landmarks:
        lines.append(say("convention.clock"))
    lines += [
        say("convention.numbers", needles=run.program.needles),
        _home(talk, carrier=carrier),
        _halfway(talk),
        *_limits(talk, run),
    ]
    past = "past" if carrier else "past_cylinder"
    return (*lines, *(say(f"convention.{key}") for key in ("round", past, "raise")))


def _home(talk: Talk, *, carrier: bool) -> str:
    ends = {"last": talk.needles_plain((talk.count,)), "first": talk.needles_plain((1,))}
    name = talk.mark("home")
    if not carrier:
        fixed = fixed_carrier(talk.machine)
        if fixed is None:
            return talk.say("convention.home", name=name, **ends)
        hour = talk.hour(fixed.hour)
        return talk.say("convention.home_at", name=name, hour=hour, **ends)
    hour = talk.hour(gap_hour(talk.machine, talk.count, 0))
    return talk.say("convention.home_at", name=name, hour=hour, **ends)


def _halfway(talk: Talk) -> str:
    half = talk.half
    return talk.say(
        "convention.halfway",
        name=talk.mark("halfway"),
        last=talk.needles_plain((half,)),
        first=talk.needles_plain((half + 1,)),
        heel=talk.run(1, half),
        instep=talk.run(half + 1, talk.count),
    )


def _limits(talk: Talk, run: Execution) -> list[str]:
    """Each pair of turn limits that a cup of the program uses, once."""
    cups = {cup.role: cup for cup in find_cups(run) if cup.role is not None}
    return [
        talk.say(
            "convention.limits_deep" if role == "deep limits" else "convention.limits",
            name=talk.mark(role),
            limits=talk.needles_plain(cup.limits),
            count=cup.high - cup.low + 1,
            kept=talk.run(cup.low, cup.high),
        )
        for role, cup in cups.items()
    ]
