"""Minutes: each kind of work at its pace, and what a kind does not cost."""

from __future__ import annotations

import pytest

from builders import knit, rib, size, sock
from sockwright import steps as op
from sockwright.fabric.use import minutes
from sockwright.facts import fact
from sockwright.machine import DialKind
from sockwright.order.model import Closing, CuffGiven, CuffKind, LegGiven

LEG = op.Section.LEG


def of(*steps: op.Step) -> float:
    """Minutes of these steps, without the finishing that every sock costs."""
    program = op.Program(60, (), steps)
    return minutes(program).value - minutes(op.Program(60, (), ())).value


def pace(name: str) -> float:
    return fact("pace", name).number


def test_rounds_at_their_pace_plain_and_ribbed() -> None:
    assert of(op.Rounds(LEG, 100)) == pytest.approx(100 / pace("plain_rounds_per_minute"))
    ribbed = of(op.Ribber(LEG, True), op.Rounds(LEG, 100)) - of(op.Ribber(LEG, True))
    assert ribbed == pytest.approx(100 / pace("rib_rounds_per_minute"))
    assert ribbed > of(op.Rounds(LEG, 100))


def test_the_ribber_off_is_plain_again() -> None:
    switched = (op.Ribber(LEG, True), op.Ribber(LEG, False))
    assert of(*switched, op.Rounds(LEG, 50)) - of(*switched) == pytest.approx(
        of(op.Rounds(LEG, 50))
    )


@pytest.mark.parametrize(
    ("step", "seconds", "how_many"),
    [
        (op.Row(LEG, op.Way.FORWARD), "seconds_per_row", 1),
        (op.HangHem(LEG, 3), "seconds_per_loop_moved", 60),
        (op.HangScrap(LEG), "seconds_per_loop_moved", 60),
        (op.MoveLoops(LEG, ((2, 1), (4, 3))), "seconds_per_loop_moved", 2),
        (op.ToDial(LEG, ((2, 1), (4, 2), (6, 3))), "seconds_per_loop_moved", 3),
        (op.LiftBars(LEG, (3, 6)), "seconds_per_loop_moved", 2),
        (op.Rehang(LEG, (1, 2, 3), (31, 32, 33)), "seconds_per_loop_moved", 6),
        (op.Graft(LEG, (1, 2, 3), (6, 5, 4)), "seconds_per_graft", 3),
        (op.Gather(LEG), "seconds_per_loop_moved", 60),
        (op.Thread(LEG, "main"), "seconds_per_change", 1),
        (op.Weigh(LEG, op.Weight.MAIN), "seconds_per_change", 1),
    ],
    ids=lambda value: type(value).__name__,
)
def test_handwork_at_its_pace(step: op.Step, seconds: str, how_many: int) -> None:
    assert of(step) == pytest.approx(how_many * pace(seconds) / 60)


def test_a_whole_hem_on_60_needles() -> None:
    """Yarn threaded, 21 rounds, the check, 60 bars hung, the weight hung again.

    Cranking plain: 40 to 70 rounds a minute is comfortable, so 50 (from memory). A bar hung by
    hand takes 3 s; yarn, check and weight are changes of 40 s each (assumptions).
    """
    hem = CuffGiven(CuffKind.HUNG_HEM, rounds=21)
    program = knit(size(60, sock(cuff=hem))).program
    cuff = [step for step in program.steps if step.section is op.Section.CUFF]
    assert sum(isinstance(step, op.HangHem) for step in cuff) == 1
    cranked, hung, changed = 21 / 50, 60 * 3 / 60, 3 * 40 / 60
    assert of(*cuff) == pytest.approx(cranked + hung + changed)  # 5.42 min


def test_half_a_round_takes_half_the_time() -> None:
    assert of(op.PartRound(LEG, 30)) == pytest.approx(of(op.Rounds(LEG, 1)) / 2)


def test_a_pace_errs_as_a_whole() -> None:
    """Ten times the rounds are ten times as uncertain: the pace is the same throughout."""
    finish = fact("pace", "finishing_minutes").sd
    assert finish is not None
    short, long = (
        minutes(op.Program(60, (), (op.Rounds(LEG, n),))).sd ** 2 - finish**2 for n in (100, 1000)
    )
    assert long / short == pytest.approx(100)


def test_what_takes_longer() -> None:
    plain = minutes(knit(size(72)).program).value
    assert minutes(knit(size(72, sock(leg=LegGiven(rounds=150)))).program).value > plain
    ribbed = size(72, sock(cuff=rib(1, 1)), dial=DialKind.HALF)
    assert minutes(knit(ribbed).program).value > plain
    gathered = size(72, sock(closing=Closing.GATHER))
    assert minutes(knit(gathered).program).value < plain
    picot = size(72, sock(cuff=CuffGiven(CuffKind.PICOT_HEM, rounds=21)))
    hung = size(72, sock(cuff=CuffGiven(CuffKind.HUNG_HEM, rounds=21)))
    assert minutes(knit(picot).program).value > minutes(knit(hung).program).value
