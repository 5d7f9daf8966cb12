"""The program as it is printed: steps, rows as tables, and what is done as before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import groupby
from typing import NamedTuple

from sockwright import steps as op
from sockwright.i18n import N_, Locale
from sockwright.i18n.locale import Sentence
from sockwright.wording.instructions import HandAction, Instruction

FEWEST_ROWS = 4
"""Rows from which on a table is shorter than sentences."""
MOST_ROWS_DIFFERENT = 2
"""Rows of a cup that may differ from those of one before for it to be told by that one's table."""
FEWEST_ALIKE = 3
"""Instructions from which on a second sock's are told to be those of the first."""
WEIGHTS_SIGN = "*"
"""Before the needles of a row whose heel weights are moved first."""
HEADS = {
    "row": N_("row"),
    "raise": N_("raise"),
    "lower": N_("lower"),
    "lower_far": N_("lower, far end"),
    "wrap": N_("wrap"),
    "crank": N_("crank"),
    "past": N_("past"),
    "left": N_("in work"),
    "counter": N_("counter"),
    "forward": N_("forward"),
    "reverse": N_("reverse"),
}
"""The heads of a table of rows, and the ways of its crank."""
RULE = N_(
    "Read the tables of rows across: raise or lower, wrap, crank past, needles then in work. "
    "The first row of each kind is written out."
)


class RowTable(NamedTuple):
    """The heads of a table's columns, and its cells line by line."""

    heads: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Half:
    """The rows of a cup that narrow it or widen it, and what they are called."""

    title: str
    rows: tuple[Instruction, ...]

    @property
    def turn(self) -> str:
        """What is said at its end."""
        return "" if self.rows[-1].turn is None else f"{self.rows[-1].turn}"

    @property
    def deeds(self) -> tuple[HandAction, ...]:
        """What hands do before one of the rows or another, a column each; weights are a sign."""
        done = {hand.deed for row in self.rows for hand in row.hands}
        return tuple(
            deed for deed in (HandAction.RAISE, HandAction.LOWER, HandAction.WRAP) if deed in done
        )

    def table(self, locale: Locale) -> RowTable:
        """The rows in columns: row, deeds, crank, past, left."""
        far = {deed: self._far(deed) for deed in self.deeds}
        counts = any(_counter(row) not in (None, row.count and row.count.last) for row in self.rows)
        deeds = [f"{deed}_far" if there else f"{deed}" for deed, there in far.items()]
        names = ("row", *deeds, "crank", "past", "left", *(("counter",) if counts else ()))
        heads = tuple(locale.render(HEADS[name]) for name in names)
        lines = (_line(row, far, locale) for row in self.rows)
        if not counts:
            return RowTable(heads, tuple(lines))
        shown = (f"{_counter(row):g}" for row in self.rows)
        counted = tuple((*line, text) for line, text in zip(lines, shown, strict=True))
        return RowTable(heads, counted)

    def _far(self, deed: HandAction) -> bool:
        """Whether all of a column is done at the far end."""
        hands = [hand for row in self.rows for hand in row.hands if hand.deed is deed]
        return deed is HandAction.LOWER and all(hand.far for hand in hands)


def _line(row: Instruction, far: Mapping[HandAction, bool], locale: Locale) -> tuple[str, ...]:
    """The cells of a row but for the counter; `far` are its columns of deeds, and whether the head
    says at the far end."""
    assert row.count is not None
    assert row.across is not None
    across = row.across
    deeds = [_cell(row, deed, locale, told=told) for deed, told in far.items()]
    if any(hand.deed is HandAction.WEIGHTS for hand in row.hands):
        deeds[0] = WEIGHTS_SIGN + deeds[0]
    past = locale.render("{needle}, stop", needle=across.past) if across.stops else f"{across.past}"
    way = locale.render(HEADS[across.way.value])
    return (f"{row.count.last}", *deeds, way, past, f"{across.working}")


def _cell(row: Instruction, deed: HandAction, locale: Locale, *, told: bool) -> str:
    """The needles to which a deed is done before a row; `told` is that the head says at the far
    end."""
    hands = [hand for hand in row.hands if hand.deed is deed]
    needles = ", ".join(str(n) for hand in hands for n in hand.needles)
    far = deed is HandAction.LOWER and not told and any(hand.far for hand in hands)
    return locale.render("{needles} far", needles=needles) if far else needles


