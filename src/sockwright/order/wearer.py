"""Who wears the socks: the tables [wearer] and [foot]."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from sockwright.errors import Problem, QuantityError
from sockwright.facts import fact
from sockwright.facts.feet import Measure, foot_measures
from sockwright.grammar.bounds import Limits, limits
from sockwright.grammar.declare import Fields, Key, Place, Table, Value, give, it_is, shown
from sockwright.grammar.values import (
    check_within,
    choice,
    length,
    likely_length,
    number,
    text,
    weight,
)
from sockwright.i18n import N_, _
from sockwright.order.model import FootGiven, Load, Sex, ShoeSize, ShoeSystem, WearerGiven
from sockwright.quantities import format_length

_SIZE = re.compile(r"([a-z ]+?) *([0-9]{1,3}(?:[.,][0-9]{1,20})?)(?: *(1/2|½|1/3|2/3))?")
_PARTS = {"": 0.0, "1/2": 0.5, "½": 0.5, "1/3": 1 / 3, "2/3": 2 / 3}
_BY_WORD = {system.value.casefold(): system for system in ShoeSystem}
_EXPECTS = _(
    'a shoe size with its system, such as "EU 42", "UK 8", "US men 9.5", "US women 8", '
    '"Mondopoint 265", "EU child 28", "UK child 10" or "US child 11"'
)


def shoe_size() -> Value:
    """A shoe size in one of the systems of `ShoeSystem`."""
    return Value(_EXPECTS, _convert)


def _convert(given: object) -> ShoeSize:
    if not isinstance(given, str):
        raise QuantityError(it_is(given), give(_EXPECTS))
    found = _SIZE.fullmatch(" ".join(given.casefold().split()))
    system = _BY_WORD.get(found[1].strip()) if found else None
    if found is None or system is None:
        raise QuantityError(
            _("{given} is not a shoe size", given=shown(given)),
            give(_EXPECTS),
        )
    size = float(found[2].replace(",", ".")) + _PARTS[found[3] or ""]
    within = limits("shoe_" + system.value.lower().replace(" ", "_"))
    what = _("the size {given}", given=shown(given))
    return ShoeSize(
        system,
        check_within(
            size,
            within,
            what,
            _("{system} sizes are {within}", system=system, within=within.words),
        ),
    )


NAMELESS = _("the wearer")
"""What a wearer without a name is called on the sheets."""


@dataclass(frozen=True)
class MeasureText:
    """What stands in the file for one measure, right or wrong, and where."""

    text: str
    place: Place


@dataclass(frozen=True)
class OneFoot:
    """What the table [foot] says of one foot: what was understood, and all of it by its key."""

    given: FootGiven = field(default_factory=FootGiven)
    written: Mapping[str, MeasureText] = field(default_factory=dict)


@dataclass(frozen=True)
class FeetGiven:
    """What the table [foot] says of each foot."""

    left: OneFoot = OneFoot()
    right: OneFoot = OneFoot()


UNMEASURED = FeetGiven()
"""Feet of which nothing is given."""


def _measure(one: Measure) -> Key:
    label, field = one.label.capitalize(), f"{one.name}_mm"
    kind = length(one.name)
    return Key(one.name, kind, one.meaning, "estimated", field=field, label=label)


MEASURES = (
    *map(_measure, foot_measures().values()),
    Key(
        "traced_with",
        length("pencil"),
        "the thickness of the whole pencil, held upright, not of its lead; "
        "if the length was taken from a traced outline",
        "not traced",
        field="pencil_mm",
        label="Traced with a pencil of",
    ),
    Key(
        "load",
        choice(Load),
        "how the wearer was when the foot was measured",
        "standing",
        label="Weight on the foot",
    ),
)

_ONE_FOOT = Table("a table of this foot's measures", MEASURES, lambda fields: fields)


def _build_feet(fields: Fields) -> FeetGiven:
    names = {key.field or key.name for key in MEASURES}
    both = FootGiven(**{name: fields.values[name] for name in names & fields.values.keys()})
    return FeetGiven(*(_one_foot(both, fields, side) for side in ("left", "right")))


def _one_foot(both: FootGiven, fields: Fields, side: str) -> OneFoot:
    own = fields.get(side, Fields({}, {}, fields.place))
    written = {
        key: MeasureText(
            " ".join(said.split()) if isinstance(said, str) else "", table.place.at(key)
        )
        for table in (fields, own)
        for key, said in table.said.items()
    }
    return OneFoot(replace(both, **own.values), written)


FOOT = Table(
    "a table of the foot's measures",
    (
        *MEASURES,
        Key("left", _ONE_FOOT, "what differs in the left foot", "as [foot]", label="Left foot"),
        Key("right", _ONE_FOOT, "what differs in the right foot", "as [foot]", label="Right foot"),
    ),
    _build_feet,
)


def _age() -> Value:
    """An age in years that there are tables of feet for."""
    within, plain = limits("age"), number("age", "years")

    def convert(given: object) -> float:
        known = isinstance(given, int | float) and not isinstance(given, bool)
        if known and 0 <= given < within.least:  # type: ignore[operator]
            raise QuantityError(
                _(
                    "{given:g} is below the tables of children's feet, which begin at "
                    "{least:g} years",
                    given=given,
                    least=within.least,
                ),
                _("no sock can be planned for a younger child"),
            )
        years: float = plain.convert(given)
        return years

    return replace(plain, convert=convert)


WEARER = Table(
    "a table with the wearer's name",
    (
        Key("name", text("a name"), "what the wearer is called on the sheets", f'"{NAMELESS!s}"'),
        Key(
            "sex",
            choice(Sex),
            "missing measures are estimated from these feet",
            "either",
            label="Woman or man",
        ),
        Key("age", _age(), "age in years", "a grown-up", field="age_years"),
        Key(
            "stature",
            length("stature"),
            "height of the wearer",
            "not used",
            field="stature_mm",
            label="Height",
        ),
        Key(
            "weight",
            weight("weight"),
            "weight of the wearer",
            "not used",
            field="weight_kg",
        ),
        Key("shoe_size", shoe_size(), "shoe size and its system", "not used", field="shoe"),
    ),
    lambda fields: fields,
)


def join(wearer: Fields, feet: FeetGiven) -> WearerGiven:
    """The wearer on both feet."""
    values: dict[str, Any] = {"name": NAMELESS, **wearer.values}
    return WearerGiven(left=feet.left.given, right=feet.right.given, **values)


def ask_for_length(wearer: Fields, feet: FeetGiven, foot: Place) -> None:
    """Note a foot of whose length nothing can be known."""
    if wearer.given & {"shoe_size", "stature"} or may_be_child(wearer):
        return
    sides = (("left", feet.left), ("right", feet.right))
    lacking = [side for side, one in sides if "length" not in one.written]
    place = foot.at(lacking[0]) if len(lacking) == 1 else foot
    if lacking:
        place.at("length").say(
            _("is missing"),
            _("give the foot's length, or in [wearer] a shoe_size, a stature or a child's age"),
        )


def may_be_child(wearer: Fields) -> bool:
    """Whether the age given is a child's, or is wrong and may be one."""
    age = wearer.get("age_years")
    adult = age is not None and age >= fact("children_feet", "adult_from").number
    return "age" in wearer.given and not adult


