"""The crank program in plain sentences, for one machine and in its user's own words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sockwright.machine.model import Machine
from sockwright.program import steps as op
from sockwright.program.checklists import Moment, checklist
from sockwright.program.found_cups import FoundCup, find_cups
from sockwright.program.instructions import Count, Instruction, group_steps, merged
from sockwright.program.phrases import load_phrases
from sockwright.program.preliminaries import cautions, conventions
from sockwright.program.rows import brief_row, narrowest, row_sentences
from sockwright.program.sentences import change_yarn, overlap, removed, sentence
from sockwright.program.standing import Standing
from sockwright.program.talk import Talk
from sockwright.program.tally import Tally, Told, rows_together

__all__ = ["Count", "Instruction", "cautions", "conventions", "write_instructions"]


def write_instructions(
    program: op.Program,
    machine: Machine,
    units: str = "cm",
    language: str = "en",
    yarn_names: Mapping[str, str] | None = None,
) -> tuple[Instruction, ...]:
    """One instruction for each thing the hands do, covering every step once and in order.

    `units` ("cm" or "in") are for tails; `yarn_names` maps the program's yarns to what the user
    calls them. Raises UnknownTongue for a language without a catalogue, KeyError for other
    units.
    """
    return tuple(_Writer(program, machine, units, language, yarn_names or {}).instructions())


Said = tuple[Sequence[str], Sequence[str], Count | None]
"""All that is said of a group of steps, what of it is to be done, and the count."""


class _Writer:
    """Words a program group by group, following the machine and the count as it goes."""

    def __init__(
        self,
        program: op.Program,
        machine: Machine,
        units: str,
        language: str,
        yarn_names: Mapping[str, str],
    ) -> None:
        phrases = load_phrases(language)
        self.program = program
        self.talk = Talk(phrases, machine, program.needles, units, yarn_names)
        self.tally = Tally(program, machine, phrases)
        self.at = Standing(program)
        self.cups = find_cups(program)
        self.together = rows_together(program)
        self.removable: set[str] = set()
        self.wrap_told: op.Section | None = None
        self.ribber = bool(program.dial) or any(
            cylinder.dial is not None and cylinder.needles == program.needles
            for cylinder in machine.cylinders
        )

    def instructions(self) -> Iterator[Instruction]:
        """Every instruction in order."""
        steps, join = self.program.steps, self.talk.say("list.sentences").join
        for number, (start, end) in enumerate(group_steps(steps), start=1):
            section = steps[start].section
            self.tally.enter(section)
            said, deed, count = self._group(start, end)
            covers = tuple(range(start + 1, end + 1))
            yield Instruction(number, section, join(said), covers, count, join(deed))

    def _group(self, start: int, end: int) -> Said:
        steps = self.program.steps[start:end]
        last = steps[-1]
        if isinstance(last, op.Row):
            return self._row(steps, end - 1)
        if isinstance(last, op.Rounds | op.PartRound):
            return self._forward(last)
        if isinstance(last, op.Check):
            ahead = self.program.steps[end:]
            moment = Moment(self.talk, self.at, self.tally, self.program.dial, self.ribber, ahead)
            return _uncounted([checklist(last.change, moment)])
        if isinstance(last, op.Thread):
            return _uncounted(self._thread(steps, last, end))
        return _uncounted(list(self._plain(steps)))

    def _row(self, steps: Sequence[op.Step], place: int) -> Said:
        cup = self._cup_at(place)
        brief = brief_row(self.talk, steps, self.at)
        self.talk.use_limits_of(cup)
        section = steps[-1].section
        said = row_sentences(self.talk, steps, self.at, wrap_told=self.wrap_told is section)
        if any(isinstance(step, op.Wrap) for step in steps):
            self.wrap_told = section
        told = self.tally.row(cup, place, self.together[place])
        if cup is not None and place == cup.narrowest:
            said.append(narrowest(self.talk, cup))
        self.talk.use_limits_of(None)
        return _around(told, said), [brief], told.count

    def _cup_at(self, place: int) -> FoundCup | None:
        return next((cup for cup in self.cups if cup.first <= place <= cup.last), None)

    def _forward(self, step: op.Rounds | op.PartRound) -> Said:
        yarn = self.talk.yarn(self.at.yarn)
        from_home = self.at.at_home()
        self.at.take(step)
        place = self.talk.place(self.at)
        if isinstance(step, op.Rounds):
            key = "step.rounds" if step.count > 1 else "step.round"
            said = self.talk.say(key, count=step.count, yarn=yarn, place=place)
            if self.at.yarn in self.removable:
                self.tally.waste()
                return _uncounted([said])
            told = self.tally.rounds(step.count)
        else:
            said = self.talk.say("step.part_round", yarn=yarn, place=place)
            told = self.tally.part(half=from_home and step.last == self.talk.half)
        return _around(told, [said]), [*told.before, said], told.count

    def _thread(self, steps: Sequence[op.Step], thread: op.Thread, end: int) -> list[str]:
        old, first = self.at.yarn, steps[0]
        if thread.removable:
            self.removable.add(thread.yarn)
        if isinstance(first, op.CutYarn):
            said = [change_yarn(self.talk, first, old, thread.yarn)]
            if not self.removable & {old, thread.yarn}:
                said.append(overlap(self.talk, self.at.next_to_knit(self.program.steps[end:])))
        else:
            said = [sentence(self.talk, thread, self.at)]
        for step in steps:
            self.at.take(step)
        return said

    def _plain(self, steps: Sequence[op.Step]) -> Iterator[str]:
        for place, step in enumerate(merged(steps)):
            if isinstance(step, op.RemoveNeedles) and place:
                yield removed(self.talk, step.needles)
            else:
                yield sentence(self.talk, step, self.at)
            self.at.take(step)


def _uncounted(said: Sequence[str]) -> Said:
    return said, said, None


def _around(told: Told, said: Sequence[str]) -> list[str]:
    return [*told.before, *said, *told.after]
