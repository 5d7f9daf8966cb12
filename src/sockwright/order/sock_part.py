"""The design of the sock: the table [sock]."""

from __future__ import annotations

import re
from typing import Any

from sockwright.errors import QuantityError
from sockwright.grammar.bounds import limits
from sockwright.grammar.declare import Fields, Key, Table, Value, give, it_is, shown
from sockwright.grammar.values import choice, length, share, whole, yes_or_no
from sockwright.i18n import _
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    CupGiven,
    Drape,
    EaseGiven,
    HeelGiven,
    HeelKind,
    LegGiven,
    Remainder,
    RibEnd,
    SockGiven,
    ToeGiven,
    ToeHalf,
    Widening,
)

_RIB = re.compile(r"([0-9]{1,3})\s*[x\u00d7]\s*([0-9]{1,3})", re.IGNORECASE)


def _rib() -> Value:
    within = limits("rib")
    expects = _(
        'wales knit x wales purl, such as "1x1" or "3x1", each {within}', within=within.words
    )

    def convert(given: object) -> tuple[int, int]:
        if not isinstance(given, str):
            raise QuantityError(it_is(given), give(expects))
        found = _RIB.fullmatch(given.strip())
        if found is None or not all(within.holds(int(part)) for part in found.groups()):
            raise QuantityError(
                _("{given} is not a rib", given=shown(given)),
                give(expects),
            )
        return int(found[1]), int(found[2])

    return Value(expects, convert)


def _build_cuff(fields: Fields) -> CuffGiven:
    fields.at_most_one("depth", "rounds")
    kind = fields.get("kind", CuffKind.HUNG_HEM)
    if "kind" in fields.given and "kind" not in fields.values:
        return CuffGiven()
    rib, mock = kind is CuffKind.TRUE_RIB, kind is CuffKind.MOCK_RIB_HEM
    wrong = _("does not belong to a {kind}", kind=_(str(kind)))
    if not rib:
        fields.refuse(("rib", "rib_to"), wrong, _('leave it out, or write kind = "true rib"'))
    if not mock:
        fields.refuse(("every",), wrong, _('leave it out, or write kind = "mock-rib hem"'))
    if not rib and not mock:
        fields.refuse(("remainder",), wrong, _("leave it out"))
    return CuffGiven(**fields.values)


_CUFF = Table(
    "a table of the cuff",
    (
        Key("kind", choice(CuffKind), "how the cuff is made", "hung hem", label="Kind of cuff"),
        Key(
            "depth",
            length("cuff_depth"),
            "how much of it is seen; a folded hem counts once",
            "chosen for the kind",
            field="depth_mm",
        ),
        Key(
            "rounds",
            whole("cuff_rounds"),
            "its rounds, instead of depth; of a hem all of them, both layers and the fold",
            "as depth says",
            label="Rounds of the cuff",
        ),
        Key("rib", _rib(), "the rib, of a true rib", '"1x1"'),
        Key(
            "rib_to",
            choice(RibEnd),
            "how far down a true rib goes",
            "cuff",
            label="Rib goes down to",
        ),
        Key(
            "remainder",
            choice(Remainder),
            "where needles left over by a rib or mock rib are knitted plain",
            "refuse",
            label="Needles left over",
        ),
        Key(
            "every",
            whole("every"),
            "for a mock rib only: enter 3 to leave out every third needle",
            "3",
            label="Leave out one needle in",
        ),
    ),
    _build_cuff,
)


def _build_leg(fields: Fields) -> LegGiven:
    fields.at_most_one("height", "leg", "rounds")
    return LegGiven(**fields.values)


_LEG = Table(
    "a table of the leg",
    (
        Key(
            "height",
            length("sock_height"),
            "from the floor to the top of the sock",
            "chosen",
            field="height_mm",
            label="Height from the floor",
        ),
        Key(
            "leg",
            length("leg_length"),
            "the leg alone, from below the cuff to the heel, instead of height",
            "as height says",
            field="leg_mm",
            label="Leg alone",
        ),
        Key(
            "rounds",
            whole("leg_rounds"),
            "its rounds, instead of height",
            "as height says",
            label="Rounds of the leg",
        ),
        Key(
            "shaped",
            yes_or_no(),
            "whether the stitch cam shapes it to the calf",
            "false",
            label="Shaped to the calf",
        ),
    ),
    _build_leg,
)


