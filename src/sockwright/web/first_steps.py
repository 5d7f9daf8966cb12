"""What somebody does first in a workshop, and which of it is done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sockwright.store.items import ItemKind, Thing
from sockwright.words.said import said


@dataclass(frozen=True)
class Step:
    """One of the first things to do, why, where, and whether it is done; `sheet` is the address of
    a printed sheet that helps, "" for none."""

    words: str
    why: str
    address: str
    done: bool
    sheet: str = ""


_STEPS = (
    (
        ItemKind.PERSON,
        said("Add a person"),
        said("whose feet are known by a few measures, or only by a shoe size"),
        "/people/new",
        "",
    ),
    (ItemKind.YARN, said("Add a yarn"), said("what its band says is enough"), "/yarns/new", ""),
    (
        ItemKind.MACHINE,
        said("Add your machine"),
        said("its cylinders, and which way it turns"),
        "/machines/new",
        "",
    ),
    (
        ItemKind.SWATCH,
        said("Knit and measure a swatch"),
        said("without one, every length and width of the sock is rough"),
        "/swatches/new",
        "/sheets/swatch.pdf",
    ),
    (
        ItemKind.SOCK,
        said("Plan a pair"),
        said("choose the three, look at the sock in numbers, keep the pair"),
        "/plan",
        "",
    ),
)


def first_steps(things: Mapping[ItemKind, Iterable[Thing]]) -> tuple[Step, ...]:
    """The steps, while any is left to do; what belongs to the example is not one's own."""
    steps = tuple(
        Step(
            words,
            why,
            address,
            any(not thing.example for thing in things[kind]),
            sheet,
        )
        for kind, words, why, address, sheet in _STEPS
    )
    return () if all(step.done for step in steps) else steps
