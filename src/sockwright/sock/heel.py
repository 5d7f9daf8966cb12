"""Heels as kinds: each answers for its rows, its length, its outline, its numbers and its words.

A kind that is new needs a class here, its line in KINDS, and its builder in `program/heel.py`;
nothing else asks which kind a heel is.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import (
    THE_ORDER,
    Count,
    Estimate,
    Propagated,
    asked,
    counted,
    exactly,
)
from sockwright.facts import fact
from sockwright.i18n import N_, Message, _
from sockwright.order.model import CupGiven, HeelGiven, HeelKind
from sockwright.sock.cup import LABELS, Cup, kept_of, rows_of, size_cup

OF_SOCK = _("geometry of the sock")


def _wedge_rounds(wish: int | None) -> Count:
    """Whole rounds between the cups of a heel; `wish` is None where it has but one."""
    key, label = "sizing.wedge_rounds", _("wedge rounds")
    if wish is not None:
        return asked(key, label, wish, "order.wedge_rounds")
    return counted(0, key, label, _("only between the two cups of a deep heel"), THE_ORDER)


NO_WEDGE = _wedge_rounds(None)


class Heel(ABC):
    """A sized heel of any kind."""

    kind: ClassVar[HeelKind]
    wedge_rounds: Count = NO_WEDGE
    """Whole rounds between its cups."""
    parts_round: ClassVar[bool] = True
    """Whether the last round of the leg is parted by it: one half before, the other after it."""
    tube_rounds: ClassVar[int] = 0
    """Rounds of a tube of its own, knitted once the sock is off."""
    corner: Estimate = Estimate(0.0, 0.0, "mm")
    """Length that the turn from leg to foot is worth in each of them beyond all courses."""
    tight_words: ClassVar[str] = N_(
        "round heel and instep the sock measures {girth} and the foot {heel}, {stretch:.0f} % "
        "more: a deeper heel would sit better (fewer needles left in work, or outer limits with "
        "wedge rounds)"
    )
    """What to say where the foot is much wider round heel and instep than the sock."""

    @property
    @abstractmethod
    def cups(self) -> tuple[Cup, ...]:
        """Its cups in the order in which they are knitted, the main one last."""

    @property
    @abstractmethod
    def courses(self) -> Propagated:
        """Courses that it is worth on each side of its fold, and what they come from."""

    @property
    def share(self) -> float:
        """Courses that it is worth on each side of its fold, along the sole and up the back."""
        return self.courses.value

    @property
    @abstractmethod
    def words(self) -> Message:
        """What is knitted, in words."""

    @cached_property
    def rows(self) -> Count:
        """All its rows."""
        return rows_of("heel", self.cups)

    @property
    def lopsided(self) -> int:
        """Courses that its first needle knits more than its last."""
        return sum(cup.lopsided for cup in self.cups)

    @property
    def stretches(self) -> tuple[tuple[int, Cup | None], ...]:
        """(courses, their cup or None for whole rounds) that follow one another from the leg to
        the foot, along the middle wale."""
        found: list[tuple[int, Cup | None]] = []
        for cup in self.cups:
            found += [(self.wedge_rounds, None)] if found else []
            found.append((cup.rows, cup))
        return tuple(found)

    def girth_mm(self, wale_mm: float, course_mm: float) -> float:
        """Relaxed girth round heel and instep, mm."""
        return self.cups[-1].girth_mm(wale_mm, course_mm)

    def turn(self, wale_mm: float, course_mm: float) -> float:
        """How far it turns the tube when the sock is laid flat, radians; 0 for a straight tube."""
        return self.cups[-1].turn(wale_mm, course_mm)

    @property
    def kept(self) -> Count | None:
        """Needles kept at the narrowest."""
        return kept_of(self.cups[-1:])

    @property
    def deep_kept(self) -> Count | None:
        """Needles kept at the outer limits of a deep heel."""
        return kept_of(self.cups[:-1])

    def corner_at(self, long: Propagated) -> Propagated:
        """The `corner` of a sock `long` mm, with which it grows."""
        return self.corner * (long / long.value)

    @property
    def turn_length(self) -> Estimate | None:
        """`corner` where there is such a turn."""
        return self.corner if self.corner.value else None


@dataclass(frozen=True)
class ShortRow(Heel):
    """A short-row cup; for a deeper heel with a shallow cup before it, and rounds between them."""

    kind: ClassVar[HeelKind] = HeelKind.SHORT_ROW
    cup: Cup
    deep: Cup | None = None
    wedge_rounds: Count = NO_WEDGE

    @property
    def cups(self) -> tuple[Cup, ...]:
        """The shallow cup, if any, and the main one."""
        return (self.cup,) if self.deep is None else (self.deep, self.cup)

    @cached_property
    def courses(self) -> Propagated:
        """Half of its rows and of the rounds between them."""
        rows = self.rows.number
        return (rows if self.deep is None else rows + exactly(self.wedge_rounds)) / 2

    @property
    def words(self) -> Message:
        """The rows of its cups, and the rounds between them."""
        if self.deep is None:
            return self.cup.words
        return _(
            "{rows} rows to {kept}, {wedge} wedge rounds, then {cup}",
            rows=self.deep.rows,
            kept=self.deep.kept,
            wedge=self.wedge_rounds,
            cup=self.cup.words,
        )


@dataclass(frozen=True)
class Afterthought(Heel):
    """A cup knitted last, on a tube of its own: its two edges are hung again where rows of waste
    were drawn out."""

    kind: ClassVar[HeelKind] = HeelKind.AFTERTHOUGHT
    tube_rounds: ClassVar[int] = 1
    cup: Cup

    @property
    def cups(self) -> tuple[Cup, ...]:
        """The one cup."""
        return (self.cup,)

    @cached_property
    def courses(self) -> Propagated:
        """Half of the cup's rows, and the round over both edges."""
        return self.rows.number / 2 + self.tube_rounds

    @property
    def words(self) -> Message:
        """The rows of its cup."""
        return self.cup.words