def _cup_keys(of_toe: bool = False) -> tuple[Key, ...]:
    usual = ("a third of the half", str(Widening.WRAPPED_NEAR), "1")
    # One key of the toe's own makes its cup its own; the others are then the usual ones.
    kept, widening, raised = (
        _("as the heel; {one}, if the toe has a cup of its own", one=_(one)) if of_toe else one
        for one in usual
    )
    return (
        Key(
            "kept",
            whole("kept"),
            "needles left in work at the narrowest",
            kept,
            label="Needles left in work",
        ),
        Key("widening", choice(Widening), "how raised needles come back into work", widening),
        Key(
            "first_raise",
            whole("first_raise"),
            "needles raised in each of the first two rows; two keep the corners closed",
            raised,
            label="Raised at first",
        ),
    )


_CUP = ("kept", "widening", "first_raise")


def _cup(fields: Fields) -> CupGiven:
    return CupGiven(**{key: fields.values[key] for key in _CUP if key in fields.values})


def _build_heel(fields: Fields) -> HeelGiven:
    if fields.get("kind") is HeelKind.NONE:
        fields.refuse(
            (*_CUP, "deep_kept", "wedge_rounds"),
            _("belongs to a heel, and this sock has none"),
            _("leave it out; the toe's cup stands at the toe"),
        )
    elif fields.get("kind") is HeelKind.AFTERTHOUGHT:
        fields.refuse(
            ("deep_kept", "wedge_rounds"),
            _("belongs to a short-row heel with a shallow cup before it"),
            _('leave it out, or write kind = "short row"'),
        )
    elif "deep_kept" not in fields.given:
        fields.refuse(("wedge_rounds",), _("needs deep_kept"), _("give deep_kept as well"))
    kept, deep = fields.get("kept"), fields.get("deep_kept")
    if kept is not None and deep is not None and deep <= kept:
        fields.say(
            "deep_kept",
            _("is {deep}, no wider than kept", deep=deep),
            _("give more than {kept}", kept=kept),
        )
    values = {key: value for key, value in fields.values.items() if key not in _CUP}
    return HeelGiven(cup=_cup(fields), **values)


_HEEL = Table(
    "a table of the heel",
    (
        Key(
            "kind",
            choice(HeelKind),
            "how the heel is made; none for a tube sock",
            "short row",
            label="Kind of heel",
        ),
        *_cup_keys(),
        Key(
            "deep_kept",
            whole("kept"),
            "needles left in work by a first, shallow cup, for a deeper heel",
            "no such cup",
            label="First cup: needles left in work",
        ),
        Key(
            "wedge_rounds",
            whole("wedge_rounds"),
            "plain rounds between the two cups",
            "2",
            label="Rounds between the cups",
        ),
    ),
    _build_heel,
)


def _build_toe(fields: Fields) -> ToeGiven:
    values: dict[str, Any] = {k: v for k, v in fields.values.items() if k not in _CUP}
    if fields.given & set(_CUP):
        values["cup"] = _cup(fields)
    toe = ToeGiven(**values)
    if toe.closing is Closing.GATHER:
        fields.refuse(_CUP, _("belongs to a cup, and a gathered toe has none"), _("leave it out"))
    return toe


_TOE = Table(
    "a table of the toe",
    (
        Key(
            "half",
            choice(ToeHalf),
            "the half of the needles that knits the toe",
            "heel half",
            label="Toe knitted on",
        ),
        Key("closing", choice(Closing), "how the toe is closed", "graft"),
        *_cup_keys(of_toe=True),
    ),
    _build_toe,
)

_EASE = Table(
    "a table of the ease",
    (
        Key(
            "girth",
            share("ease_girth"),
            "how much narrower than the foot",
            "10 %",
            label="Ease of the girth",
        ),
        Key(
            "length",
            share("ease_length"),
            "how much shorter than the foot",
            "4 %",
            label="Ease of the length",
        ),
    ),
    lambda fields: EaseGiven(**fields.values),
)

SOCK = Table(
    "a table of the design",
    (
        Key("needles", whole("needles"), "the cylinder to knit on", "the best match"),
        Key("drape", choice(Drape), "how firm the fabric should be", "middle", label="Firmness"),
        Key("cuff", _CUFF, "the cuff", "a hung hem"),
        Key("leg", _LEG, "the leg", "chosen"),
        Key("heel", _HEEL, "the heel", "a short-row heel"),
        Key("toe", _TOE, "the toe", "as the heel, grafted"),
        Key("ease", _EASE, "how much smaller than the foot the relaxed sock is", "the usual"),
    ),
    lambda fields: SockGiven(**fields.values),
)