PROPORTIONED = tuple(name for name, one in foot_measures().items() if one.proportioned)
"""The measures held against the foot's length."""


def check_feet(wearer: Fields, feet: FeetGiven) -> None:
    """Note lengths no grown-up's foot has, and measures that do not go with the length."""
    found = [*_problems(wearer, feet.left), *_problems(wearer, feet.right)]
    # A measure of [foot] that both feet share gives one problem, not two.
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
        yield _problem(foot, "length", N_("does not go with the other measures"), slip)
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
    wrong = N_("{given} is shorter than any adult's foot")
    if length_mm >= least_mm:
        wrong = N_("{given} less the pencil's {pencil} is shorter than any adult's foot")
    slip = likely_length(foot.written["length"].text, _adult_lengths().holds)
    right = _("did you mean {slip}?", slip=slip) if slip else _("measure it again.")
    if "age" not in wearer.given:
        right = _("{right} For a child give wearer.age", right=right)
    elif slip is None:
        shown = format_length(least_mm, _units(foot, "length"))
        right = _(
            "measure all of the foot, for nothing can be estimated of one below {shown}",
            shown=shown,
        )
    traced = foot.written.get("traced_with")
    return _problem(foot, "length", wrong, right, pencil=traced.text if traced else "")


def _slip_of_length(wearer: Fields, foot: OneFoot) -> str | None:
    """The question that explains all misfits at once by a slip in the length, if one does."""
    lengths = limits("length") if may_be_child(wearer) else _adult_lengths()
    slip = likely_length(
        foot.written["length"].text,
        lambda mm: lengths.holds(mm) and all(_goes(foot, name, mm) for name in _measured(foot)),
    )
    return _("did you mean {slip}?", slip=slip) if slip else None


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
        N_("{given} is far too small for a foot of {length}")
        if small
        else N_("{given} is far too large for a foot of {length}"),
        _("did you mean {slip}?", slip=slip)
        if slip
        else _("it should be {low} to {high}: measure both again", low=low, high=high),
        length=length,
    )


def _goes(foot: OneFoot, name: str, length_mm: float) -> bool:
    return limits(f"{name}_per_length").holds(_measured(foot)[name] / length_mm)


def _measured(foot: OneFoot) -> dict[str, float]:
    """The measures given besides the length, mm."""
    return {name: mm for name, mm in foot.given.measures_mm if name in PROPORTIONED}


def _adult_lengths() -> Limits:
    shortest = fact("children_feet", "smallest_adult_length")
    return Limits("adult_length", shortest.number, limits("length").most, shortest.unit)


def _units(foot: OneFoot, name: str) -> str:
    """The sheet units nearest to those the measure was written in."""
    text = foot.written[name].text.lower()
    return "in" if text.endswith(("in", "inch", "inches", '"', "ft", "feet")) else "cm"


def _problem(foot: OneFoot, name: str, wrong: str, right: str, **values: str) -> Problem:
    """A problem of one measure; {given} in the template `wrong` stands for what was written."""
    written = foot.written[name]
    return Problem(written.place.path, _(wrong, given=written.text, **values), right)
