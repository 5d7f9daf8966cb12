"""Socks finished before on this machine, as an order tells them: [[finished]]."""

from __future__ import annotations

from typing import Any

from sockwright.grammar.declare import Fields, Key, Many, Table
from sockwright.grammar.values import choice, day, length, mass, number, text, whole, yes_or_no
from sockwright.order.model import (
    YARN_ROLES,
    AnswersGiven,
    Fabric,
    FinishedGiven,
    ForetoldGiven,
    HeelAnswer,
    LengthAnswer,
    PuttingOnAnswer,
    RoundAnswer,
    StaysUpAnswer,
)
from sockwright.order.yarns import fineness

_ROUNDS = whole("knitted_rounds", "rounds")
_ROWS = whole("knitted_rounds", "rows")

FORETOLD = Table(
    'a table such as { wale = "3.3 mm", course = "2.5 mm" }',
    (
        Key("wale", length("wale_width"), "width of a wale", "not known", field="wale_mm"),
        Key(
            "course", length("course_height"), "height of a course", "not known", field="course_mm"
        ),
        Key("loop", length("loop_length"), "yarn in one loop", "not known", field="loop_mm"),
    ),
    lambda fields: ForetoldGiven(**fields.values),
)

ANSWERS = Table(
    'a table such as { length = "right", putting_on = "with a tug" }',
    (
        Key("length", choice(LengthAnswer), "how long the foot is", "not asked"),
        Key("round", choice(RoundAnswer), "how it sits round the foot", "not asked"),
        Key("heel", choice(HeelAnswer), "how deep the heel is", "not asked"),
        Key("putting_on", choice(PuttingOnAnswer), "how it goes on", "not asked"),
        Key("stays_up", choice(StaysUpAnswer), "whether the top stays up", "not asked"),
    ),
    lambda fields: AnswersGiven(**fields.values),
)

COUNTS = (
    Key("hem_rounds", _ROUNDS, "rounds of the cuff, a hem's folded ones too", "not counted"),
    Key("leg_rounds", _ROUNDS, "rounds of the leg", "not counted"),
    Key("foot_rounds", _ROUNDS, "rounds of the foot between heel and toe", "not counted"),
    Key("heel_rows", _ROWS, "all rows of the heel, down and up", "not counted"),
    Key("toe_rows", _ROWS, "all rows of the toe, down and up", "not counted"),
)
"""The rounds and rows that were really knitted, by part."""

_KEYS = (
    Key("name", text("a name"), "what sock it was", '"sock" and its number'),
    Key("date", day(), "when it was finished", "not noted", label="Finished on"),
    Key("needles", whole("needles"), "needles of the cylinder", needed=True),
    Key("cam", number("cam"), "the stitch-cam setting of its foot", "not noted"),
    Key("yarn", choice(YARN_ROLES), "which of the order's yarns it was knitted with", "main"),
    Key(
        "fineness",
        fineness(),
        "fineness of its yarn, where that is none of the order's",
        "the yarn's",
        field="tex",
    ),
    Key("leg_fabric", choice(Fabric), "what its leg was knitted in", "plain"),
    *COUNTS,
    Key(
        "loops",
        whole("knitted_loops"),
        "all its loops, where a program counted them",
        "from rounds and rows",
    ),
    Key(
        "foot_length",
        length("length"),
        "from the back of the heel to the tip of the toe",
        "not measured",
        field="foot_length_mm",
    ),
    Key(
        "leg_length",
        length("leg_length"),
        "the leg alone, from the cuff to the heel",
        "not measured",
        field="leg_length_mm",
    ),
    Key(
        "flat_width",
        length("flat_width"),
        "the foot laid flat",
        "not measured",
        field="flat_width_mm",
    ),
    Key(
        "leg_flat_width",
        length("flat_width"),
        "the leg laid flat",
        "not measured",
        field="leg_flat_width_mm",
    ),
    Key("mass", mass("sock_mass"), "what the sock weighs, dry", "not weighed", field="mass_g"),
    Key("washes", whole("washes"), "how often it was washed and dried before", "1"),
    Key("confirmed", yes_or_no(), "whether an odd measure was looked at again", "false"),
    Key("foretold", FORETOLD, "what its swatches foretold, of another yarn", "from the swatches"),
    Key("answers", ANSWERS, "how it fits its wearer", "not asked"),
)


def _build(fields: Fields) -> FinishedGiven:
    values: dict[str, Any] = {"name": "", **fields.values}
    return FinishedGiven(**values)


FINISHED = Many(Table("a table of a finished sock", _KEYS, _build), "finished")
"""The finished socks, in the file's order."""
