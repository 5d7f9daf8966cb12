"""The kinds of things kept, one descriptor each, and what may be written of a thing by it.

A document is in the order file's own declarations, part by part. Paths of problems are those within
the thing's document, such as "foot.length" or "fineness".
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from sockwright.errors import Problem
from sockwright.grammar.declare import WRONG, Fields, FieldType, Key, Place, Table, shown
from sockwright.grammar.values import choice, prose, text, yes_or_no
from sockwright.i18n import _, ngettext
from sockwright.i18n.printable import has_ink, normal, normal_lines
from sockwright.order.machine_part import MACHINE
from sockwright.order.model import SwatchGiven
from sockwright.order.sock_part import SOCK
from sockwright.order.swatches import SWATCH
from sockwright.order.wearer import FOOT, UNMEASURED, WEARER, check_feet
from sockwright.order.yarns import YARN
from sockwright.store import kept
from sockwright.store.items import ItemKind
from sockwright.store.models import NAME, references, references_of
from sockwright.workshop.fields import OF_A_PAIR, PLANNED, Nullable, QuotedDay, thing_id


def _nothing_more(document: Mapping[str, Any], fields: Mapping[str, Any], place: Place) -> None:
    """Find nothing wrong with what document and fields say together."""


@dataclass(frozen=True)
class ItemType:
    """All that the workshop knows of one kind of kept things; its table knows the fields.

    `plural` is what many are called in addresses, `heading` above a list; `count` tells so many of
    them. `called` is what one is called where something is wrong with it, `in_order` the first
    words of the paths that an order tells of it.
    `grammar` is how its document is read. The document has the name at the path `named_in`, or
    `name` reads one out of it; else it is given beside, and must be where it is `named_beside`.
    `fields` tells how fields are written, but those of one id; `usual` what holds where nothing is
    said, `follows` what a new document changes of fields that are not written with it. `check`
    notes what document and fields say against each other.
    Files of a whole workshop have it since the version `since`.
    `labels` are those of what is no key of the document, `left_out` the keys an order has and a
    kept thing has not, each with what is said of it.
    """

    kind: ItemKind
    plural: str
    heading: str
    count: Callable[[int], str]
    grammar: Table
    called: str = ""
    in_order: tuple[str, ...] = ()
    named_in: tuple[str, ...] = ()
    named_beside: bool = False
    name: Callable[[Mapping[str, Any]], str] | None = None
    fields: Mapping[str, FieldType] = field(default_factory=dict)
    usual: Mapping[str, Any] = field(default_factory=dict)
    follows: Callable[[Mapping[str, Any]], Mapping[str, Any]] = lambda document: {}
    check: Callable[[Mapping[str, Any], Mapping[str, Any], Place], None] = _nothing_more
    since: int = 1
    labels: Mapping[str, str] = field(default_factory=dict)
    left_out: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    @property
    def fields_table(self) -> Table:
        """The declaration of its fields."""
        keys = tuple(
            Key(
                name,
                thing_id() if of and name not in self.fields else self.fields[name],
                name,
                needed=True,
            )
            for name, of in references_of(self.kind).items()
        )
        return Table("a table of fields", keys, lambda fields: dict(fields.values))


def _fields(fields: Fields) -> Fields:
    return fields


PERSON = Table(
    "a table with the tables wearer and foot",
    (
        Key("wearer", WEARER, "who it is", needed=True, label="Who it is"),
        Key("foot", FOOT, "the measures of the feet", "estimated from wearer", label="The feet"),
    ),
    _fields,
    lambda fields: check_feet(
        fields.get("wearer", Fields({}, {}, fields.place)), fields.get("foot", UNMEASURED)
    ),
)

SOCK_DOCUMENT = Table(
    "a table with the order's title and units",
    (
        Key("title", text("a title"), "the order's title", '"Socks for" and the name'),
        Key("units", choice(("cm", "in")), "the units of the sheets", "cm"),
        Key("sock", SOCK, "what holds instead of the design's", "all as the design"),
    ),
    _fields,
)

ABOUT_KINDS = tuple(kind.value for kind in ItemKind if kind is not ItemKind.NOTE)
"""What a note may be about."""

NOTE = Table(
    "a table with the text",
    (Key("text", prose("a text"), "the note", needed=True, label="Note"),),
    _fields,
)


def _table(kind: FieldType | None) -> Table:
    assert isinstance(kind, Table)
    return kind


def _used_up(document: Mapping[str, Any], fields: Mapping[str, Any], place: Place) -> None:
    if fields["used_up"] and "on_hand" in document:
        place.at("used_up").say(_("is for a yarn that is on hand"), _("leave out one of the two"))


def _first_line(document: Mapping[str, Any]) -> str:
    """The first line of a text of which something is to be seen."""
    lines = normal_lines(str(document["text"])).split("\n")
    return next(filter(has_ink, (" ".join(line.split()) for line in lines)), "")


WORKED_OUT = {
    "cam_slope": _("is worked out from what was knitted on the machine"),
    "pace": _("is worked out from what was counted at the machine"),
}
"""Keys of an order's machine that the workshop works out from other things: why no kept machine has
them."""

_EVERY = (
    ItemType(
        ItemKind.PERSON,
        "people",
        _("People"),
        lambda n: ngettext("{n} person", "{n} people", n),
        PERSON,
        called=_("Person"),
        in_order=("wearer", "foot", "person"),
        named_in=("wearer", "name"),
    ),
    ItemType(
        ItemKind.YARN,
        "yarns",
        _("Yarns"),
        lambda n: ngettext("{n} yarn", "{n} yarns", n),
        _table(next(key.kind for key in YARN.keys if key.name == "main")),
        called=_("Yarn"),
        in_order=("yarn",),
        named_in=("name",),
        fields={"used_up": yes_or_no()},
        usual={"used_up": False},
        follows=lambda document: {"used_up": False} if "on_hand" in document else {},
        check=_used_up,
        labels={"used_up": _("Used up")},
    ),
    ItemType(
        ItemKind.MACHINE,
        "machines",
        _("Machines"),
        lambda n: ngettext("{n} machine", "{n} machines", n),
        MACHINE,
        called=_("Machine"),
        in_order=("machine",),
        named_in=("name",),
        fields={"serviced": Nullable(QuotedDay())},
        usual={"serviced": None},
        labels={"serviced": _("Last serviced")},
        left_out={
            "serviced": (
                _("is kept beside the machine's own keys"),
                _("give it among the fields"),
            ),
            **{key: (wrong, _("leave it out")) for key, wrong in WORKED_OUT.items()},
        },
    ),
    ItemType(
        ItemKind.SWATCH,
        "swatches",
        _("Swatches"),
        lambda n: ngettext("{n} swatch", "{n} swatches", n),
        _table(SWATCH.one),
        called=_("Swatch"),
        in_order=("swatch",),
        named_in=("name",),
        labels={"yarn_id": _("Yarn"), "machine_id": _("Machine")},
        left_out={
            "yarn": (
                _("is a role, which a yarn has only in an order"),
                _("choose the yarn itself"),
            )
        },
    ),
    ItemType(
        ItemKind.DESIGN,
        "designs",
        _("Designs"),
        lambda n: ngettext("{n} design", "{n} designs", n),
        SOCK,
        called=_("Design"),
        in_order=("sock", "design"),
        named_beside=True,
        labels={"name": _("Name")},
    ),
    ItemType(
        ItemKind.SOCK,
        "socks",
        _("Pairs"),
        lambda n: ngettext("{n} pair", "{n} pairs", n),
        SOCK_DOCUMENT,
        fields=OF_A_PAIR,
        usual={
            "design_id": None,
            "swatches": [],
            "needles": None,
            "status": PLANNED,
            "log": [],
            "measured": None,
            "left": None,
        },
    ),
    ItemType(
        ItemKind.NOTE,
        "notes",
        _("Notes"),
        lambda n: ngettext("{n} note", "{n} notes", n),
        NOTE,
        name=_first_line,
        fields={"about_kind": choice(ABOUT_KINDS), "about_id": thing_id()},
        labels={"about": _("About"), "about_id": _("About")},
    ),
)

TYPES: Mapping[ItemKind, ItemType] = {one.kind: one for one in _EVERY}
"""The kinds, in the order in which pages list them."""


def check_document(kind: ItemKind, document: object, place: Place) -> None:
    """Note all problems of a document; there are none if it may be kept."""
    item = TYPES[kind]
    item.grammar.read(document, place)
    if isinstance(document, Mapping):
        _check_named(item, document, place)
        for key, (wrong, right) in item.left_out.items():
            if key in document:
                place.at(key).say(wrong, right)


def name_of(kind: ItemKind, document: Mapping[str, Any], given: str = "") -> str:
    """What a thing of a sound document is called; `given` names those whose document does not."""
    item = TYPES[kind]
    if item.named_in:
        return normal(str(_within(document, item.named_in)).strip())
    return _cut(item.name(document) if item.name else normal(str(given).strip()))


def check_name(kind: ItemKind, given: str, place: Place) -> None:
    """Note a name that cannot be one, where the document does not hold it."""
    if TYPES[kind].named_beside:
        text("a name").read(given, place.at("name"))


def check_fields(kind: ItemKind, fields: Mapping[str, Any], place: Place) -> None:
    """Note all problems of the fields, missing and unknown ones too."""
    TYPES[kind].fields_table.read(fields, place)


def check_references(
    session: Session,
    kind: ItemKind,
    fields: Mapping[str, Any],
    before: Mapping[str, Any],
    place: Place,
) -> None:
    """Note references to what is not kept here, and new ones to what is deleted."""
    known = {id for _, _, id in references(kind, before)} if before else set()
    for path, of_kind, id in references(kind, fields):
        thing = kept.find(session, of_kind, id)
        if thing is None:
            wrong, right = (
                _("there is no such {kind} here", kind=_(str(of_kind))),
                _("choose another"),
            )
        elif thing.deleted and id not in known:
            wrong, right = (
                _("{thing} was deleted", thing=shown(thing.name)),
                _("undo that, or choose another"),
            )
        else:
            continue
        place.problems.append(Problem(path, wrong, right))


def read_swatch(document: Mapping[str, Any]) -> SwatchGiven | None:
    """The swatch of a kept document; None for one that no longer reads."""
    problems: list[Problem] = []
    swatch = SWATCH.one.read(document, Place("", problems))
    return None if problems or swatch is WRONG or swatch is None else swatch


def plain(value: Any) -> Any:
    """The same in JSON's types: days become texts such as "2025-11-03"."""
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if isinstance(value, str):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value


def _check_named(item: ItemType, document: Mapping[str, Any], place: Place) -> None:
    """A kept thing must have a name to be found by, where an order could do without."""
    if not item.named_in:
        return
    *tables, key = item.named_in
    at, table = place, document
    for name in tables:
        at, inner = at.at(name), table.get(name, {})
        if not isinstance(inner, Mapping):
            return
        table = inner
    if key not in table:
        at.at(key).say(_("is missing"), _("give a name"))


def _within(document: Mapping[str, Any], path: tuple[str, ...]) -> Any:
    value: Any = document
    for key in path:
        value = value[key]
    return value


def _cut(line: str) -> str:
    return line if len(line) <= NAME else line[: NAME - 1] + "…"
