"""The kinds of things with a list and a form of their own: one descriptor each of their pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from sockwright.drawing.base.theme import Theme
from sockwright.drawing.tracing.foot import foot_plan_svg, foot_side_svg
from sockwright.errors import Problem
from sockwright.facts.feet import foot_measures
from sockwright.grammar.declare import Place
from sockwright.i18n.locale import Locale
from sockwright.i18n.messages import _, pgettext
from sockwright.machine import Machine
from sockwright.order.machine_part import MACHINE
from sockwright.store.items import ItemKind, State, Thing
from sockwright.web.forms.items import Field, Option
from sockwright.web.forms.texts import Texts, clean, label
from sockwright.web.kept import facts
from sockwright.web.kept.facts import Fact, Others
from sockwright.web.pairs_kept import pair_deed
from sockwright.web.preferences import Formats
from sockwright.workshop.kinds import ABOUT_KINDS, TYPES
from sockwright.workshop.workshop import Workshop


@dataclass(frozen=True)
class KindWords:
    """What the pages of a kind say: how to add one, what an empty list says, what they are for."""

    add: str
    new: str
    none_yet: str
    lead: str
    plan: str = ""
    """What the link says that plans with one, "" for what is not planned with."""


@dataclass(frozen=True)
class ExtraField:
    """A field of a form beside those of the document, but for what stands in it.

    `shown` is its text for a thing, `_` what a text says as fields of the thing. `choices` are
    those there are to choose from with the one that is chosen; `chosen` tells whether one is.
    """

    field: Field
    shown: Callable[[State], str]
    said: Callable[[str], dict[str, Any]]
    choices: Callable[[Workshop, str], Iterable[Option]] = lambda shop, chosen: ()
    chosen: Callable[[str], object] = lambda text: True


@dataclass(frozen=True)
class KindPages:
    """All that the pages know of one kind; one without `words` has pages of another make.

    A list tells the `facts` of each thing under `headings`. The `extras` of a form stand after so
    many of the document's own fields; `numbers` are those of its fields in the `drawings` beside
    it. `machine` reads the one whose cylinders are drawn.
    `plans` are the keys of the planning page's address that choose a thing, and `gauge` tells which
    part of the memory of gauge is its own: each with the field that has the id, "id" for the
    thing's own.
    `first` and `changed` say what was done at a version, and `tells_changes` whether its places are
    told.
    """

    words: KindWords | None = None
    headings: tuple[str, ...] = ()
    facts: Callable[[Thing, Others, Formats], tuple[Fact, ...]] | None = None
    extras: tuple[ExtraField, ...] = ()
    extras_after: int = 0
    numbers: Mapping[str, int] = field(default_factory=dict)
    drawings: Callable[[Locale], tuple[str, ...]] = lambda locale: ()
    machine: Callable[[Mapping[str, Any]], Machine | None] = lambda document: None
    plans: Mapping[str, str] = field(default_factory=dict)
    gauge: Mapping[str, str] = field(default_factory=dict)
    first: str = pgettext("history", "created")
    changed: Callable[[State, State], str] = lambda was, now: _("changed")
    tells_changes: bool = True


ABOUT = "about"


def _about(shop: Workshop, chosen: str) -> Iterable[Option]:
    for kind, things in shop.everything(None, map(ItemKind, ABOUT_KINDS)).items():
        for thing in things:
            value = f"{kind}/{thing.id}"
            if not thing.deleted or value == chosen:
                yield Option(value, thing.name, TYPES[kind].heading)


def _of(name: str, kind: ItemKind) -> ExtraField:
    """The choice of a thing that is referred to, among those that may be and the one that is."""

    def options(shop: Workshop, chosen: str) -> Iterable[Option]:
        for thing in shop.things(kind, None):
            if not thing.deleted or thing.id == chosen:
                yield Option(thing.id, thing.name)

    one = Field(name, "", shape="choice", needed=True)
    return ExtraField(
        one, lambda was: str(was.fields[name]), lambda text: {name: text}, options, bool
    )


def _about_said(text: str) -> dict[str, Any]:
    kind, _, id = text.partition("/")
    return {"about_kind": kind, "about_id": id}


def _about_chosen(text: str) -> bool:
    kind, _, id = text.partition("/")
    return bool(id) and kind in ABOUT_KINDS


def foot_drawings(locale: Locale) -> tuple[str, str]:
    """Where to measure a foot, from outside and from above, each measure with its number."""
    return foot_side_svg(locale, Theme.PAGE), foot_plan_svg(locale, Theme.PAGE)


def read_machine(document: Mapping[str, Any]) -> Machine | None:
    """The machine of a kept document; None for one that no longer reads."""
    problems: list[Any] = []
    machine = MACHINE.read(document, Place("", problems))
    return machine if isinstance(machine, Machine) and not problems else None


PAGES: Mapping[ItemKind, KindPages] = {
    ItemKind.PERSON: KindPages(
        KindWords(
            _("Add a person"),
            _("A new person"),
            _("No people yet."),
            _("The people who wear your socks, with the measures of both feet."),
            _("Plan a pair for this person"),
        ),
        headings=(_("Foot length"), _("Not measured yet")),
        facts=facts.person,
        numbers={f"foot.{name}": one.number for name, one in foot_measures().items()},
        drawings=foot_drawings,
        plans={"person": "id"},
    ),
    ItemKind.YARN: KindPages(
        KindWords(
            _("Add a yarn"),
            _("A new yarn"),
            _("No yarns yet."),
            _("The yarns on your shelf, and how much is left of each."),
            _("Plan a pair with this yarn"),
        ),
        headings=(_("Fineness"), _("Fibres"), _("On hand")),
        facts=facts.yarn,
        extras=(
            ExtraField(
                Field("used_up", "", shape="tick", hint=_("nothing is left of it")),
                lambda was: "true" if was.fields["used_up"] else "",
                lambda text: {"used_up": text == "true"},
            ),
        ),
        extras_after=7,
        plans={"yarn.main": "id"},
        gauge={"yarn": "id"},
    ),
    ItemKind.MACHINE: KindPages(
        KindWords(
            _("Add a machine"),
            _("A new machine"),
            _("No machines yet."),
            _("Each machine with its cylinders and your names for its parts."),
            _("Plan a pair on this machine"),
        ),
        headings=(_("Cylinders"), _("Last serviced")),
        facts=facts.machine,
        extras=(
            ExtraField(
                Field(
                    "serviced",
                    "",
                    shape="day",
                    hint=_("swatches knitted before that day may no longer match it"),
                    without=_("not noted"),
                ),
                lambda was: was.fields["serviced"] or "",
                lambda text: {"serviced": text or None},
            ),
        ),
        extras_after=2,
        machine=read_machine,
        plans={"machine": "id"},
        gauge={"machine": "id"},
    ),
    ItemKind.SWATCH: KindPages(
        KindWords(
            _("Add a swatch"),
            _("A new swatch"),
            _("No swatches yet."),
            _("A measured swatch shows what your yarn does on your machine."),
            _("Plan a pair with this swatch"),
        ),
        headings=(
            _("Yarn"),
            _("Machine"),
            _("Needles"),
            _("Cam"),
            _("Knitted on"),
            _("Still valid?"),
        ),
        facts=facts.swatch,
        extras=(_of("yarn_id", ItemKind.YARN), _of("machine_id", ItemKind.MACHINE)),
        extras_after=1,
        plans={"yarn.main": "yarn_id", "machine": "machine_id"},
        gauge={"yarn": "yarn_id", "machine": "machine_id", "swatch": "id"},
    ),
    ItemKind.DESIGN: KindPages(
        KindWords(
            _("Add a design"),
            _("A new design"),
            _("No designs yet."),
            _(
                "How a sock is made: cuff, leg, heel and toe. Sockwright chooses what a design "
                "leaves open."
            ),
            _("Plan a pair with this design"),
        ),
        headings=(_("Cuff"), _("Leg"), _("Heel"), _("Toe")),
        facts=facts.design,
        extras=(ExtraField(Field("name", "", needed=True), lambda was: was.name, lambda text: {}),),
        plans={"design": "id"},
    ),
    ItemKind.NOTE: KindPages(
        KindWords(
            _("Add a note"),
            _("A new note"),
            _("No notes yet."),
            _("Anything you want to remember about people, yarns, machines and socks."),
        ),
        headings=(_("About"),),
        facts=facts.note,
        extras=(
            ExtraField(
                Field(ABOUT, "", shape="choice", needed=True),
                lambda was: f"{was.fields['about_kind']}/{was.fields['about_id']}",
                _about_said,
                _about,
                _about_chosen,
            ),
        ),
    ),
    ItemKind.SOCK: KindPages(
        first=_("planned"),
        changed=pair_deed,
        tells_changes=False,
    ),
}

KINDS = tuple(kind for kind, pages in PAGES.items() if pages.words)
"""The kinds with pages here; pairs have pages of their own."""


def ids_of(thing: Thing, fields: Mapping[str, str]) -> dict[str, str]:
    """The ids that `fields` name of a thing, by their keys."""
    return {key: thing.id if of == "id" else thing.fields[of] for key, of in fields.items()}


def extra_texts(kind: ItemKind, state: State) -> dict[str, str]:
    """What stands in the extra fields of a thing."""
    return {one.field.path: one.shown(state) for one in PAGES[kind].extras}


def extra_items(shop: Workshop, kind: ItemKind, texts: Texts) -> tuple[Field, ...]:
    """The extra fields of a kind, with what there is to choose from."""
    return tuple(_item(shop, kind, one, texts) for one in PAGES[kind].extras)


def _item(shop: Workshop, kind: ItemKind, one: ExtraField, texts: Texts) -> Field:
    path, text = one.field.path, texts.get(one.field.path, "")
    options = tuple(one.choices(shop, text))
    return replace(one.field, label=label(kind, path), text=text, options=options)


def extra_fields(kind: ItemKind, texts: Texts) -> tuple[dict[str, Any], list[Problem]]:
    """What the extra fields say, as the workshop takes it, and what only they can say is wrong."""
    found: dict[str, Any] = {}
    lacking = []
    for one in PAGES[kind].extras:
        text = clean(texts.get(one.field.path, ""))
        found |= one.said(text)
        if not one.chosen(text):
            wrong, right = _("is not chosen"), _("choose one from this workshop")
            lacking.append(Problem(one.field.path, wrong, right))
    return found, lacking
