"""Counting rounds and rows as the person at the machine does, and as her counter does."""

from __future__ import annotations

from collections import Counter as Bag
from dataclasses import dataclass, field, replace

from sockwright import steps as op
from sockwright.i18n import N_
from sockwright.i18n.locale import Amount, Sentence
from sockwright.i18n.messages import capital
from sockwright.machine import Counting
from sockwright.needlebed.bed import State
from sockwright.needlebed.execute import Execution
from sockwright.wording.instructions import Count, group_steps
from sockwright.wording.nouns import Terms


@dataclass(frozen=True)
class CountedStep:
    """A count, and what is said of it before and after the cranking."""

    count: Count
    before: tuple[Sentence, ...]
    after: tuple[Sentence, ...]


@dataclass
class _Rounds:
    """Rounds that add up, and the instructions that knit them."""

    count: float = 0.0
    by: tuple[int, ...] = ()

    def add(self, count: float, number: int | None = None) -> None:
        """So many more, all of them in instruction `number` if they may be more or fewer."""
        self.count += count
        self.by += () if number is None else (number,)

    def amount(self, more: float = 0, each: float = 1.0) -> Amount:
        """As it is told, with `more` that are sure to come."""
        return Amount(self.count + more, self.by, each)


@dataclass
class _Stretch:
    """Rounds of one section, or rows of one cup: how many there are, how many are done."""

    section: op.Section
    of: _Rounds = field(default_factory=_Rounds)
    done: _Rounds = field(default_factory=_Rounds)


@dataclass(frozen=True)
class SectionRounds:
    """The section whose rounds were counted last: its rounds, those begun, and whether the last of
    them is only begun."""

    section: op.Section
    of: Amount
    done: Amount
    whole: Amount
    half: bool


