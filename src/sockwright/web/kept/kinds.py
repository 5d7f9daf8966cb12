"""The kinds of things with a list and a form of their own: where they lie, what they are called."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sockwright.errors import Problem
from sockwright.store.items import ItemKind, State, Thing
from sockwright.web.forms.items import Field, Option
from sockwright.web.forms.labels import label
from sockwright.web.forms.texts import Texts, clean
from sockwright.web.pairs_kept import FOLDERS
from sockwright.words.said import said
from sockwright.workshop.workshop import Workshop


@dataclass(frozen=True)
class KindWords:
    """What the pages of a kind say: the list's heading, how to add one, what an empty list says."""

    heading: str
    add: str
    new: str
    none_yet: str
    lead: str
    plan: str = ""
    """What the link says that plans with one, "" for what is not planned with."""


WORDS: Mapping[ItemKind, KindWords] = {
    ItemKind.PERSON: KindWords(
        said("People"),
        said("Add a person"),
        said("A new person"),
        said("Nobody is kept yet."),
        said("Whoever wears the socks, with the measures of both feet."),
        said("Plan a pair for this person"),
    ),
    ItemKind.YARN: KindWords(
        said("Yarns"),
        said("Add a yarn"),
        said("A new yarn"),
        said("No yarn is kept yet."),
        said("What lies on the shelf, and how much is left of it."),
        said("Plan a pair of this yarn"),
    ),
    ItemKind.MACHINE: KindWords(
        said("Machines"),
        said("Add a machine"),
        said("A new machine"),
        said("No machine is kept yet."),
        said("Each with its cylinders, and what you call its parts."),
        said("Plan a pair on this machine"),
    ),
    ItemKind.SWATCH: KindWords(
        said("Swatches"),
        said("Add a swatch"),
        said("A new swatch"),
        said("No swatch is kept yet."),
        said("A measured piece tells what your yarn becomes on your machine."),
        said("Plan a pair by this swatch"),
    ),
    ItemKind.DESIGN: KindWords(
        said("Designs"),
        said("Add a design"),
        said("A new design"),
        said("No design is kept yet."),
        said("How a sock is made: cuff, leg, heel and toe. What a design leaves open is chosen."),
        said("Plan a pair of this design"),
    ),
    ItemKind.NOTE: KindWords(
        said("Notes"),
        said("Add a note"),
        said("A new note"),
        said("No note is kept yet."),
        said("Whatever is worth knowing of anything kept here."),
    ),
}

KINDS = tuple(WORDS)
"""The kinds with pages here; pairs have pages of their own."""


def list_address(kind: ItemKind) -> str:
    """Where all of a kind are listed."""
    return f"/{FOLDERS[kind]}"


USED_UP, SERVICED, NAME, ABOUT = "used_up", "serviced", "name", "about"
KNITTED: Mapping[str, ItemKind] = {"yarn_id": ItemKind.YARN, "machine_id": ItemKind.MACHINE}
"""What a swatch was knitted of and on."""

ABOUT_KINDS = (
    ItemKind.PERSON,
    ItemKind.YARN,
    ItemKind.MACHINE,
    ItemKind.DESIGN,
    ItemKind.SWATCH,
    ItemKind.SOCK,
)
"""What a note may be about."""


def extra_texts(kind: ItemKind, state: State) -> dict[str, str]:
    """What stands in the extra fields of a thing."""
    fields = state.fields
    if kind is ItemKind.YARN:
        return {USED_UP: "true" if fields[USED_UP] else ""}
    if kind is ItemKind.MACHINE:
        return {SERVICED: fields[SERVICED] or ""}
    if kind is ItemKind.SWATCH:
        return {name: fields[name] for name in KNITTED}
    if kind is ItemKind.DESIGN:
        return {NAME: state.name}
    return {ABOUT: f"{fields['about_kind']}/{fields['about_id']}"} if kind is ItemKind.NOTE else {}


def extra_items(shop: Workshop, kind: ItemKind, texts: Texts) -> tuple[Field, ...]:
    """The extra fields of a kind, with what there is to choose from."""
    if kind is ItemKind.YARN:
        hint = said("nothing is left of it")
        return (_field(kind, USED_UP, texts, shape="tick", hint=hint),)
    if kind is ItemKind.MACHINE:
        hint = said("swatches knitted before that day may no longer tell of it")
        return (_field(kind, SERVICED, texts, shape="day", hint=hint, without=said("not noted")),)
    if kind is ItemKind.SWATCH:
        return tuple(
            _choice(kind, name, texts, _options(shop.things(of, None), texts.get(name, "")))
            for name, of in KNITTED.items()
        )
    if kind is ItemKind.DESIGN:
        return (_field(kind, NAME, texts, needed=True),)
    if kind is ItemKind.NOTE:
        return (_choice(kind, ABOUT, texts, tuple(_about_options(shop, texts.get(ABOUT, "")))),)
    return ()


def extra_fields(kind: ItemKind, texts: Texts) -> tuple[dict[str, Any], list[Problem]]:
    """What the extra fields say, as the workshop takes it, and what only they can say is wrong."""
    given = {name: clean(texts.get(name, "")) for name in (USED_UP, SERVICED, ABOUT, *KNITTED)}
    if kind is ItemKind.YARN:
        return {USED_UP: given[USED_UP] == "true"}, []
    if kind is ItemKind.MACHINE:
        return {SERVICED: given[SERVICED] or None}, []
    if kind is ItemKind.SWATCH:
        lacking = [_not_chosen(name) for name in KNITTED if not given[name]]
        return {name: given[name] for name in KNITTED}, lacking
    if kind is ItemKind.NOTE:
        of_kind, _, id = given[ABOUT].partition("/")
        lacking = [] if id and of_kind in ABOUT_KINDS else [_not_chosen(ABOUT)]
        return {"about_kind": of_kind, "about_id": id}, lacking
    return {}, []


def _not_chosen(name: str) -> Problem:
    return Problem(name, said("is not chosen"), said("choose one of those kept here"))


def _field(kind: ItemKind, name: str, texts: Texts, **more: Any) -> Field:
    return Field(name, label(kind, name), text=texts.get(name, ""), **more)


def _choice(kind: ItemKind, name: str, texts: Texts, options: tuple[Option, ...]) -> Field:
    return _field(kind, name, texts, shape="choice", needed=True, options=options)


def _options(things: Iterable[Thing], chosen: str) -> tuple[Option, ...]:
    """The things that may be chosen, and the one that is, deleted or not."""
    return tuple(
        Option(thing.id, thing.name) for thing in things if not thing.deleted or thing.id == chosen
    )


def _about_options(shop: Workshop, chosen: str) -> Iterable[Option]:
    for kind, things in shop.everything(None, ABOUT_KINDS).items():
        heading = said("Pairs") if kind is ItemKind.SOCK else WORDS[kind].heading
        for thing in things:
            value = f"{kind}/{thing.id}"
            if not thing.deleted or value == chosen:
                yield Option(value, thing.name, heading)
