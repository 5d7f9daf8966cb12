"""What the measures of one foot say against each other: a wrong unit shows in the proportions."""

from __future__ import annotations

from collections.abc import Iterator

from sockwright.errors import Problem
from sockwright.facts import fact
from sockwright.order.limits import Limits, limits
from sockwright.order.reader import Fields
from sockwright.order.values import likely_length
from sockwright.order.wearer import FeetGiven, OneFoot, may_be_child
from sockwright.quantities import format_length
from sockwright.words import phrase, said

PROPORTIONED = (
    "ball_girth",
    "instep_girth",
    "heel_girth",
    "ankle_girth",
    "calf_girth",
    "foot_breadth",
    "heel_breadth",
    "ankle_bone_height",
)
"""The measures held against the foot's length."""


def check_feet(wearer: Fields, feet: FeetGiven) -> None:
    """Note lengths no grown-up's foot has, and measures that do not go with the length."""
    found = [*_problems(wearer, feet.left), *_problems(wearer, feet.right)]
    # What stands in [foot] for both feet is told of once.
    by_place = {problem.path: problem for problem in reversed(found)}
    wearer.place.problems.extend(reversed(by_place.values()))


def _problems(wearer: Fields, foot: OneFoot) -> Iterator[Problem]:
    length_mm = foot.given.length_mm
    if length_mm is None:
        return
    if _too_short(wearer, foot, length_mm):
        yield _shortness(wearer, foot, length_mm)
        return
    misfits = [name for name in _measured(foot) if not _goes(foot, name, length_mm)]
    slip = _slip_of_length(wearer, foot) if len(misfits) > 1 else None
    if slip is not None:
        yield _problem(foot, "length", phrase("does not go with the other measures"), slip)
    else:
        yield from (_misfit(foot, name, length_mm) for name in misfits)


def _too_short(wearer: Fields, foot: OneFoot, length_mm: float) -> bool:
    """Whether the length must be a slip, or leaves an adult's foot without any estimate.

    An adult's short foot is believed where all of it is measured and the age is given.
    """
    if length_mm - (foot.given.pencil_mm or 0.0) >= _adult_lengths().least:
        return False
    if "age" in wearer.given:
        return not may_be_child(wearer) and len(_measured(foot)) < len(PROPORTIONED)
    return True


def _shortness(wearer: Fields, foot: OneFoot, length_mm: float) -> Problem:
    least_mm = _adult_lengths().least
    wrong = phrase("{given} is shorter than any adult's foot")
    if length_mm >= least_mm:
        wrong = phrase("{given} less the pencil's {pencil} is shorter than any adult's foot")
    slip = likely_length(foot.written["length"].text, _adult_lengths().holds)
    right = said("did you mean {slip}?", slip=slip) if slip else said("measure it again.")
    if "age" not in wearer.given:
        right = said("{right} For a child give wearer.age", right=right)
    elif slip is None:
        shown = format_length(least_mm, _units(foot, "length"))
        right = said(
            "measure all of the foot, for nothing can be estimated of one below {shown}",
            shown=shown,
        )
    traced = foot.written.get("traced_with")
    return _problem(foot, "length", wrong, right, pencil=traced.text if traced else "")


def _slip_of_length(wearer: Fields, foot: OneFoot) -> str | None:
    """The question that explains all misfits at once by a slip in the length, if one does."""
    lengths = limits("foot_length") if may_be_child(wearer) else _adult_lengths()
    slip = likely_length(
        foot.written["length"].text,
        lambda mm: lengths.holds(mm) and all(_goes(foot, name, mm) for name in _measured(foot)),
    )
    return said("did you mean {slip}?", slip=slip) if slip else None


def _misfit(foot: OneFoot, name: str, length_mm: float) -> Problem:
    ratios, within = limits(f"{name}_per_length"), limits(name)
    small = _measured(foot)[name] < ratios.least * length_mm
    slip = likely_length(
        foot.written[name].text, lambda mm: within.holds(mm) and ratios.holds(mm / length_mm)
    )
    length, units = foot.written["length"].text, _units(foot, name)
    low, high = (format_length(end * length_mm, units) for end in (ratios.least, ratios.most))
    return _problem(
        foot,
        name,
        phrase("{given} is far too {size} for a foot of {length}"),
        said("did you mean {slip}?", slip=slip)
        if slip
        else said("it should be {low} to {high}: measure both again", low=low, high=high),
        size=said("small") if small else said("large"),
        length=length,
    )


def _goes(foot: OneFoot, name: str, length_mm: float) -> bool:
    return limits(f"{name}_per_length").holds(_measured(foot)[name] / length_mm)


def _measured(foot: OneFoot) -> dict[str, float]:
    """The measures given besides the length, mm."""
    given = {name: getattr(foot.given, f"{name}_mm") for name in PROPORTIONED}
    return {name: value for name, value in given.items() if value is not None}


def _adult_lengths() -> Limits:
    shortest = fact("children_feet", "smallest_adult_length")
    return Limits("adult_length", shortest.number, limits("foot_length").most, shortest.unit)


def _units(foot: OneFoot, name: str) -> str:
    """The sheet units nearest to those the measure was written in."""
    text = foot.written[name].text.lower()
    return "in" if text.endswith(("in", "inch", "inches", '"', "ft", "feet")) else "cm"


def _problem(foot: OneFoot, name: str, wrong: str, right: str, **values: str) -> Problem:
    """A problem of one measure; {given} in the template `wrong` stands for what was written."""
    written = foot.written[name]
    return Problem(written.place.path, said(wrong, given=written.text, **values), right)
