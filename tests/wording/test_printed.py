"""The program for print: nothing is lost, rows stand in tables, a toe is told by the heel."""

import pytest
from hypothesis import given, settings

from laws.test_wording_laws import machines, programs
from orders import order
from programs_to_word import every_construction, program_for, sock
from sockwright.i18n import ENGLISH
from sockwright.machine import Counter, Counting, Cylinder, Machine, Turning
from sockwright.needlebed.execute import execute
from sockwright.order.model import ToeHalf
from sockwright.plan.data import instructions
from sockwright.plan.make import make_plan
from sockwright.steps import Program, Section
from sockwright.wording.instructions import Instruction
from sockwright.wording.printed import AsBefore, AsFirst, Part, Rows, printed, printed_second
from sockwright.wording.write import write_instructions

CARRIER = Machine("bench", Turning.CARRIER, (Cylinder(60),))


def told(program: Program, machine: Machine = CARRIER) -> tuple[Instruction, ...]:
    return write_instructions(execute(program), machine)


def numbers(parts: tuple[Part, ...]) -> list[int]:
    """Every instruction that the parts stand for, in order."""
    found: list[int] = []
    for block in (block for part in parts for block in part.blocks):
        if isinstance(block, Instruction):
            found.append(block.number)
        elif isinstance(block, Rows):
            found += [row.number for row in block.rows]
        else:
            found += range(block.first, block.last + 1)
    return found


@settings(max_examples=15)
@given(programs(), machines())
def test_every_instruction_is_printed_once_and_in_order(program: Program, machine: Machine) -> None:
    said = told(program, machine)
    assert numbers(printed(said)) == [one.number for one in said]


@pytest.mark.parametrize("name", every_construction())
def test_what_is_as_before_differs_in_nothing_but_what_is_said(name: str) -> None:
    """Whoever does again what is named, with the sentences that differ, does what is to be done."""
    program, dial = every_construction()[name]
    said = told(program, Machine("b", Turning.CARRIER, (Cylinder(program.needles, 110.0, dial),)))
    for block in (block for part in printed(said) for block in part.blocks):
        if not isinstance(block, AsBefore):
            continue
        different = dict(block.different)
        pairs = zip(said[block.first - 1 : block.last], said[block.like - 1 :], strict=False)
        for one, other in pairs:
            if one.across is not None:
                same = (one.hands, one.across) == (other.hands, other.across)
                assert same or one.number in different
                continue
            again = {str(each) for each in (*other.sentences, *other.items)}
            for each in one.items or one.sentences:
                assert str(each) in again or each in different[one.number]


def test_the_example_is_short() -> None:
    """60 needles: its toe is as its heel, and is not printed again."""
    parts = printed(told(program_for(60, sock())))
    (toe,) = [part for part in parts if part.section is Section.TOE]
    assert any(isinstance(block, AsBefore) and block.rows == 40 for block in toe.blocks)
    tables = [block for part in parts for block in part.blocks if isinstance(block, Rows)]
    assert [table.cups for table in tables] == [(Section.HEEL, Section.TOE)]


def test_a_toe_on_the_other_half_has_its_own_table() -> None:
    parts = printed(told(program_for(60, sock(half=ToeHalf.INSTEP))))
    tables = [block for part in parts for block in part.blocks if isinstance(block, Rows)]
    assert [table.cups for table in tables] == [(Section.HEEL,), (Section.TOE,)]


def test_a_table_says_needles_way_and_what_is_in_work() -> None:
    """By hand: the first row raises 30 and goes in reverse past 1; row 21 lowers 21, wraps 22."""
    (rows,) = [
        b for p in printed(told(program_for(60, sock()))) for b in p.blocks if isinstance(b, Rows)
    ]
    narrowing, widening = (half.table(ENGLISH) for half in rows.halves)
    assert narrowing[0] == ("row", "raise", "crank", "past", "in work")
    assert narrowing[1][0] == ("1", "30", "reverse", "1", "29")
    assert widening[1][0] == ("21", "21", "22", "reverse", "11", "11")
    assert widening[1][-1] == ("40", "1", "60", "forward", "15, stop", "30")
    assert narrowing[1][8][1] == "*26"
    assert "row 9" in (rows.weights_told(ENGLISH) or "")
    assert "needles 11 to 20" in rows.halves[0].turn


def test_a_counter_that_counts_rows_on_has_a_column() -> None:
    on = Machine(
        "b", Turning.CARRIER, (Cylinder(60),), counter=Counter(Counting.PASSES, restarts=False)
    )
    said = told(program_for(60, sock()), on)
    heel, toe = [b for p in printed(said) for b in p.blocks if isinstance(b, Rows)]
    heads, lines = heel.halves[0].table(ENGLISH)
    counts = [row.count.counter for row in heel.halves[0].rows if row.count]
    assert heads[-1] == "counter"
    assert [line[-1] for line in lines] == [f"{count:g}" for count in counts]
    assert toe.cups == (Section.TOE,)  # its counter shows other numbers


def test_a_second_sock_is_printed_as_what_differs() -> None:
    plan = make_plan(order(60)).first
    said = instructions(plan)
    assert [type(b) for p in printed_second(said, said) for b in p.blocks] == [AsFirst]
    second = told(program_for(60, sock(first_raise=2)))
    parts = printed_second(second, told(program_for(60, sock())))
    assert numbers(parts) == [one.number for one in second]
    known = {one.text for one in told(program_for(60, sock()))}
    alone = {b.number for p in parts for b in p.blocks if isinstance(b, Instruction)}
    assert all(one.number in alone for one in second if one.text not in known)
