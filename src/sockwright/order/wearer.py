"""Who wears the socks: the tables [wearer] and [foot]."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from sockwright.errors import QuantityError
from sockwright.facts import fact
from sockwright.order.limits import limits
from sockwright.order.model import FootGiven, Load, Sex, WearerGiven
from sockwright.order.reader import Fields, Key, Place, Table, Value
from sockwright.order.shoe import shoe_size
from sockwright.order.values import choice, length, number, text, weight
from sockwright.words import said

NAMELESS = said("the wearer")
"""What a wearer without a name is called on the sheets."""


@dataclass(frozen=True)
class Written:
    """What stands in the file for one measure, right or wrong, and where."""

    text: str
    place: Place


@dataclass(frozen=True)
class OneFoot:
    """What the table [foot] says of one foot: what was understood, and all of it by its key."""

    given: FootGiven = field(default_factory=FootGiven)
    written: Mapping[str, Written] = field(default_factory=dict)


@dataclass(frozen=True)
class FeetGiven:
    """What the table [foot] says of each foot."""

    left: OneFoot = OneFoot()
    right: OneFoot = OneFoot()


UNMEASURED = FeetGiven()
"""Feet of which nothing is given."""


def _measure(name: str, meaning: str, field: str = "", default: str = "estimated") -> Key:
    fact = {"length": "foot_length", "traced_with": "pencil"}.get(name, name)
    than = {"length": said("any foot"), "traced_with": said("any pencil")}.get(
        name, said("any {what}", what=said(name.replace("_", " ")))
    )
    return Key(name, length(fact, than), meaning, default, field=field or f"{name}_mm")


MEASURES = (
    _measure(
        "length",
        "from the back of the heel to the tip of the longest toe, along the foot's axis; "
        "barefoot, the weight on both feet",
    ),
    _measure("ball_girth", "round the ball of the foot, over the joints of both outer toes"),
    _measure("instep_girth", "round the middle of the foot, over the highest point of the instep"),
    _measure("heel_girth", "round the tip of the heel and the bend of the ankle"),
    _measure("ankle_girth", "round the leg at its thinnest, above the ankle bones"),
    _measure("calf_girth", "round the calf at its thickest"),
    _measure("foot_breadth", "the foot's greatest breadth, at the ball"),
    _measure("heel_breadth", "the heel's greatest breadth"),
    _measure("ankle_bone_height", "from the floor to the tip of the outer ankle bone"),
    _measure(
        "traced_with",
        "the thickness of the whole pencil, held upright, not of its lead; "
        "if the length was taken from a traced outline",
        "pencil_mm",
        "not traced",
    ),
    Key("load", choice(Load), "how the wearer was when the foot was measured", "standing"),
)

_ONE_FOOT = Table("a table of this foot's measures", MEASURES, lambda fields: fields)


def _build_feet(fields: Fields) -> FeetGiven:
    names = {key.field or key.name for key in MEASURES}
    both = FootGiven(**{name: fields.values[name] for name in names & fields.values.keys()})
    return FeetGiven(*(_one_foot(both, fields, side) for side in ("left", "right")))


def _one_foot(both: FootGiven, fields: Fields, side: str) -> OneFoot:
    own = fields.get(side, Fields({}, {}, fields.place))
    written = {
        key: Written(" ".join(said.split()) if isinstance(said, str) else "", table.place.at(key))
        for table in (fields, own)
        for key, said in table.said.items()
    }
    return OneFoot(replace(both, **own.values), written)


FOOT = Table(
    "a table of the foot's measures",
    (
        *MEASURES,
        Key("left", _ONE_FOOT, "what differs in the left foot", "as [foot]"),
        Key("right", _ONE_FOOT, "what differs in the right foot", "as [foot]"),
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
                said(
                    "{given:g} is below the tables of children's feet, which begin at "
                    "{least:g} years",
                    given=given,
                    least=within.least,
                ),
                said("no sock can be planned for a younger child"),
            )
        years: float = plain.convert(given)
        return years

    return replace(plain, convert=convert)


WEARER = Table(
    "a table with the wearer's name",
    (
        Key("name", text("a name"), "what the wearer is called on the sheets", f'"{NAMELESS}"'),
        Key("sex", choice(Sex), "whose tables fill the gaps of a foot", "either"),
        Key("age", _age(), "age in years", "a grown-up", field="age_years"),
        Key(
            "stature",
            length("stature", said("any person")),
            "height of the wearer",
            "not used",
            field="stature_mm",
        ),
        Key(
            "weight",
            weight("weight", said("any person")),
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
            said("is missing"),
            said("give the foot's length, or in [wearer] a shoe_size, a stature or a child's age"),
        )


def may_be_child(wearer: Fields) -> bool:
    """Whether the age given is a child's, or is wrong and may be one."""
    age = wearer.get("age_years")
    adult = age is not None and age >= fact("children_feet", "adult_from").number
    return "age" in wearer.given and not adult
