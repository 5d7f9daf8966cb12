"""Laws of the wording: for any needles, machine and construction the words say the program."""

import re

from hypothesis import assume, given
from hypothesis import strategies as st

from programs_to_word import deep_kept, every_construction, program_for, sock
from sockwright import steps as op
from sockwright.errors import CannotMake
from sockwright.machine import (
    Counter,
    Counting,
    Cylinder,
    DialKind,
    Direction,
    HeelHalf,
    Landmark,
    Machine,
    Turning,
)
from sockwright.needlebed.execute import execute
from sockwright.order.model import Closing, CuffKind, HeelKind, RibEnd, ToeHalf, Widening
from sockwright.steps import Program
from sockwright.wording.conventions import cautions, conventions
from sockwright.wording.instructions import Instruction
from sockwright.wording.write import write_instructions

MISLEADING = re.compile(
    r"\b(right|left|front|back|up|upper|down|turn\w*|third|clicks?|operator\w*)\b"
    r"|next to the carrier|\bto round \d",
    re.IGNORECASE,
)
"""Words that mislead at the machine: whose side, which end, needle or cam, round or row."""
ALLOWED = re.compile(r"set-up|turn limits|handle turns?", re.IGNORECASE)
"""Names of parts, marks and counts in which such a word stands for one thing only."""


def misleading(text: str) -> list[str]:
    return MISLEADING.findall(ALLOWED.sub("", text))


@st.composite
def programs(draw: st.DrawFn) -> Program:
    needles = draw(st.integers(24, 200))
    cuff = draw(st.sampled_from(CuffKind))
    deep = draw(st.sampled_from((None, deep_kept(needles))))
    end = draw(st.sampled_from(RibEnd))
    given_sock = sock(
        cuff,
        draw(st.sampled_from(HeelKind)),
        draw(st.sampled_from(Widening)),
        draw(st.sampled_from((1, 2))),
        deep,
        draw(st.sampled_from(ToeHalf)),
        draw(st.sampled_from(Closing)),
        end,
    )
    try:
        return program_for(needles, given_sock, DialKind.FULL)
    except CannotMake:
        assume(False)
        raise


@st.composite
def machines(draw: st.DrawFn) -> Machine:
    return Machine(
        "bench",
        draw(st.sampled_from(Turning)),
        (Cylinder(60),),
        draw(st.sampled_from(Direction)),
        draw(st.sampled_from(HeelHalf)),
        Counter(
            draw(st.sampled_from(Counting)),
            draw(st.sampled_from((1.0, 1.5, 2.0))),
            draw(st.booleans()),
        ),
        landmarks=draw(st.sampled_from(((), (Landmark("carrier", 4.0),)))),
    )


@given(programs(), machines())
def test_every_step_is_told_once_in_order(program: Program, machine: Machine) -> None:
    said = write_instructions(execute(program), machine)
    assert [n for i in said for n in i.steps] == list(range(1, len(program.steps) + 1))
    assert [i.number for i in said] == list(range(1, len(said) + 1))
    for instruction in said:
        sections = {program.steps[n - 1].section for n in instruction.steps}
        assert sections == {instruction.section}


@given(programs(), machines())
def test_rounds_and_rows_add_up(program: Program, machine: Machine) -> None:
    rounds, rows, waste, past = 0, 0, True, program.needles
    there = set(range(1, program.needles + 1))
    for step in program.steps:
        if isinstance(step, op.RemoveNeedles):
            there -= set(step.needles)
        elif isinstance(step, op.ReplaceNeedles):
            there |= set(step.needles)
        waste = step.removable if isinstance(step, op.Thread) else waste
        rounds += step.count if isinstance(step, op.Rounds) and not waste else 0
        if isinstance(step, op.PartRound):
            rounds += past >= max(there) and not waste
        if isinstance(step, op.PartRound | op.Row):
            past = step.last or past
        rows += isinstance(step, op.Row) and not waste
    counts = [i.count for i in write_instructions(execute(program), machine) if i.count]
    last_round = [count for count in counts if count.kind == "round"][-1]
    last_row = [count for count in counts if count.kind == "row" and count.complete]
    assert last_round.total == last_round.total_of == rounds
    assert [count.total for count in last_row] == list(range(1, rows + 1))
    totals = [count.total for count in counts if count.kind == "round"]
    assert totals == sorted(totals)
    assert all(1 <= count.first <= count.last <= count.of for count in counts)


