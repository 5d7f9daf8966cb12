"""Counting rounds and rows as the person at the machine does, and as her counter does."""

from __future__ import annotations

from collections import Counter as Bag
from dataclasses import dataclass, replace

from sockwright import steps as op
from sockwright.machine.model import Counting, Machine
from sockwright.wording.cups import FoundCup
from sockwright.wording.instructions import Count
from sockwright.wording.phrases import Phrases
from sockwright.words import Said, numeral


@dataclass(frozen=True)
class Told:
    """A count, and what is said of it before and after the cranking."""

    count: Count
    before: tuple[str, ...]
    after: tuple[str, ...]


@dataclass
class _Stretch:
    """Rounds of one section, or rows of one cup: how many there are, how many are done."""

    section: op.Section
    of: int
    done: int = 0


class Tally:
    """Counts up as a program is worded, section after section; a section that comes again is
    counted anew. A round parted by other work belongs to the section that began it. Rounds in
    waste yarn and cord are not counted, and the counter is set to 0 before the first round of the
    sock (common practice)."""

    def __init__(self, program: op.Program, machine: Machine, phrases: Phrases) -> None:
        self.say = phrases.say
        self.machine = machine.counter
        self.sections = _stretches(program)
        self.current = -1
        self.parted: tuple[int, Count] | None = None
        self.rounds_of = sum(stretch.of for stretch in self.sections)
        self.rows_of = sum(isinstance(step, op.Row) for step in program.steps)
        self.rounds_done = 0
        self.rows_done = 0
        self.rows = (0, 0)
        self.value = 0.0
        self.zero_due = True
        self.moved = True
        self.zeroed = False

    @property
    def now(self) -> _Stretch:
        """The section being worked."""
        return self.sections[self.current]

    def enter(self, section: op.Section) -> None:
        """Before each instruction: notice where a section begins."""
        if self.current < 0 or self.now.section is not section:
            self.current += 1
            self.zero_due = self.zero_due or self.machine.restarts

    def last_section(self) -> tuple[op.Section, int, int, bool]:
        """The section whose rounds were counted last: its rounds, those begun, and whether the
        last of them is only begun."""
        worked = [part for part in self.sections[: self.current + 1] if part.done]
        last = worked[-1] if worked else self.now
        return last.section, last.of, last.done, self.parted is not None

    def waste(self) -> None:
        """Rounds of waste or cord go uncounted; a counter that moves with them is wrong after."""
        self.moved = True

    def rounds(self, count: int) -> Told:
        """`count` whole rounds of the sock."""
        before = self._ready()
        first = self.now.done + 1
        self.now.done += count
        self.rounds_done += count
        self.value += count * self._per_round()
        done = self._count(first, self.now.done, self.value)
        text = self._say_count("count.rounds" if count > 1 else "count.round", done)
        return Told(done, before, (text, self._shows()))

    def part(self, *, half: bool) -> Told:
        """The part of a round that begins it, or the rest of a round begun."""
        return self._rest() if self.parted else self._begin(half)

    def _begin(self, half: bool) -> Told:
        before = self._ready()
        self.now.done += 1
        done = replace(self._count(self.now.done, self.now.done, self.value), complete=False)
        self.parted = (self.current, done)
        text = self._say_count("count.first_half" if half else "count.first_part", done)
        return Told(done, before, (text, self.say("counter.stays", reading=figure(self.value))))

    def _rest(self) -> Told:
        assert self.parted is not None
        begun, count = self.parted
        self.parted = None
        self.rounds_done += 1
        restart = begun != self.current and self.machine.restarts
        self.value = 0.0 if restart else self.value + self._per_round()
        self.zero_due, self.moved, self.zeroed = False, False, restart
        done = replace(count, total=self.rounds_done, complete=True, counter=self.value)
        text = self._say_count("count.rest", done, self.sections[begun].section)
        key = "counter.zero_after" if restart else "counter.complete"
        return Told(done, (), (text, self.say(key, reading=figure(self.value))))

    def row(self, cup: FoundCup | None, place: int, rows_together: int) -> Told:
        """One row, of `cup` if it belongs to one; `rows_together` rows make the cup."""
        done, of = self.rows
        done, of = (1, rows_together) if done == of else (done + 1, of)
        self.rows = (done, of)
        self.rows_done += 1
        before: tuple[str, ...] = ()
        reading, counter = None, []
        if self.machine.counts is Counting.PASSES:
            before = self._ready()
            self.value += 1
            reading, counter = self.value, [self._shows()]
        elif done == 1:
            counter = [self._not_counted()]
        count = Count("row", done, done, of, self.rows_done, self.rows_of, True, reading)
        total = self.say("count.row_total", total=self.rows_done, total_of=self.rows_of)
        return Told(count, (self._row_lead(count, cup, place), *before), (total, *counter))

    def _row_lead(self, count: Count, cup: FoundCup | None, place: int) -> str:
        if cup is None:
            return self.say("count.row", last=count.last, of=count.of)
        phase = self.say("cup.narrowing" if place <= cup.narrowest else "cup.widening")
        name = self.say(f"cup.{cup.name}")
        return self.say("count.row_of_cup", last=count.last, of=count.of, cup=name, phase=phase)

    def _not_counted(self) -> str:
        """Rows on a counter that is not meant for them; one that goes with the handle has moved."""
        if self.machine.counts is Counting.ROUNDS:
            return self.say("counter.no_rows")
        self.moved = True
        return self.say("counter.no_row_handle_turns")

    def _ready(self) -> tuple[str, ...]:
        """Bring the counter to where the count is, if it is not there."""
        if self.zero_due:
            needed = self.moved or self.value
            self.value = 0.0
            said = (self.say("counter.zero_first"),) if needed else ()
        else:
            reading = figure(self.value)
            said = (self.say("counter.set_first", reading=reading),) if self.moved else ()
        if self.zeroed and not said:
            said = (self.say("counter.stands_at_zero"),)
        self.zero_due = self.moved = self.zeroed = False
        return said

    def _per_round(self) -> float:
        by_handle = self.machine.counts is Counting.HANDLE_TURNS
        return self.machine.handle_turns_per_round if by_handle else 1.0

    def _count(self, first: int, last: int, reading: float) -> Count:
        of = self.now.of
        return Count("round", first, last, of, self.rounds_done, self.rounds_of, True, reading)

    def _say_count(self, key: str, count: Count, section: op.Section | None = None) -> str:
        return self.say(
            key,
            first=count.first,
            last=count.last,
            of=count.of,
            total=count.total,
            total_of=count.total_of,
            section=self.say(f"section.{(section or self.now.section).value}"),
        )

    def _shows(self) -> str:
        by_handle = self.machine.counts is Counting.HANDLE_TURNS
        key = "counter.shows_handle_turns" if by_handle else "counter.shows"
        return self.say(key, reading=figure(self.value))


