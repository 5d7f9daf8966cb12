"""Where the minutes come from: so much work of every kind, each at its pace."""

from __future__ import annotations

from collections.abc import Mapping

from sockwright.facts import fact
from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.inputs import of_fact, share
from sockwright.program.minutes import duration, work_of
from sockwright.words import numeral, phrase, said

WORK: Mapping[str, str] = {
    "plain_rounds_per_minute": phrase("{amount} plain rounds, so many a minute"),
    "rib_rounds_per_minute": phrase("{amount} rounds of rib, so many a minute"),
    "seconds_per_row": phrase("{amount} rows, each so many seconds"),
    "seconds_per_loop_moved": phrase("{amount} loops moved by hand, each so many seconds"),
    "seconds_per_change": phrase("{amount} changes and checks, each so many seconds"),
    "seconds_per_graft": phrase("{amount} stitches grafted, each so many seconds"),
}


def time_number(plan: Plan) -> Explained:
    """The minutes for one sock."""
    spent = plan.minutes
    work = work_of(plan.program)
    inputs = [_input(plan, pace, amount) for pace, amount in work.items()]
    finishing = fact("pace", "finishing_minutes")
    part = share(finishing.sd or 0.0, spent)
    label = said("ends darned, laid out to dry")
    inputs.append(of_fact("pace.finishing", label, finishing.estimate, part, finishing))
    return Explained(
        "minutes",
        said("minutes for one sock"),
        spent,
        said("every kind of work × its pace, and the finishing"),
        tuple(sorted(inputs, key=lambda each: -each.share)),
        said("paces of a practised maker; each kind of work errs as a whole"),
        "from memory",
    )


def _input(plan: Plan, pace: str, amount: float) -> Input:
    known = fact("pace", pace)
    label = said(WORK[pace], amount=numeral(f"{amount:g}"))
    part = share(duration(known, amount).sd, plan.minutes)
    return of_fact(f"pace.{pace}", label, known.estimate, part, known)
