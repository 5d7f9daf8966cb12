"""A short-row cup, heel or toe: how many rows it takes and what they are worth in length."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, hypot

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import Count, Estimate, asked, counted, exactly, wished
from sockwright.i18n import Message, _, numeral
from sockwright.order.model import CupGiven, Widening

FEWEST_KEPT = 4
SPENCER = _("D. J. Spencer, Knitting Technology, 3rd ed., pp. 265-266")

LABELS = {
    "heel_kept": _("needles in work at the heel's narrowest"),
    "heel_deep_kept": _("needles in work at the outer limits"),
    "heel_rows": _("heel rows"),
    "toe_kept": _("needles in work at the toe's narrowest"),
    "toe_rows": _("toe rows"),
}


@dataclass(frozen=True)
class Cup:
    """A cup on `needles` needles narrowed to `kept`, raising `first_raise` needles in each of the
    first two rows and one a row after that."""

    needles: int
    kept: int
    widening: Widening = Widening.WRAPPED_NEAR
    first_raise: int = 1

    @property
    def raised(self) -> int:
        """Needles raised in narrowing and lowered in widening."""
        return self.needles - self.kept

    @property
    def narrowing_rows(self) -> int:
        """Rows of the narrowing: one a needle, two fewer when the first two rows raise two."""
        return self.raised - 2 * (self.first_raise - 1)

    @property
    def widening_rows(self) -> int:
        """Rows of the widening, one a needle in every family we knit."""
        return self.raised

    @property
    def rows(self) -> int:
        """All rows; each adds a course to the middle wale."""
        return self.narrowing_rows + self.widening_rows

    @property
    def lopsided(self) -> int:
        """Courses that the first needle knits more than the last. Narrowing gives the first one
        more; lowering at the carrier gives it back to the last, at the far end doubles it."""
        far = (Widening.WRAPPED_FAR, Widening.TWO_DOWN_ONE_UP)
        return 2 if self.widening in far else 0

    @property
    def share(self) -> float:
        """Courses on each side of the fold: half the rows."""
        return self.rows / 2

    def girth_mm(self, wale_mm: float, course_mm: float) -> float:
        """Relaxed girth round heel and instep of a heel with this cup, mm.

        The heel half across, the kept needles across, and twice the slope between them (flat
        geometry of the cup).
        """
        across = (self.needles + self.kept) * wale_mm
        slope = hypot(self.raised * wale_mm / 2, self.raised * course_mm)
        return across + 2 * slope

    def turn(self, wale_mm: float, course_mm: float) -> float:
        """How far the cup turns the tube, radians: the angle between its first and its last row at
        the corner, laid flat (geometry of two right trapezoids joined along their slopes)."""
        side = self.raised / 2 * wale_mm
        both = (self.narrowing_rows, self.widening_rows)
        return sum(atan2(rows * course_mm, side) for rows in both)

    @property
    def words(self) -> Message:
        """Its rows and needles in words."""
        return _(
            "{rows} rows, {needles} needles narrowed to {kept}",
            rows=self.rows,
            needles=self.needles,
            kept=self.kept,
        )


def default_kept(needles: int) -> int:
    """Needles kept at the narrowest: the number nearest a third that leaves an even number to
    raise, at least four (Spencer, Knitting Technology, pp. 265-266, for the third)."""
    choices = range(max(FEWEST_KEPT, 2 - needles % 2), needles, 1)
    even = [kept for kept in choices if (needles - kept) % 2 == 0]
    return min(even, key=lambda kept: (abs(kept - needles / 3), kept))


def _kept(name: str, needles: int, wish: int | None) -> Count:
    """Needles kept, as asked for or by default, and where they come from."""
    key, label = f"sizing.{name}", LABELS[name]
    if wish is not None:
        return asked(key, label, wish, f"order.{name}")
    kept, third = default_kept(needles), needles / 3
    formula = _("the number nearest a third of the heel's needles that leaves an even number")
    count = counted(kept, key, label, formula, SPENCER, "published", (exactly(needles),))
    if third == kept:
        return count
    rounding = _(
        "{exact} became {count}, so that an even number is raised",
        exact=numeral(f"{third:.4g}"),
        count=kept,
    )
    exact = Estimate(third, 0.0, "needle")
    return Count(kept, replace(count.how, exact=exact, rounding=rounding))


def kept_of(cups: tuple[Cup, ...]) -> Count | None:
    """Needles kept by the first of these cups, None where there is none."""
    kept = cups[0].kept if cups else None
    return kept if isinstance(kept, Count) else None


def rows_of(part: str, cups: tuple[Cup, ...]) -> Count:
    """All rows of a "heel" or "toe" that is made of these cups, the main one last."""
    main = cups[-1]
    formula = _("one row for every needle raised, and one for every needle lowered")
    if main.first_raise > 1:
        formula = _(
            "one row for every needle raised, two fewer as the first two rows raise two each, and "
            "one for every needle lowered"
        )
    if len(cups) > 1:
        formula = _("{rows}, of both cups", rows=formula)
    label = _("needles raised in the first rows")
    raised = wished(f"order.{part}_first_raise", label, main.first_raise)
    kept = (exactly(cup.kept) for cup in reversed(cups))
    return counted(
        sum(cup.rows for cup in cups),
        f"sizing.{part}_rows",
        LABELS[f"{part}_rows"],
        formula,
        SPENCER,
        "published",
        (exactly(main.needles), *kept, raised),
    )


def kept_choices(needles: int) -> tuple[int, ...]:
    """Every number of kept needles a cup on `needles` can have."""
    return tuple(k for k in range(FEWEST_KEPT, needles - 1) if (needles - k) % 2 == 0)


def size_cup(needles: int, given: CupGiven, path: str, above: int = 0) -> Cup:
    """The cup for a heel or toe on `needles`; refuses what cannot be turned, and offers what can,
    with more than `above` needles kept."""
    kept = _kept(path.removeprefix("sock.").replace(".", "_"), needles, given.kept)
    choices = kept_choices(needles)
    if kept not in choices:
        fits = [k for k in choices if above < k <= needles - 2 * given.first_raise]
        near = sorted(fits, key=lambda k: abs(k - kept))[:2]
        raise CannotMake(
            _(
                "{path}: {kept} of {needles} needles cannot stay in work; the needles raised "
                "must be an even number, two or more, and at least four stay",
                path=path,
                kept=kept,
                needles=needles,
            ),
            tuple(
                Offer(
                    _("leave {kept} in work", kept=k),
                    _("{rows} rows", rows=Cup(needles, k, given.widening, given.first_raise).rows),
                    {path.removeprefix("sock."): k},
                )
                for k in sorted(near)
            ),
        )
    if given.first_raise == 2 and needles - kept < 4:
        raise CannotMake(
            _(
                "{path}: raising two needles in the first two rows needs four to raise, not "
                "{raised}",
                path=path,
                raised=needles - kept,
            ),
            (
                Offer(
                    _("raise one a row"),
                    _("a slightly larger hole at the corners"),
                    {path.removeprefix("sock.").replace("kept", "first_raise"): 1},
                ),
            ),
        )
    return Cup(needles, kept, given.widening, given.first_raise)
