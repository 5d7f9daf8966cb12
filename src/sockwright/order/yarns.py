"""The yarns of an order: the table [yarn]."""

from __future__ import annotations

from typing import Any

from sockwright.errors import QuantityError
from sockwright.facts import table
from sockwright.grammar.bounds import limits
from sockwright.grammar.declare import Fields, Key, Names, Table, Value, what_is
from sockwright.grammar.values import check_within, mass, number, share, text, whole
from sockwright.i18n import _
from sockwright.order.model import YARN_ROLES, YarnGiven
from sockwright.quantities import parse_fineness_tex

_LABEL = 'the yarn\'s fineness, such as "100 g / 420 m", "250 tex" or "Nm 15/4"'

_KEYS = (
    Key("name", text("a name"), "what the yarn is called", "its role"),
    Key("colour", text("a colour", empty=True), "its colour, in words", "none"),
    Key(
        "fineness",
        text(_LABEL),
        "mass and length from its label, or its yarn number",
        needed=True,
    ),
    Key(
        "plies",
        whole("plies"),
        "how many plies it has, if the yarn number is that of a single ply",
        "as the fineness says",
    ),
    Key(
        "fineness_sd_tex",
        number("fineness_sd"),
        "standard deviation of the fineness, if you weighed a measured length yourself",
        "a label's usual error",
        field="tex_sd",
        label="Error of the fineness, tex",
    ),
    Key(
        "fibres",
        Names(
            'fibres and their shares, such as { wool = "75 %", nylon = "25 %" }',
            text("a fibre", known=tuple(table("fibres"))),
            share(),
            "fibres",
            labels=("Fibre", "Share"),
        ),
        "each fibre by name with its share; the shares add up to 100 %",
        "not known",
        more="One more fibre",
    ),
    Key(
        "on_hand",
        mass("on_hand"),
        "how much you have for the pair",
        "not checked",
        field="on_hand_g",
    ),
)


def fineness() -> Value:
    """A fineness in tex, from a label or a yarn number."""

    def convert(given: object) -> float:
        return parse_fineness_tex(text(_LABEL).convert(given), None)

    return Value(_LABEL, convert)


def _build(role: str, fields: Fields) -> YarnGiven | None:
    values: dict[str, Any] = {"name": _(role), **fields.values}
    label, plies = values.pop("fineness"), values.pop("plies", None)
    if "plies" in fields.given and plies is None:
        return None
    try:
        tex = parse_fineness_tex(label, plies)
    except QuantityError as error:
        fields.say("fineness", error.wrong, error.right)
        return None
    if values.get("tex_sd", 0.0) >= tex:
        fields.say(
            "fineness_sd_tex",
            _("is as large as the fineness"),
            _("give less than {tex:.4g}", tex=tex),
        )
    return YarnGiven(role=role, tex=tex, **values)


def _check_fibres(fields: Fields) -> None:
    fibres = fields.get("fibres", ())
    if not fibres:
        return
    known = table("fibres")
    for name, __ in fibres:
        if name.strip().lower() not in known:
            fields.say(
                "fibres",
                _("{name} is not a fibre Sockwright knows", name=what_is(name)),
                _("known: {known}", known=tuple(_(one) for one in known)),
            )
    try:
        total = sum(part for _, part in fibres)
        check_within(
            total,
            limits("fibres_sum"),
            _("the sum of the shares"),
            _("they should add up to 100 %"),
        )
    except QuantityError as error:
        fields.say("fibres", error.wrong, error.right)


def _role(role: str) -> Table:
    return Table(
        "a table with the yarn's fineness",
        _KEYS,
        lambda fields: _build(role, fields),
        _check_fibres,
    )


_MEANINGS = {
    "main": "the yarn of the sock",
    "cuff": "the cuff's own yarn",
    "heel": "the heel's own yarn",
    "toe": "the toe's own yarn",
    "waste": "the waste yarn at both ends",
    "cord": "the ravel cord",
}

YARN = Table(
    "a table with a table for each yarn, [yarn.main] at least",
    tuple(
        Key(
            role,
            _role(role),
            _MEANINGS[role],
            "" if role == "main" else "not its own",
            needed=role == "main",
        )
        for role in YARN_ROLES
    ),
    lambda fields: tuple(yarn for yarn in fields.values.values() if yarn is not None),
)
"""The yarns in the order of YARN_ROLES."""