@given(programs(), machines())
def test_the_counter_starts_at_the_first_round_of_the_sock(
    program: Program, machine: Machine
) -> None:
    said = [
        i
        for i in write_instructions(execute(program), machine)
        if i.count and i.count.kind == "round"
    ]
    first = next(i for i in said if i.count and i.count.total)
    assert "Set the counter to 0 first." in first.text
    before = said[: said.index(first)]
    assert all(i.count and i.count.counter is None for i in before)
    assert not any("counter" in i.text for i in before)


@given(programs(), machines())
def test_no_word_misleads(program: Program, machine: Machine) -> None:
    texts = [i.text for i in write_instructions(execute(program), machine)]
    texts += [*cautions(program, machine), *conventions(execute(program), machine)]
    assert [(misleading(text), text) for text in texts if misleading(text)] == []


def test_no_word_misleads_in_any_construction() -> None:
    for program, dial in every_construction().values():
        for turning in Turning:
            machine = Machine("b", turning, (Cylinder(program.needles, 110.0, dial),))
            texts = [i.text for i in write_instructions(execute(program), machine, "in")]
            assert [text for text in texts if misleading(text)] == []


def test_the_search_for_misleading_words_finds_them() -> None:
    assert misleading("Turn back to round 60, a third up on the left.")
    assert not misleading("Knit 60 rounds of the set-up; two handle turns, at the turn limits.")


NUMBERED = re.compile(r"\bneedles? (\d+(?:(?:, | to | and )\d+)*)|needle from (\d+) to (\d+)")


@given(programs(), machines())
def test_every_needle_named_is_on_the_cylinder(program: Program, machine: Machine) -> None:
    for instruction in write_instructions(execute(program), machine):
        for found in NUMBERED.finditer(instruction.text):
            for number in re.findall(r"\d+", found[0]):
                assert 1 <= int(number) <= program.needles, instruction.text


def listed(text: str) -> set[int]:
    """Needles that a short list such as "needles 3, 4 and 7 to 9" names."""
    named: set[int] = set()
    for first, last in re.findall(r"(\d+)(?: to (\d+))?", text):
        named |= set(range(int(first), int(last or first) + 1))
    return named


LIST = r"needles? (\d+(?:(?:, | to | and )\d+)*)"
KNIT = re.compile(rf"{LIST} knit(?:, {LIST} later)? \((\d+) in work\)")
PLACE = re.compile(r"past needle (\d+)|needle (\d+)(?: \([^)]*\))? has passed")


class Newcomer:
    """Follows nothing but the words, row by row."""

    def __init__(self) -> None:
        self.working: set[int] = set()
        self.past: int | None = None

    def follow(self, instruction: Instruction) -> None:
        text = instruction.text
        now = re.search(rf"In work now: {LIST}\.", text)
        if now:
            self.working, self.past = listed(now[1]), None
        if instruction.count and instruction.count.kind == "row":
            self._prepare(text)
            self._knit(text)

    def _prepare(self, text: str) -> None:
        for needles, here in re.findall(rf"Raise {LIST}[^.]*?(, on the carrier's side)?\.", text):
            raised = listed(needles)
            assert raised <= self.working
            if here and self.past is not None:
                assert self.past in raised
            self.working -= raised
        for needles in re.findall(rf"Lower {LIST}", text):
            assert not listed(needles) & self.working
            self.working |= listed(needles)

    def _knit(self, text: str) -> None:
        knit, crank = KNIT.search(text), text[text.index("Crank") :]
        assert knit
        now, later = listed(knit[1]), listed(knit[2] or "")
        assert now | later == self.working
        assert not now & later
        assert int(knit[3]) == len(self.working)
        place = PLACE.search(crank)
        assert place
        self.past = int(place[1] or place[2])
        forward = crank.startswith("Crank forward")
        assert self.past == (max(now) if forward else min(now))
        assert "raised" not in crank


@given(programs(), machines())
def test_a_newcomer_who_only_reads_knits_every_row(program: Program, machine: Machine) -> None:
    reader = Newcomer()
    for instruction in write_instructions(execute(program), machine):
        reader.follow(instruction)


@given(programs(), machines())
def test_a_counter_that_runs_on_never_runs_short(program: Program, machine: Machine) -> None:
    if machine.counter.restarts or machine.counter.counts is Counting.HANDLE_TURNS:
        return
    counts = [i.count for i in write_instructions(execute(program), machine) if i.count]
    shown = [count.counter for count in counts if count.counter is not None]
    rounds = next(count.total_of for count in counts if count.kind == "round")
    rows = next((count.total_of for count in counts if count.kind == "row"), 0)
    passes = machine.counter.counts is Counting.PASSES
    assert shown == sorted(shown)
    assert shown[-1] == rounds + (rows if passes else 0)
