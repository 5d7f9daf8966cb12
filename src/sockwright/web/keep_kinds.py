"""The kinds of things with a list and a form of their own: where they lie, what they are called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sockwright.store.items import Kind
from sockwright.web.pairs import FOLDERS
from sockwright.words.said import said


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


WORDS: Mapping[Kind, KindWords] = {
    Kind.PERSON: KindWords(
        said("People"),
        said("Add a person"),
        said("A new person"),
        said("Nobody is kept yet."),
        said("Whoever wears the socks, with the measures of both feet."),
        said("Plan a pair for this person"),
    ),
    Kind.YARN: KindWords(
        said("Yarns"),
        said("Add a yarn"),
        said("A new yarn"),
        said("No yarn is kept yet."),
        said("What lies on the shelf, and how much is left of it."),
        said("Plan a pair of this yarn"),
    ),
    Kind.MACHINE: KindWords(
        said("Machines"),
        said("Add a machine"),
        said("A new machine"),
        said("No machine is kept yet."),
        said("Each with its cylinders, and what you call its parts."),
        said("Plan a pair on this machine"),
    ),
    Kind.SWATCH: KindWords(
        said("Swatches"),
        said("Add a swatch"),
        said("A new swatch"),
        said("No swatch is kept yet."),
        said("A measured piece tells what your yarn becomes on your machine."),
        said("Plan a pair by this swatch"),
    ),
    Kind.DESIGN: KindWords(
        said("Designs"),
        said("Add a design"),
        said("A new design"),
        said("No design is kept yet."),
        said("How a sock is made: cuff, leg, heel and toe. What a design leaves open is chosen."),
        said("Plan a pair of this design"),
    ),
    Kind.NOTE: KindWords(
        said("Notes"),
        said("Add a note"),
        said("A new note"),
        said("No note is kept yet."),
        said("Whatever is worth knowing of anything kept here."),
    ),
}

KINDS = tuple(WORDS)
"""The kinds with pages here; pairs have pages of their own."""


def list_address(kind: Kind) -> str:
    """Where all of a kind are listed."""
    return f"/{FOLDERS[kind]}"