@dataclass(frozen=True)
class NoHeel(Heel):
    """Leg and foot are one tube on twice `half` needles, which turns where the wearer's heel is.

    Measured to the heel point and from the floor, a tube that turns is longer than its middle line:
    outside it lies along sole and heel, inside across the instep. `corner` is that difference.
    """

    kind: ClassVar[HeelKind] = HeelKind.NONE
    parts_round: ClassVar[bool] = False
    tight_words: ClassVar[str] = N_(
        "without a heel the tube ({girth}) stays opened round heel and instep ({heel}) by "
        "{stretch:.0f} % as long as it is worn: make sure that the swatch opens so far with ease; "
        "more needles or a ribbed instep help"
    )
    half: int
    corner: Estimate

    @property
    def cups(self) -> tuple[Cup, ...]:
        """None."""
        return ()

    @cached_property
    def rows(self) -> Count:
        """No rows."""
        formula = _("leg and foot are one tube, without a heel")
        return counted(0, "sizing.heel_rows", LABELS["heel_rows"], formula, THE_ORDER)

    @cached_property
    def courses(self) -> Propagated:
        """No courses."""
        return Propagated(0.0, {})

    @property
    def words(self) -> Message:
        """That there is none."""
        return _("leg and foot are one tube")

    def girth_mm(self, wale_mm: float, course_mm: float) -> float:
        """Relaxed girth of the tube, mm."""
        return 2 * self.half * wale_mm

    def turn(self, wale_mm: float, course_mm: float) -> float:
        """Laid flat a tube is straight."""
        return 0.0


def size_heel(given: HeelGiven, needles: int, long: Propagated) -> Heel:
    """The heel on a half of `needles` needles of a sock `long` mm, the foot's length less the
    ease. Raises CannotMake, with offers."""
    return KINDS[given.kind](given, needles, long)


def _short_row(given: HeelGiven, needles: int, long: Propagated) -> Heel:
    cup = _main_cup(given, needles)
    if given.deep_kept is None:
        return ShortRow(cup)
    if given.deep_kept <= cup.kept or cup.raised <= 2:
        raise CannotMake(
            _(
                "sock.heel.deep_kept: the outer limits leave {outer} needles in work; that must "
                "be more than the {kept} of the heel itself, with two left to raise",
                outer=given.deep_kept,
                kept=cup.kept,
            ),
            _deeper_offers(cup, needles),
        )
    deep = CupGiven(given.deep_kept, given.cup.widening, 1)
    outer = size_cup(needles, deep, "sock.heel.deep_kept", cup.kept)
    return ShortRow(cup, outer, _wedge_rounds(given.wedge_rounds))


def _afterthought(given: HeelGiven, needles: int, long: Propagated) -> Heel:
    return Afterthought(_main_cup(given, needles))


def _none(given: HeelGiven, needles: int, long: Propagated) -> Heel:
    """The foot's length makes none of the error of its turn: it is that of the foot the sock is
    planned for."""
    turn = fact("fit", "tube_turn_by_length")
    by_length = turn.called("fit.tube_turn_by_length", _("turn of a tube ÷ length"))
    corner = (by_length * long.value).named(
        "sizing.heel_corner",
        _("length that the turn is worth"),
        "mm",
        _("turn ÷ length × foot length × (1 − length ease)"),
        OF_SOCK,
        also=(one.number for one in long.inputs()),
    )
    return NoHeel(needles, corner)


def _main_cup(given: HeelGiven, needles: int) -> Cup:
    return size_cup(needles, given.cup, "sock.heel.kept")


def _deeper_offers(cup: Cup, needles: int) -> tuple[Offer, ...]:
    """Outer limits that would do, or none where the heel itself leaves no room for them."""
    if cup.raised <= 2:
        return (Offer(_("no outer limits"), _("the heel is shallow as it is")),)
    outer = min(cup.kept + 6, needles - 2)
    return (
        Offer(
            _("leave {outer} in work at the outer limits", outer=outer),
            _("a shallow first cup"),
            {"heel.deep_kept": outer},
        ),
    )


KINDS: Mapping[HeelKind, Callable[[HeelGiven, int, Propagated], Heel]] = {
    HeelKind.SHORT_ROW: _short_row,
    HeelKind.AFTERTHOUGHT: _afterthought,
    HeelKind.NONE: _none,
}
"""How the kind that an order names is sized."""