@dataclass(frozen=True)
class Rows:
    """Rows to be printed as a table: `told` are the first of each kind, to be told in full; `cups`
    are the sections that knit them, the first as numbered here."""

    rows: tuple[Instruction, ...]
    told: tuple[Instruction, ...]
    cups: tuple[op.Section, ...]

    def lines(self, locale: Locale) -> Iterator[str]:
        """The first row of each kind in full."""
        for row in self.told:
            assert row.count is not None
            yield locale.render("Row {row} in full. {said}", row=row.count.last, said=row.text)

    def weights_told(self, locale: Locale) -> str | None:
        """What the sign of the heel weights means; None where they are not moved."""
        moved = [row for row in self.told if HandAction.WEIGHTS in _deeds(row)]
        if not moved or moved[0].count is None:
            return None
        return locale.render(
            "{sign} Heel weights first, as in row {row}: higher, one in the middle, the others "
            "one needle in from each end of those in work.",
            sign=WEIGHTS_SIGN,
            row=moved[0].count.last,
        )

    @property
    def halves(self) -> tuple[Half, ...]:
        """The narrowing, then the widening."""
        narrowing = [_deeds(row) <= {HandAction.RAISE, HandAction.WEIGHTS} for row in self.rows]
        many = narrowing.index(False) if False in narrowing else len(narrowing)
        both = ((N_("Narrowing"), self.rows[:many]), (N_("Widening"), self.rows[many:]))
        return tuple(Half(title, rows) for title, rows in both if rows)


@dataclass(frozen=True)
class AsBefore:
    """Instructions `first`..`last` that are done as those from `like` on, the `rows` of them by the
    table of `cup`; `different` are the sentences that differ, by instruction."""

    first: int
    last: int
    like: int
    rows: int
    cup: op.Section
    different: tuple[tuple[int, tuple[Sentence, ...]], ...]

    @property
    def like_last(self) -> int:
        """The last of the instructions that are repeated."""
        return self.like + self.last - self.first

    def lines(self, locale: Locale) -> Iterator[str]:
        """What is said of it: what it is like, and what is not."""
        yield locale.render(
            "To {last}: as {like} to {like_last}, the {cup}, its {rows} rows by the same table.",
            last=self.last,
            like=self.like,
            like_last=self.like_last,
            rows=self.rows,
            cup=locale.render(self.cup.value),
        )
        for number, sentences in self.different:
            text = " ".join(map(str, sentences))
            yield locale.render("But {number}: {said}", number=number, said=text)


@dataclass(frozen=True)
class AsFirst:
    """Instructions `first`..`last` of a second sock that are those of the first from `like` on,
    word for word."""

    section: op.Section
    first: int
    last: int
    like: int

    def lines(self, locale: Locale) -> Iterator[str]:
        """What is said of it."""
        like_last = self.like + self.last - self.first
        yield locale.render(
            "To {last}: as {like} to {like_last} of the first sock.",
            last=self.last,
            like=self.like,
            like_last=like_last,
        )


Block = Instruction | Rows | AsBefore | AsFirst


@dataclass(frozen=True)
class Part:
    """A section of the sock and what is printed of it."""

    section: op.Section
    blocks: tuple[Block, ...]


def printed(told: Sequence[Instruction]) -> tuple[Part, ...]:
    """A program for print: each instruction once and in order, whether by itself, in a table of
    rows or as done before."""
    return _parts((_section(block, told), block) for block in _blocks(told))


def printed_second(told: Sequence[Instruction], first: Sequence[Instruction]) -> tuple[Part, ...]:
    """A second sock's program for print, as what differs from the first sock's."""
    same = SequenceMatcher(None, [one.text for one in first], [one.text for one in told], False)
    blocks: list[Block] = []
    for tag, start, __, place, end in same.get_opcodes():
        if tag == "equal" and end - place >= FEWEST_ALIKE:
            blocks.append(AsFirst(told[place].section, place + 1, end, start + 1))
        else:
            blocks += told[place:end]
    return _parts((_section(block, told), block) for block in blocks)


def _parts(placed: Iterable[tuple[op.Section, Block]]) -> tuple[Part, ...]:
    return tuple(
        Part(section, tuple(block for _, block in group))
        for section, group in groupby(placed, key=lambda one: one[0])
    )


