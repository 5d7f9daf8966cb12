"""The crank program in plain sentences, for one machine and in its user's own words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from sockwright import steps as op
from sockwright.machine.model import Machine
from sockwright.needlebed.execute import Executed, Execution
from sockwright.wording.checks import Moment, checklist
from sockwright.wording.conventions import cautions, conventions
from sockwright.wording.counts import Tally, Told, rows_together
from sockwright.wording.cups import FoundCup, find_cups
from sockwright.wording.hands import change_yarn, overlap, removed, sentence
from sockwright.wording.instructions import Count, Instruction, group_steps, merged
from sockwright.wording.nouns import Talk
from sockwright.wording.phrases import load_phrases
from sockwright.wording.rows import brief_row, narrowest, row_sentences

__all__ = ["Count", "Instruction", "cautions", "conventions", "write_instructions"]


def write_instructions(
    run: Execution,
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
    return tuple(_Writer(run, machine, units, language, yarn_names or {}).instructions())


Said = tuple[Sequence[str], Sequence[str], Count | None]
"""All that is said of a group of steps, what of it is to be done, and the count."""


class _Writer:
    """Words an executed program group by group, counting as it goes."""

    def __init__(
        self,
        run: Execution,
        machine: Machine,
        units: str,
        language: str,
        yarn_names: Mapping[str, str],
    ) -> None:
        phrases, program = load_phrases(language), run.program
        self.run = run
        self.program = program
        self.talk = Talk(phrases, machine, program.needles, units, yarn_names)
        self.tally = Tally(program, machine, phrases)
        self.cups = find_cups(run)
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
            covers = tuple(range(start + 1, end + 1))
            said, deed, count = self._group([self.run.at(each) for each in covers])
            yield Instruction(number, section, join(said), covers, count, join(deed))

    def _group(self, done: Sequence[Executed]) -> Said:
        last = done[-1]
        if isinstance(last.step, op.Row):
            return self._row(done)
        if isinstance(last.step, op.Rounds | op.PartRound):
            return self._forward(last)
        if isinstance(last.step, op.Check):
            ahead = self.program.steps[last.number :]
            moment = Moment(
                self.talk, last.before, self.tally, self.program.dial, self.ribber, ahead
            )
            return _uncounted([checklist(last.step.change, moment)])
        if isinstance(last.step, op.Thread):
            return _uncounted(self._thread(done, last.step))
        return _uncounted(list(self._plain(done)))

    def _row(self, done: Sequence[Executed]) -> Said:
        place = done[-1].number - 1
        cup = self._cup_at(place)
        brief = brief_row(self.talk, done)
        self.talk.use_limits_of(cup)
        section = done[-1].step.section
        said = row_sentences(self.talk, done, wrap_told=self.wrap_told is section)
        if any(isinstance(each.step, op.Wrap) for each in done):
            self.wrap_told = section
        told = self.tally.row(cup, place, self.together[place])
        if cup is not None and place == cup.narrowest:
            said.append(narrowest(self.talk, cup))
        self.talk.use_limits_of(None)
        return _around(told, said), [brief], told.count

    def _cup_at(self, place: int) -> FoundCup | None:
        return next((cup for cup in self.cups if cup.first <= place <= cup.last), None)

    def _forward(self, done: Executed) -> Said:
        step, yarn = done.step, self.talk.yarn(done.before.yarn)
        place = self.talk.place(done.after)
        if isinstance(step, op.Rounds):
            key = "step.rounds" if step.count > 1 else "step.round"
            said = self.talk.say(key, count=step.count, yarn=yarn, place=place)
            if done.before.yarn in self.removable:
                self.tally.waste()
                return _uncounted([said])
            told = self.tally.rounds(step.count)
        else:
            assert isinstance(step, op.PartRound)
            said = self.talk.say("step.part_round", yarn=yarn, place=place)
            half = done.before.at_home() and step.last == self.talk.half
            told = self.tally.part(half=half)
        return _around(told, [said]), [*told.before, said], told.count

    def _thread(self, done: Sequence[Executed], thread: op.Thread) -> list[str]:
        old, first = done[0].before.yarn, done[0].step
        if thread.removable:
            self.removable.add(thread.yarn)
        if not isinstance(first, op.CutYarn):
            return [sentence(self.talk, done[-1])]
        said = [change_yarn(self.talk, first, old, thread.yarn)]
        if not self.removable & {old, thread.yarn}:
            said.append(overlap(self.talk, self._next_to_knit(done[-1].number)))
        return said

    def _next_to_knit(self, number: int) -> int:
        """The first needle to knit after step `number`."""
        for place in range(number, len(self.program.steps)):
            step, at = self.program.steps[place], self.run.states[place]
            if isinstance(step, op.Row):
                return at.span()[step.way is op.Way.REVERSE]
            if isinstance(step, op.Rounds | op.PartRound):
                working, gap = at.working(), at.gap % at.needles
                return next((needle for needle in working if needle > gap), working[0])
        return 1

    def _plain(self, done: Sequence[Executed]) -> Iterator[str]:
        steps = merged([each.step for each in done])
        for place, step in enumerate(steps):
            if isinstance(step, op.RemoveNeedles) and place:
                yield removed(self.talk, step.needles)
            else:
                yield sentence(self.talk, replace(done[place], step=step))


def _uncounted(said: Sequence[str]) -> Said:
    return said, said, None


def _around(told: Told, said: Sequence[str]) -> list[str]:
    return [*told.before, *said, *told.after]
