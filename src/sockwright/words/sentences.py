"""Sentences in pieces: what stands, and the numbers that move when more is knitted than planned."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from sockwright.words.tongue import Tongue, template_parts


@dataclass(frozen=True)
class Amount:
    """A number of a sentence: `each` more of it for every round more in one of the instructions
    `by` (their numbers). Told whole where it is whole, else to a tenth."""

    value: float
    by: tuple[int, ...] = ()
    each: float = 1.0

    def __format__(self, spec: str) -> str:
        return f"{round(self.value, 1):.10g}"


@dataclass(frozen=True)
class Sentence:
    """A sentence in one language: texts and amounts, to be put one after the other."""

    pieces: tuple[str | Amount, ...]
    tongue: Tongue = field(compare=False, repr=False)

    def __str__(self) -> str:
        told = (p if isinstance(p, str) else self.tongue.numeral(f"{p}") for p in self.pieces)
        return "".join(told)


def sentence_of(tongue: Tongue, template: str, values: Mapping[str, object]) -> Sentence:
    """A template of this language with its fields filled in, each value told; amounts stay."""
    pieces: list[str | Amount] = []
    for piece in _pieces(tongue, template, values):
        if isinstance(piece, str) and pieces and isinstance(pieces[-1], str):
            pieces[-1] += piece
        elif piece != "":
            pieces.append(piece)
    return Sentence(tuple(pieces), tongue)


def _pieces(tongue: Tongue, template: str, values: Mapping[str, object]) -> Iterable[str | Amount]:
    parts = template_parts(template)
    assert parts is not None, template
    for literal, name, spec in parts:
        yield literal
        value = "" if name is None else values[name]
        if isinstance(value, Amount):
            yield value if value.by else tongue.numeral(f"{value}")
        else:
            yield tongue.field(value, spec)