def printed_steps(parts: Sequence[Part]) -> int:
    """How many steps there are to read: a row of a table is one, and so is what is as before."""
    blocks = [block for part in parts for block in part.blocks]
    return sum(len(block.rows) if isinstance(block, Rows) else 1 for block in blocks)


def _section(block: Block, told: Sequence[Instruction]) -> op.Section:
    if isinstance(block, Instruction | AsFirst):
        return block.section
    return block.cups[0] if isinstance(block, Rows) else told[block.last - 1].section


def _blocks(told: Sequence[Instruction]) -> list[Block]:
    tables = _tables(told)
    repeats = dict(_repeats(told, tables))
    blocks: list[Block] = []
    place = 0
    while place < len(told):
        if place in repeats:
            blocks.append(repeats[place])
            place = repeats[place].last
        elif place in tables:
            rows = tuple(told[place : tables[place]])
            again = [one for one in repeats.values() if one.like <= place + 1 <= one.like_last]
            cups = (rows[0].section, *(told[one.last - 1].section for one in again))
            blocks.append(Rows(rows, _first_of_kind(rows), cups))
            place = tables[place]
        else:
            blocks.append(told[place])
            place += 1
    return blocks


def _tables(told: Sequence[Instruction]) -> dict[int, int]:
    """Place of the first of some rows that come together -> place after the last."""
    found, place = {}, 0
    for row, group in groupby(told, key=lambda one: (one.across is not None, one.yarn)):
        count = len(list(group))
        if row[0] and count >= FEWEST_ROWS:
            found[place] = place + count
        place += count
    return found


def _repeats(told: Sequence[Instruction], tables: dict[int, int]) -> Iterator[tuple[int, AsBefore]]:
    """By place: tables that are knitted as one before, with what is alike around them."""
    known: list[int] = []
    for start, end in tables.items():
        like = next((one for one in known if _same_rows(told, start, end, one, tables)), None)
        if like is None:
            known.append(start)
            continue
        first, last, back = start, end, start - like
        while first > like + end - start and _alike(told[first - 1], told[first - 1 - back]):
            first -= 1
        while last < len(told) and last - back < first and _alike(told[last], told[last - back]):
            last += 1
        pairs = ((told[n], told[n - back]) for n in range(first, last))
        different = ((one.number, _differing(one, other)) for one, other in pairs)
        yield (
            first,
            AsBefore(
                first + 1,
                last,
                first + 1 - back,
                end - start,
                told[like].section,
                tuple((number, said) for number, said in different if said),
            ),
        )


def _same_rows(
    told: Sequence[Instruction], start: int, end: int, like: int, tables: dict[int, int]
) -> bool:
    if tables[like] - like != end - start:
        return False
    pairs = list(zip(told[start:end], told[like:], strict=False))
    if any(_counter(one) != _counter(other) for one, other in pairs):
        return False
    return sum(not _same_row(one, other) for one, other in pairs) <= MOST_ROWS_DIFFERENT


def _same_row(one: Instruction, other: Instruction) -> bool:
    return (one.hands, one.across) == (other.hands, other.across)


def _counter(row: Instruction) -> float | None:
    return None if row.count is None else row.count.counter


def _alike(one: Instruction, other: Instruction) -> bool:
    """Whether both say to do the same, however far the count is."""
    if len(one.items) != len(other.items) or (one.count is None) != (other.count is None):
        return False
    return str(one.deed[-1]) == str(other.deed[-1]) or bool(one.items)


def _differing(one: Instruction, other: Instruction) -> tuple[Sentence, ...]:
    if one.across is not None:
        return () if _same_row(one, other) else one.sentences
    known = {str(said) for said in (*other.sentences, *other.items)}
    return tuple(said for said in one.items or one.sentences if str(said) not in known)


def _deeds(row: Instruction) -> set[HandAction]:
    return {hand.deed for hand in row.hands}


def _first_of_kind(rows: Sequence[Instruction]) -> tuple[Instruction, ...]:
    """The first row of each kind of work, and the first whose weights are moved."""
    known: set[object] = set()
    first = []
    for row in rows:
        assert row.across is not None
        hands = [(hand.deed, hand.far) for hand in row.hands if hand.deed is not HandAction.WEIGHTS]
        kinds = {(*hands, row.across.stops)} | (_deeds(row) & {HandAction.WEIGHTS})
        if kinds - known:
            first.append(row)
            known |= kinds
    return tuple(first)