def _stretches(program: op.Program) -> list[_Stretch]:
    """Each run of steps of one section, with the sock's rounds that begin in it."""
    stretches: list[_Stretch] = []
    parted, waste = False, True
    for step in program.steps:
        if not stretches or stretches[-1].section is not step.section:
            stretches.append(_Stretch(step.section, 0))
        if isinstance(step, op.Thread):
            waste = step.removable
        elif isinstance(step, op.Rounds) and not waste:
            stretches[-1].of += step.count
        elif isinstance(step, op.PartRound):
            parted = not parted
            stretches[-1].of += parted
    return stretches


def rows_together(program: op.Program) -> dict[int, int]:
    """For the place of every row, how many rows come with no round among them."""
    places: list[int] = []
    stretch_of: dict[int, int] = {}
    stretch = 0
    for place, step in enumerate(program.steps):
        if isinstance(step, op.Row):
            places.append(place)
            stretch_of[place] = stretch
        elif isinstance(step, op.Rounds | op.PartRound):
            stretch += 1
    sizes = Bag(stretch_of.values())
    return {place: sizes[stretch_of[place]] for place in places}


def figure(reading: float) -> Said:
    """A counter's reading: whole where it is whole, else to a tenth."""
    return numeral(f"{round(reading, 1):.10g}")
