"""The crank program in plain sentences, for one machine and in its user's own words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from sockwright import steps as op
from sockwright.i18n import N_, locale_of
from sockwright.i18n.locale import Amount, Sentence
from sockwright.i18n.messages import capital
from sockwright.machine import Machine
from sockwright.needlebed.bed import State
from sockwright.needlebed.execute import Executed, Execution
from sockwright.wording.checks import Moment, checklist
from sockwright.wording.conventions import cautions, conventions
from sockwright.wording.counts import SectionCounter, rows_together
from sockwright.wording.hands import change_yarn, hold_ends, overlap, removed, sentence
from sockwright.wording.instructions import (
    Count,
    FoundCup,
    Hand,
    HandAction,
    Instruction,
    RowCrank,
    find_cups,
    group_steps,
    merged,
)
from sockwright.wording.nouns import Terms

CRANKS = {
    (op.Way.FORWARD, True): N_("forward past {needle}"),
    (op.Way.FORWARD, False): N_("forward only past {needle}, and stop"),
    (op.Way.REVERSE, True): N_("reverse past {needle}"),
    (op.Way.REVERSE, False): N_("reverse only past {needle}, and stop"),
}
"""The crank of a row in short, by its way and whether it goes right across."""
PREPARED = {
    (op.Raise, True): N_("Raise {needles}."),
    (op.Raise, False): N_("Raise {needles}, at the far end."),
    (op.Lower, True): N_("Lower {needles}, latch open."),
    (op.Lower, False): N_(
        "Lower {needles}, at the far end, latch open; watch it when the yarn comes."
    ),
}
"""What is done to needles before a row, by the step and whether it is on the carrier's side."""
WRAP = N_(
    "Wrap raised {needle} by hand: lay the yarn past it on the inside of the ring, round it on the "
    "side away from the working needles, and across it on the outside to the carrier."
)
WRAP_AGAIN = N_("Wrap raised {needle} as before.")

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
    calls them. Raises UnknownLanguage for a language without a catalogue, KeyError for other
    units.
    """
    return tuple(_Writer(run, machine, units, language, yarn_names or {}).instructions())


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
        program = run.program
        self.run = run
        self.program = program
        self.terms = Terms(locale_of(language), machine, program.needles, units, yarn_names)
        self.tally = SectionCounter(run, self.terms)
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
        for number, (start, end) in enumerate(group_steps(self.program.steps), start=1):
            self.tally.enter(self.program.steps[start].section)
            yield self._group(number, [self.run.at(each) for each in range(start + 1, end + 1)])

    def _group(self, number: int, done: Sequence[Executed]) -> Instruction:
        last = done[-1]
        if isinstance(last.step, op.Row):
            return self._row(number, done)
        if isinstance(last.step, op.Rounds | op.PartRound):
            return self._forward(number, last)
        if isinstance(last.step, op.Check):
            return self._check(number, last, last.step.change)
        if isinstance(last.step, op.Thread):
            said = self._sentences(self._thread(done, last.step))
        else:
            said = self._sentences(self._plain(done))
        return _instruction(number, done, said, said)

    def _check(self, number: int, done: Executed, change: op.Change) -> Instruction:
        ahead = self.program.steps[done.number :]
        dial = self.program.dial
        moment = Moment(self.terms, done.before, self.tally, dial, self.ribber, ahead)
        title, items = checklist(change, moment)
        return _instruction(number, [done], (title,), (title,), items=items)

    def _row(self, number: int, done: Sequence[Executed]) -> Instruction:
        place = done[-1].number - 1
        cup, hands = self._cup_at(place), hands_of(done)
        brief = brief_row(self.terms, done, hands)
        self.terms.use_limits_of(cup)
        section = done[-1].step.section
        said = row_sentences(self.terms, done, wrap_told=self.wrap_told is section)
        if any(hand.deed is HandAction.WRAP for hand in hands):
            self.wrap_told = section
        waste = done[-1].before.yarn in self.removable
        told = self.tally.row(self.together[place], waste=waste)
        turn = None
        if cup is not None and place == cup.narrowest:
            (turn,) = self._sentences([narrowest(self.terms, cup)])
        self.terms.use_limits_of(None)
        turns = () if turn is None else (turn,)
        sentences = (*told.before, *self._sentences(said), *turns, *told.after)
        deed = self._sentences([brief])
        one = _instruction(number, done, sentences, deed, count=told.count)
        return replace(one, hands=hands, across=across(done[-1]), turn=turn)

    def _sentences(self, said: Iterable[str]) -> tuple[Sentence, ...]:
        return tuple(Sentence((text,), self.terms.locale) for text in said)

    def _cup_at(self, place: int) -> FoundCup | None:
        return next((cup for cup in self.cups if cup.first <= place <= cup.last), None)

    def _forward(self, number: int, done: Executed) -> Instruction:
        step, sentence, after = done.step, self.terms.sentence, done.after
        if isinstance(step, op.Rounds):
            waste = done.before.yarn in self.removable
            count = Amount(step.count, () if waste else (number,))
            if step.count > 1:
                home = N_("Crank {count} rounds, and stop at home.")
                past = N_("Crank {count} rounds, and stop past {needle}.")
                said = self.terms.stop(after, home, past, count=count)
                short = sentence("Crank {count} rounds.", count=count)
            else:
                home = N_("Crank 1 round, and stop at home.")
                past = N_("Crank 1 round, and stop past {needle}.")
                said = self.terms.stop(after, home, past)
                short = sentence("Crank 1 round.")
            if waste:
                self.tally.waste()
                return _instruction(number, [done], (said,), (said,), short=short)
            told = self.tally.rounds(step.count, number)
        else:
            assert isinstance(step, op.PartRound)
            home = N_("Crank forward, and stop at home.")
            past = N_("Crank forward, and stop past {needle}.")
            said = self.terms.stop(after, home, past)
            short = sentence("Crank forward past needle {needle}.", needle=step.last)
            waste = done.before.yarn in self.removable
            part = None if waste else self.tally.part(done.before, done.after)
            if part is None:
                return _instruction(number, [done], (said,), (said,), short=short)
            told = part
        all_said = (*told.before, said, *told.after)
        deed = (*told.before, said)
        return _instruction(number, [done], all_said, deed, count=told.count, short=short)

    def _thread(self, done: Sequence[Executed], thread: op.Thread) -> list[str]:
        old, first = done[0].before.yarn, done[0].step
        if thread.removable:
            self.removable.add(thread.yarn)
        if not isinstance(first, op.CutYarn):
            return [sentence(self.terms, done[-1])]
        said = [change_yarn(self.terms, first, old, thread)]
        if thread.between:
            said.append(hold_ends(self.terms, thread.between))
        elif not self.removable & {old, thread.yarn}:
            said.append(overlap(self.terms, self._next_to_knit(done[-1].number)))
        return said

    def _next_to_knit(self, number: int) -> int:
        """The first needle to knit after step `number`."""
        for place in range(number, len(self.program.steps)):
            step, at = self.program.steps[place], self.run.states[place]
            if isinstance(step, op.Row):
                return at.span()[step.way is op.Way.REVERSE]
            if isinstance(step, op.Rounds | op.PartRound):
                working, gap = at.working(), at.gap % at.needles
                ahead = (needle for needle in working if needle > gap)
                return next(ahead, working[0] if working else 1)
        return 1

    def _plain(self, done: Sequence[Executed]) -> Iterator[str]:
        steps = merged([each.step for each in done])
        for place, step in enumerate(steps):
            if isinstance(step, op.RemoveNeedles) and place:
                yield removed(self.terms, step.needles)
            else:
                yield sentence(self.terms, replace(done[place], step=step))


def _instruction(
    number: int,
    done: Sequence[Executed],
    sentences: tuple[Sentence, ...],
    deed: tuple[Sentence, ...],
    *,
    items: tuple[Sentence, ...] = (),
    count: Count | None = None,
    short: Sentence | None = None,
) -> Instruction:
    covers = tuple(each.number for each in done)
    section, yarn = done[0].step.section, done[-1].after.yarn
    return Instruction(
        number, section, covers, sentences, deed, items, count, short=short, yarn=yarn
    )


def row_sentences(terms: Terms, done: Sequence[Executed], *, wrap_told: bool) -> list[str]:
    """Sentences for the steps of one row, the last of which is the row.

    `wrap_told` is whether the section has said before how a wrap is laid."""
    said = [_preparing(terms, one, wrap_told) for one in done[:-1]]
    row = done[-1]
    assert isinstance(row.step, op.Row)
    needle, count = terms.needles_plain((row.after.passed(),)), len(row.before.working())
    forward = row.step.way is op.Way.FORWARD
    if row.step.last is None:
        text = N_("Crank in reverse past {needle}; {needles} knit ({count} in work).")
        if forward:
            text = N_("Crank forward past {needle}; {needles} knit ({count} in work).")
        working = terms.in_work(row.before)
        return [*said, terms.render(text, needle=needle, needles=working, count=count)]
    knit, rest = _parted(row.before.working(), row.step.last, forward=forward)
    named = {"needles": terms.needles_plain(knit), "rest": terms.needles_plain(rest)}
    text = N_(
        "Crank in reverse, but only past {needle}, and stop; {needles} knit, {rest} later ({count} "
        "in work)."
    )
    if forward:
        text = N_(
            "Crank forward, but only past {needle}, and stop; {needles} knit, {rest} later "
            "({count} in work)."
        )
    return [*said, terms.render(text, needle=needle, count=count, **named)]


def _parted(working: Sequence[int], last: int, *, forward: bool) -> tuple[list[int], list[int]]:
    """The needles of a row that knit when it stops past needle `last`, and the others."""
    knit = [n for n in working if (n <= last if forward else n >= last)]
    return knit, [n for n in working if n not in knit]


def hands_of(done: Sequence[Executed]) -> tuple[Hand, ...]:
    """What is done before a row, the last of the steps."""
    return tuple(_hand(one) for one in done[:-1])


def across(done: Executed) -> RowCrank:
    """The crank of a row."""
    step = done.step
    assert isinstance(step, op.Row)
    working = len(done.before.working())
    return RowCrank(step.way, done.after.passed(), working, step.last is not None)


def _hand(done: Executed) -> Hand:
    step = done.step
    if isinstance(step, op.Raise | op.Lower):
        deed = HandAction.RAISE if isinstance(step, op.Raise) else HandAction.LOWER
        needles = tuple(sorted(step.needles))
        return Hand(deed, needles, not _carrier_side(done.before, step.needles))
    if isinstance(step, op.Wrap):
        return Hand(HandAction.WRAP, (step.needle,))
    return Hand(HandAction.WEIGHTS)


def brief_row(terms: Terms, done: Sequence[Executed], hands: Sequence[Hand]) -> str:
    """A row in as few words as a row of a printed list has room for: "Lower 21, wrap 22;
    reverse past 11."."""
    row = done[-1]
    assert isinstance(row.step, op.Row)
    crank = terms.render(CRANKS[row.step.way, row.step.last is None], needle=row.after.passed())
    if not hands:
        return f"{capital(crank)}."
    told = ", ".join(_briefly(terms, hand) for hand in hands)
    return f"{capital(told)}; {crank}."


