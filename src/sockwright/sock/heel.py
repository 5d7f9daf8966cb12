"""Heels as kinds: each answers for its rows, its length, its outline, its numbers and its words.

A kind that is new needs a class here, its line in KINDS, and its builder in `program/heel.py`;
nothing else asks which kind a heel is.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import ClassVar

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.order.model import HeelGiven, PouchGiven, PouchKind
from sockwright.sock.cup import Cup, size_cup
from sockwright.words import Said, phrase, said


class Heel(ABC):
    """A sized heel of any kind."""

    kind: ClassVar[PouchKind]
    wedge_rounds: int = 0
    """Whole rounds between its cups."""
    parts_round: ClassVar[bool] = True
    """Whether the last round of the leg is parted by it: one half before, the other after it."""
    tube_rounds: ClassVar[int] = 0
    """Rounds of a tube of its own, knitted once the sock is off."""
    corner: Estimate = Estimate(0.0, 0.0, "mm")
    """Length that the turn from leg to foot is worth in each of them beyond all courses."""
    tight_words: ClassVar[str] = phrase(
        "round heel and instep the sock measures {girth} and the foot "
        "{heel}, {stretch:.0f} % more: a deeper heel would sit "
        "better (fewer kept needles, or outer limits with wedge rounds)"
    )
    """What to say where the foot is much wider round heel and instep than the sock."""

    @property
    @abstractmethod
    def cups(self) -> tuple[Cup, ...]:
        """Its cups in the order in which they are knitted, the main one last."""

    @property
    @abstractmethod
    def share(self) -> float:
        """Courses that it is worth on each side of its fold, along the sole and up the back."""

    @property
    @abstractmethod
    def words(self) -> Said:
        """What is knitted, in words."""

    @property
    def rows(self) -> int:
        """All its rows."""
        return sum(cup.rows for cup in self.cups)

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

    def numbers(self) -> dict[str, int | bool | None]:
        """Its counts as the plan's data have them."""
        outer, main = self.cups[:-1], self.cups[-1:]
        return {
            "heel_kept": next((cup.kept for cup in main), None),
            "heel_doubled": next((cup.first_raise == 2 for cup in main), None),
            "heel_rows": self.rows,
            "heel_deep_kept": next((cup.kept for cup in outer), None),
            "wedge_rounds": self.wedge_rounds,
        }


@dataclass(frozen=True)
class ShortRow(Heel):
    """A short-row cup; for a deeper heel with a shallow cup before it, and rounds between them."""

    kind: ClassVar[PouchKind] = PouchKind.SHORT_ROW
    cup: Cup
    deep: Cup | None = None
    wedge_rounds: int = 0

    @property
    def cups(self) -> tuple[Cup, ...]:
        """The shallow cup, if any, and the main one."""
        return (self.cup,) if self.deep is None else (self.deep, self.cup)

    @property
    def share(self) -> float:
        """Half of all its courses."""
        return sum(courses for courses, _ in self.stretches) / 2

    @property
    def words(self) -> Said:
        """The rows of its cups, and the rounds between them."""
        if self.deep is None:
            return self.cup.words
        return said(
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

    kind: ClassVar[PouchKind] = PouchKind.AFTERTHOUGHT
    tube_rounds: ClassVar[int] = 1
    cup: Cup

    @property
    def cups(self) -> tuple[Cup, ...]:
        """The one cup."""
        return (self.cup,)

    @property
    def share(self) -> float:
        """Half of the cup's rows, and the round over both edges."""
        return self.cup.share + self.tube_rounds

    @property
    def words(self) -> Said:
        """The rows of its cup."""
        return self.cup.words


@dataclass(frozen=True)
class NoHeel(Heel):
    """Leg and foot are one tube on twice `half` needles, which turns where the wearer's heel is.

    Measured to the heel point and from the floor, a tube that turns is longer than its middle line:
    outside it lies along sole and heel, inside across the instep. `corner` is that difference.
    """

    kind: ClassVar[PouchKind] = PouchKind.NONE
    parts_round: ClassVar[bool] = False
    tight_words: ClassVar[str] = phrase(
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

    @property
    def share(self) -> float:
        """No courses."""
        return 0.0

    @property
    def words(self) -> Said:
        """That there is none."""
        return said("leg and foot are one tube")

    def girth_mm(self, wale_mm: float, course_mm: float) -> float:
        """Relaxed girth of the tube, mm."""
        return 2 * self.half * wale_mm

    def turn(self, wale_mm: float, course_mm: float) -> float:
        """Laid flat a tube is straight."""
        return 0.0


def size_heel(given: HeelGiven, needles: int, foot_mm: float) -> Heel:
    """The heel on a half of `needles` needles of a sock for a foot of `foot_mm`, its ease taken
    off. Raises CannotMake, with offers."""
    return KINDS[given.kind](given, needles, foot_mm)


def _short_row(given: HeelGiven, needles: int, foot_mm: float) -> Heel:
    cup = _main_cup(given, needles)
    if given.deep_kept is None:
        return ShortRow(cup)
    if given.deep_kept <= cup.kept or cup.raised <= 2:
        raise CannotMake(
            said(
                "sock.heel.deep_kept: the outer limits keep {outer} needles; they must keep "
                "more than the {kept} of the heel itself and leave two to raise",
                outer=given.deep_kept,
                kept=cup.kept,
            ),
            _deeper_offers(cup, needles),
        )
    deep = PouchGiven(given.deep_kept, given.pouch.widening, 1)
    outer = size_cup(needles, deep, "sock.heel.deep_kept", cup.kept)
    return ShortRow(cup, outer, given.wedge_rounds)


def _afterthought(given: HeelGiven, needles: int, foot_mm: float) -> Heel:
    return Afterthought(_main_cup(given, needles))


def _none(given: HeelGiven, needles: int, foot_mm: float) -> Heel:
    turn = fact("fit", "tube_turn_by_length").estimate
    return NoHeel(needles, Estimate(turn.value * foot_mm, turn.sd * foot_mm, "mm"))


def _main_cup(given: HeelGiven, needles: int) -> Cup:
    return size_cup(needles, given.pouch, "sock.heel.kept")


def _deeper_offers(cup: Cup, needles: int) -> tuple[Offer, ...]:
    """Outer limits that would do, or none where the heel itself leaves no room for them."""
    if cup.raised <= 2:
        return (Offer(said("no outer limits"), said("the heel is shallow as it is")),)
    outer = min(cup.kept + 6, needles - 2)
    return (
        Offer(said("keep {outer} at the outer limits", outer=outer), said("a shallow first cup")),
    )


KINDS: Mapping[PouchKind, Callable[[HeelGiven, int, float], Heel]] = {
    PouchKind.SHORT_ROW: _short_row,
    PouchKind.AFTERTHOUGHT: _afterthought,
    PouchKind.NONE: _none,
}
"""How the kind that an order names is sized."""