class SectionCounter:
    """Counts up as a program is worded, section after section; a section that comes again is
    counted anew. A round parted by other work belongs to the section that began it. Rounds in
    waste yarn and cord are not counted, and the counter is set to 0 before the first round of the
    sock (common practice)."""

    def __init__(self, run: Execution, terms: Terms) -> None:
        self.sentence = terms.sentence
        self.render = terms.render
        self.machine = terms.machine.counter
        self.sections = _stretches(run)
        self.current = -1
        self.parted: tuple[int, Count] | None = None
        self.rounds_of = _Rounds()
        for stretch in self.sections:
            self.rounds_of.add(stretch.of.count)
            self.rounds_of.by += stretch.of.by
        self.rows_of = _rows_of_the_sock(run)
        self.rounds_done = _Rounds()
        self.rows_done = 0
        self.rows = (0, 0)
        self.value = _Rounds()
        self.zero_due = True
        self.moved = True
        self.zeroed = False

    @property
    def now(self) -> _Stretch:
        """The section being worked."""
        return self.sections[self.current]

    @property
    def reading(self) -> Amount:
        """What the counter shows."""
        return self.value.amount(each=self._per_round())

    def enter(self, section: op.Section) -> None:
        """Before each instruction: notice where a section begins."""
        if self.current < 0 or self.now.section is not section:
            self.current += 1
            self.zero_due = self.zero_due or self.machine.restarts

    def last_section(self) -> SectionRounds:
        """The section whose rounds were counted last."""
        worked = [part for part in self.sections[: self.current + 1] if part.done.count]
        last = worked[-1] if worked else self.now
        done = last.done
        half = self.parted is not None
        return SectionRounds(
            last.section, last.of.amount(), done.amount(), done.amount(-half), half
        )

    def waste(self) -> None:
        """Rounds of waste or cord go uncounted; a counter that moves with them is wrong after."""
        self.moved = True

    def rounds(self, count: int, number: int) -> CountedStep:
        """`count` whole rounds of the sock, knitted in instruction `number`."""
        before = self._ready()
        first = self.now.done.amount(1)
        self.now.done.add(count, number)
        self.rounds_done.add(count, number)
        self.value.add(count * self._per_round(), number)
        told = self._count(first, self.value.count)
        whole = told.first == 1 and told.last == told.of
        so_far = () if whole else (self._say_count(N_("{section}: {last} of {of}."), self.now),)
        return CountedStep(told, before, (*so_far, self.shows()))

    def part(self, before: State, after: State) -> CountedStep | None:
        """The part of a round that begins it at home, or the rest that brings it there; None for
        what lies between, and for the rest of a row."""
        if self.parted is None:
            return self._begin() if before.at_home() else None
        return self._rest() if after.at_home() else None

    def _begin(self) -> CountedStep:
        before = self._ready()
        self.now.done.add(1)
        count = replace(self._count(self.now.done.amount(), self.value.count), complete=False)
        self.parted = (self.current, count)
        text = self._say_count(N_("{section}: round {last} of {of} begins."), self.now)
        return CountedStep(
            count,
            before,
            (text, self.sentence("Leave the counter at {reading}.", reading=self.reading)),
        )

    def _rest(self) -> CountedStep:
        assert self.parted is not None
        begun, count = self.parted
        self.parted = None
        self.rounds_done.add(1)
        restart = begun != self.current and self.machine.restarts
        if restart:
            self.value = _Rounds()
        else:
            self.value.add(self._per_round())
        self.zero_due, self.moved, self.zeroed = False, False, restart
        total = int(self.rounds_done.count)
        count = replace(count, total=total, complete=True, counter=self.value.count)
        text = self._say_count(
            N_("{section}: round {last} of {of} is complete."), self.sections[begun]
        )
        then = self.sentence("Set the counter to {reading}.", reading=self.reading)
        if restart:
            then = self.sentence("Then set the counter to 0.")
        return CountedStep(count, (), (text, then))

    def row(self, rows_together: int, *, waste: bool) -> CountedStep:
        """One of `rows_together` rows that make a cup. Rows in `waste`, drawn out later, are none
        of the sock's."""
        done, of = self.rows
        done, of = (1, rows_together) if done == of else (done + 1, of)
        self.rows = (done, of)
        if waste:
            self.moved = self.moved or self.machine.counts is not Counting.ROUNDS
            count = Count("row", done, done, of, self.rows_done, self.rows_of, False)
            return CountedStep(count, (), ())
        self.rows_done += 1
        before: tuple[Sentence, ...] = ()
        reading, counter = None, []
        if self.machine.counts is Counting.PASSES:
            before = self._ready()
            self.value.add(1)
            reading, counter = self.value.count, [self.shows()]
        elif done == 1:
            counter = [self._not_counted()]
        count = Count("row", done, done, of, self.rows_done, self.rows_of, True, reading)
        return CountedStep(count, before, tuple(counter))

    def _not_counted(self) -> Sentence:
        """Rows on a counter that is not meant for them; one that goes with the handle has moved."""
        if self.machine.counts is Counting.ROUNDS:
            return self.sentence("The counter does not count rows: go by the row numbers.")
        self.moved = True
        return self.sentence("Handle turns do not count rows: go by the row numbers.")

    def _ready(self) -> tuple[Sentence, ...]:
        """Bring the counter to where the count is, if it is not there."""
        if self.zero_due:
            needed = self.moved or self.value.count
            self.value = _Rounds()
            said = (self.sentence("Set the counter to 0 first."),) if needed else ()
        else:
            reading = self.reading
            said = (
                (self.sentence("Set the counter to {reading} first.", reading=reading),)
                if self.moved
                else ()
            )
        if self.zeroed and not said:
            said = (self.sentence("The counter stands at 0; if not, set it to 0."),)
        self.zero_due = self.moved = self.zeroed = False
        return said

    def _per_round(self) -> float:
        by_handle = self.machine.counts is Counting.HANDLE_TURNS
        return self.machine.handle_turns_per_round if by_handle else 1.0

    def _count(self, first: Amount, reading: float) -> Count:
        now, done, of = self.now, int(self.rounds_done.count), int(self.rounds_of.count)
        last, all_of = int(now.done.count), int(now.of.count)
        return Count("round", int(first.value), last, all_of, done, of, True, reading)

    def _say_count(self, text: str, stretch: _Stretch) -> Sentence:
        section = capital(self.render(stretch.section.value))
        last, of = stretch.done.amount(), stretch.of.amount()
        return self.sentence(text, section=section, last=last, of=of)

    def shows(self) -> Sentence:
        """What the counter shows, in words."""
        by_handle = self.machine.counts is Counting.HANDLE_TURNS
        if by_handle:
            return self.sentence("Handle turns: {reading}.", reading=self.reading)
        return self.sentence("Counter: {reading}.", reading=self.reading)


def _rows_of_the_sock(run: Execution) -> int:
    """Rows of a program but those in waste."""
    count, waste = 0, True
    for step in run.program.steps:
        waste = step.removable if isinstance(step, op.Thread) else waste
        count += isinstance(step, op.Row) and not waste
    return count


def _stretches(run: Execution) -> list[_Stretch]:
    """Each run of steps of one section, with the sock's rounds that begin in it."""
    stretches: list[_Stretch] = []
    parted, waste = False, True
    for number, (start, end) in enumerate(group_steps(run.program.steps), 1):
        for place, step in enumerate(run.program.steps[start:end], start):
            if not stretches or stretches[-1].section is not step.section:
                stretches.append(_Stretch(step.section))
            if isinstance(step, op.Thread):
                waste = step.removable
            elif isinstance(step, op.Rounds) and not waste:
                stretches[-1].of.add(step.count, number)
            elif isinstance(step, op.PartRound) and not waste:
                if not parted and run.states[place].at_home():
                    parted = True
                    stretches[-1].of.add(1)
                elif parted and run.states[place + 1].at_home():
                    parted = False
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