def _briefly(terms: Terms, hand: Hand) -> str:
    needles = ", ".join(map(str, hand.needles))
    if hand.deed is HandAction.WEIGHTS:
        return terms.render("heel weights higher")
    if hand.deed is HandAction.WRAP:
        return terms.render("wrap {needle}", needle=needles)
    if hand.deed is HandAction.RAISE:
        return terms.render("raise {needles}", needles=needles)
    if hand.far:
        return terms.render("lower {needles} at the far end", needles=needles)
    return terms.render("lower {needles}", needles=needles)


def _preparing(terms: Terms, done: Executed, wrap_told: bool) -> str:
    step = done.step
    if isinstance(step, op.Raise | op.Lower):
        side = _carrier_side(done.before, step.needles)
        text = PREPARED[type(step), side]
        return terms.render(text, needles=terms.needles(sorted(step.needles)))
    if isinstance(step, op.Wrap):
        text = WRAP_AGAIN if wrap_told else WRAP
        return terms.render(text, needle=terms.needles((step.needle,)))
    return sentence(terms, done)


def _carrier_side(at: State, needles: Sequence[int]) -> bool:
    """Whether `needles` lie at the carrier's end of the working ones."""
    low, high = at.span()
    return (2 * needles[0] > low + high) == at.carrier_high()


def narrowest(terms: Terms, cup: FoundCup) -> str:
    """What stays in work when the narrowing ends."""
    said = {
        "needles": terms.run(cup.low, cup.high),
        "count": cup.high - cup.low + 1,
        "limits": terms.needles_plain(cup.limits),
    }
    if cup.role is None:
        return terms.render(
            "Narrowing ends: {needles} stay in work, {count} in number, between {limits}.", **said
        )
    return terms.render(
        "Narrowing ends: {needles} stay in work, {count} in number, between the {name} ({limits}).",
        name=terms.mark(cup.role),
        **said,
    )
