"""The sentences of single instructions, as a person at the machine reads them."""

import re
from dataclasses import replace

import pytest

from orders import order
from programs_to_word import TWO_YARNS, every_construction, program_for, sock
from sockwright import steps as op
from sockwright.i18n import ENGLISH, locale_of
from sockwright.machine import (
    CamNaming,
    Counter,
    Counting,
    Cylinder,
    DialKind,
    Direction,
    HeelHalf,
    Landmark,
    Machine,
    Mark,
    Turning,
)
from sockwright.needlebed.execute import dry_run, execute
from sockwright.plan.data import instructions
from sockwright.plan.make import make_plan
from sockwright.steps import Change, Program, Section, Way
from sockwright.wording.checks import CHECKS
from sockwright.wording.conventions import cautions, conventions
from sockwright.wording.hands import CORNERS
from sockwright.wording.instructions import Instruction
from sockwright.wording.nouns import NEEDLES, SLOTS, needle_runs, say_numbered
from sockwright.wording.write import write_instructions

CARRIER = Machine("bench", Turning.CARRIER, (Cylinder(60),))
CYLINDER = Machine("bench", Turning.CYLINDER, (Cylinder(60),))
HEEL = Section.HEEL


def words(*steps: op.Step, machine: Machine = CARRIER, **given: object) -> list[str]:
    """The texts for steps on 60 needles."""
    return [i.text for i in write_instructions(execute(Program(60, (), steps)), machine, **given)]


def entered() -> tuple[op.Step, ...]:
    """The heel half alone in work, the carrier past its last needle."""
    return (
        op.HangScrap(HEEL),
        op.Thread(HEEL, "main"),
        op.PartRound(HEEL, 30),
        op.Raise(HEEL, tuple(range(31, 61))),
        op.HeelSpring(HEEL, True),
    )


def narrowed() -> tuple[op.Step, ...]:
    return (
        *entered(),
        op.Raise(HEEL, (30,)),
        op.Row(HEEL, Way.REVERSE),
        op.Raise(HEEL, (1,)),
        op.Row(HEEL, Way.FORWARD),
    )


def test_a_row_and_what_comes_before_it_are_one_instruction() -> None:
    program = Program(60, (), narrowed())
    rows = [
        i
        for i in write_instructions(execute(program), CARRIER)
        if i.count and i.count.kind == "row"
    ]
    assert [row.steps for row in rows] == [(6, 7), (8, 9)]
    assert rows[0].text.startswith(
        "Raise needle 30 (mark: heel turn limits). "
        "Crank in reverse past needle 1; needles 1 to 29 knit (29 in work)."
    )


def test_where_the_cylinder_turns_no_place_has_an_hour() -> None:
    assert "past needle 30 (the halfway mark)" in words(*entered(), machine=CYLINDER)[2]
    run = execute(Program(60, (), narrowed()))
    assert any("gone by the carrier" in line for line in conventions(run, CYLINDER))


def test_the_fixed_carrier_keeps_its_hour() -> None:
    machine = replace(CYLINDER, landmarks=(Landmark("carrier", 5.0),))
    said = conventions(execute(Program(60, (), narrowed())), machine)
    assert any(line.startswith("At home") and "at five o'clock" in line for line in said)


def test_a_wrap_goes_inside_round_and_outside() -> None:
    widened = (op.Lower(HEEL, (30,)), op.Wrap(HEEL, 31), op.Row(HEEL, Way.REVERSE))
    text = words(*narrowed(), *widened)[-1]
    assert text.index("Lower needle 30 (mark: heel turn limits)") < text.index(
        "Wrap raised needle 31"
    )
    assert re.search("inside of the ring.*away from the working needles.*outside", text)


def test_wrap_first_and_lower_at_the_far_end() -> None:
    far = (op.Wrap(HEEL, 30), op.Lower(HEEL, (1,)), op.Row(HEEL, Way.REVERSE))
    text = words(*narrowed(), *far)[-1]
    assert text.index("Wrap raised needle 30 (mark: heel turn limits)") < text.index(
        "Lower needle 1 "
    )
    assert "at the far end" in text


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        (range(31, 61), "needles 31 to 60"),
        ((2, 5, 9), "needles 2, 5 and 9"),
        (range(3, 61, 3), "every 3rd needle from 3 to 60"),
        ((7,), "needle 7"),
        ((29, 30), "needles 29 and 30"),
        ((1, 2, 3, 10), "needles 1 to 3 and 10"),
        ((3, 4, 7, 8, 11, 12, 15, 16), "every 4th needle from 3 to 15 and from 4 to 16"),
        ((60, 59, 58), "needles 58 to 60"),
        ((*range(4, 40, 4), *range(44, 73, 4)), "every 4th needle from 4 to 72, but not 40"),
        ((*range(1, 40), *range(41, 61)), "needles 1 to 60, but not 40"),
        (
            [n for n in range(1, 72) if n < 40 or n % 4],
            "needles 1 to 71, but not every 4th from 40 to 68",
        ),
        ((*range(1, 31), *range(41, 61)), "needles 1 to 30 and 41 to 60"),
    ],
)
def test_lists_of_needles_are_short(numbers: tuple[int, ...], said: str) -> None:
    assert say_numbered(ENGLISH, NEEDLES, tuple(numbers)) == said


@pytest.mark.parametrize("pattern", range(40))
def test_runs_hold_every_number_once(pattern: int) -> None:
    numbers = [n for n in range(1, 201) if (n * (pattern + 3) + n // (pattern + 1)) % 5 < 2]
    runs = needle_runs(numbers)
    again = [n for first, last, step in runs for n in range(first, last + 1, step or 1)]
    assert sorted(again) == numbers


def test_marks_are_named_as_their_user_names_them() -> None:
    marks = (Mark("home", "long scratch"), Mark("halfway", "dot", "blue"))
    text = words(*entered(), machine=replace(CARRIER, marks=marks))[2]
    assert "past needle 30 (the dot, three o'clock)" in text


def test_turn_limits_bound_the_kept_needles() -> None:
    """Common practice: on 60 needles a heel keeps ten, which lie between the marks."""
    said = write_instructions(execute(program_for(60, sock())), CARRIER)
    (kept,) = [str(i.turn) for i in said if i.turn and i.section is HEEL]
    assert "needles 11 to 20 stay in work, 10 in number" in kept
    assert "between the heel turn limits (needles 10 and 21)" in kept
    assert any("Raise needle 21 (mark: heel turn limits)." in i.text for i in said)


@pytest.mark.parametrize(
    ("direction", "half", "hour"),
    [
        (Direction.ANTICLOCKWISE, HeelHalf.NEAR, "three o'clock"),
        (Direction.CLOCKWISE, HeelHalf.NEAR, "nine o'clock"),
        (Direction.ANTICLOCKWISE, HeelHalf.FAR, "nine o'clock"),
        (Direction.CLOCKWISE, HeelHalf.FAR, "three o'clock"),
    ],
)
def test_the_halfway_mark_has_its_hour(direction: Direction, half: HeelHalf, hour: str) -> None:
    machine = replace(CARRIER, forward=direction, heel_half=half)
    assert f"past needle 30 (the halfway mark, {hour})" in words(*entered(), machine=machine)[2]


def counted(counter: Counter) -> list[Instruction]:
    """Two leg rounds and a half, two rows, the other half, three foot rounds."""
    steps = (
        op.Thread(Section.LEG, "main"),
        op.Rounds(Section.LEG, 2),
        op.PartRound(Section.LEG, 30),
        op.Raise(HEEL, tuple(range(31, 61))),
        op.HeelSpring(HEEL, True),
        op.Row(HEEL, Way.REVERSE),
        op.Row(HEEL, Way.FORWARD),
        op.HeelSpring(HEEL, False),
        op.Lower(HEEL, tuple(range(31, 61))),
        op.PartRound(Section.FOOT, 60),
        op.Rounds(Section.FOOT, 3),
    )
    machine = replace(CARRIER, counter=counter)
    said = write_instructions(execute(Program(60, (), steps)), machine)
    return [instruction for instruction in said if instruction.count]


@pytest.mark.parametrize(
    ("counter", "readings"),
    [
        (Counter(), [2, 2, None, None, 0, 3]),
        (Counter(restarts=False), [2, 2, None, None, 3, 6]),
        (Counter(Counting.PASSES), [2, 2, 1, 2, 0, 3]),
        (Counter(Counting.PASSES, restarts=False), [2, 2, 3, 4, 5, 8]),
        (Counter(Counting.HANDLE_TURNS, 1.5, restarts=False), [3, 3, None, None, 4.5, 9]),
    ],
)
def test_the_users_counter_is_predicted(counter: Counter, readings: list[float | None]) -> None:
    assert [i.count.counter for i in counted(counter) if i.count] == readings


def test_a_wrap_is_described_once_a_section_and_then_named() -> None:
    steps = (
        op.HangScrap(Section.SET_UP),
        op.Raise(Section.HEEL, (30,)),
        op.Row(Section.HEEL, Way.REVERSE),
        op.Wrap(Section.HEEL, 30),
        op.Row(Section.HEEL, Way.FORWARD),
        op.Wrap(Section.HEEL, 30),
        op.Row(Section.HEEL, Way.REVERSE),
    )
    texts = [i.text for i in write_instructions(execute(Program(60, (), steps)), CARRIER)]
    assert "inside of the ring" in texts[2]
    assert "inside of the ring" not in texts[3]
    assert "Wrap raised needle 30 as before" in texts[3]


def test_a_mark_is_named_as_ahead_where_the_needle_beside_it_is_out() -> None:
    steps = (
        op.HangScrap(Section.SET_UP),
        op.Thread(Section.CUFF, "main"),
        op.ToDial(Section.CUFF, ((30, 15),)),
        op.PartRound(Section.CUFF, 30),
    )
    program = Program(60, tuple(float(place) for place in range(2, 61, 2)), steps)
    text = write_instructions(execute(program), CARRIER)[-1].text
    assert "past needle 29 (the last before the halfway mark, " in text
    beside = write_instructions(execute(replace(program, steps=(*steps[:2], steps[3]))), CARRIER)[
        -1
    ].text
    assert "past needle 30 (the halfway mark, " in beside


def test_a_round_in_two_parts_is_one_round() -> None:
    _, first, _, _, rest, last = (i.count for i in counted(Counter()) if i.count)
    assert (first.last, first.of, first.total, first.complete) == (3, 3, 2, False)
    assert (rest.last, rest.of, rest.total, rest.complete) == (3, 3, 3, True)
    assert (last.first, last.last, last.of, last.total, last.total_of) == (1, 3, 3, 6, 6)


def test_the_parts_of_a_round_say_what_the_counter_does() -> None:
    texts = [i.text for i in counted(Counter())]
    assert "Leg: round 3 of 3 begins. Leave the counter at 2." in texts[1]
    assert "Leg: round 3 of 3 is complete." in texts[4]
    assert "Then set the counter to 0." in texts[4]


def test_handle_turns_are_set_again_after_rows_of_waste() -> None:
    counter = Counter(Counting.HANDLE_TURNS, 2.0, restarts=False)
    waste = (op.Raise(HEEL, tuple(range(31, 61))), op.Row(HEEL, Way.FORWARD))
    steps = (
        op.Thread(Section.LEG, "main"),
        op.Rounds(Section.LEG, 2),
        *waste,
        op.Row(HEEL, Way.REVERSE),
        op.Lower(HEEL, tuple(range(31, 61))),
        op.Rounds(Section.FOOT, 3),
    )
    assert (
        "Set the counter to 4 first."
        in words(*steps, machine=replace(CARRIER, counter=counter))[-1]
    )


def test_yarns_go_by_their_users_names() -> None:
    steps = (
        op.Thread(Section.LEG, "main"),
        op.Rounds(Section.LEG, 2),
        op.CutYarn(Section.LEG, 150.0),
        op.Thread(Section.LEG, "heel"),
    )
    texts = words(*steps, units="in", yarn_names={"main": "grey wool", "heel": "orange"})
    assert texts[0].startswith("Thread grey wool;")
    assert texts[2].startswith("Cut grey wool, tail 6 in. Thread orange;")
    assert "into the hook of needle 1, the next to knit" in texts[2]


def test_no_overlap_with_waste_or_cord() -> None:
    texts = [i.text for i in write_instructions(execute(program_for(60, sock())), CARRIER)]
    assert not [text for text in texts if "both yarns knit together" in text]
    two = write_instructions(execute(program_for(60, sock(), yarns=TWO_YARNS)), CARRIER)
    # Into the leg, out of heel and toe.
    assert len([i for i in two if "both yarns knit together" in i.text]) == 3
    held = [i.text for i in two if "clip them together" in i.text]  # into heel and toe
    assert len(held) == 2
    assert all("between needles 30 and 31" in text for text in held)


def test_the_hem_is_hung_from_the_first_round_of_its_yarn() -> None:
    texts = words(
        op.HangScrap(Section.SET_UP),
        op.Thread(Section.SET_UP, "waste", removable=True),
        op.Rounds(Section.SET_UP, 3),
        op.CutYarn(Section.SET_UP),
        op.Thread(Section.CUFF, "main"),
        op.Rounds(Section.CUFF, 5),
        op.HangHem(Section.CUFF, 4),
        yarn_names={"main": "grey wool"},
    )
    assert "the very first round in grey wool" in texts[-1]
    assert "Begin with needle 5" in texts[-1]
    assert "onto the same needle" in texts[-1]
    assert "until needles 1 to 60 carry two loops each" in texts[-1]


def test_the_stitch_cam_in_its_users_words() -> None:
    clicks = replace(CARRIER, cam=CamNaming("clicks", False))
    known, unknown = op.SetCam(Section.LEG, 0.96, 12.0), op.SetCam(Section.LEG, 1.04)
    assert words(known) == [
        "Set the stitch cam to number 12: a loop is about 4 % shorter than in the swatch."
    ]
    assert "to 12 clicks:" in words(known, machine=clicks)[0]
    assert words(unknown, machine=clicks) == [
        "Loosen the stitch cam to the setting that you found beforehand on a test tube: a loop is "
        "about 4 % longer than in the swatch. On this machine a larger setting makes a smaller "
        "loop."
    ]


def test_the_graft_names_its_first_and_last_pair() -> None:
    lower, upper = tuple(range(1, 31)), tuple(range(60, 30, -1))
    text = words(op.Graft(Section.CLOSING, lower, upper))[0]
    assert "First pair: needle 1 to needle 60. Last pair: needle 30 to needle 31." in text
    assert "30 pairs" in text


def test_single_moves_are_told_together() -> None:
    moves = tuple(op.MoveLoops(Section.CUFF, ((n, n - 1),)) for n in range(2, 61, 2))
    out = op.RemoveNeedles(Section.CUFF, tuple(range(2, 61, 2)))
    texts = words(*moves, out)
    assert len(texts) == 1
    assert texts[0] == (
        "Move the loop of every 2nd needle from 2 to 60 onto the needle before it: "
        "needle 2 onto needle 1, and so on to needle 60 onto needle 59. "
        "Take out what is now empty, and keep it in order: every 2nd needle from 2 to 60."
    )


def test_dial_slots_are_named_by_number() -> None:
    moves = tuple((n, n // 2) for n in range(2, 61, 2))
    text = words(op.ToDial(Section.SET_UP, moves))[0]
    assert "onto dial needles in dial slots 1 to 30" in text
    assert "needle 2 to dial slot 1, and so on to needle 60 to dial slot 30" in text


def check_text(name: str, change: str, machine: Machine | None = None) -> str:
    program, dial = every_construction()[name]
    machine = machine or Machine("b", Turning.CARRIER, (Cylinder(program.needles, 110.0, dial),))
    said = write_instructions(execute(program), machine)
    (found,) = [i.text for i in said if i.text.startswith(f"Check before the {change}")]
    return found


def test_a_check_is_a_numbered_list() -> None:
    lines = check_text("hung hem", "heel").split("\n")
    assert [line.split(".")[0] for line in lines[1:]] == [str(n) for n in range(1, len(lines))]
    assert "Raised next, with their loops: needles 31 to 60." in "\n".join(lines)


def test_the_ribber_is_checked_only_where_there_is_one() -> None:
    assert "Ribber" not in check_text("hung hem", "heel")
    assert "pin out next" in check_text("1x1 to instep", "heel")
    assert "connected again" in check_text("1x1 to instep", "foot")
    with_dial = Machine("b", Turning.CARRIER, (Cylinder(60, 110.0, DialKind.HALF),))
    assert "Ribber off the machine" in check_text("hung hem", "heel", with_dial)


def test_only_the_graft_of_an_afterthought_heel_closes_corners() -> None:
    hint = CORNERS
    for name, grafts in (("afterthought", [False, True]), ("hung hem", [False])):
        program, _ = every_construction()[name]
        said = write_instructions(execute(program), CARRIER)
        of_graft = [one for one in said if isinstance(program.steps[one.steps[-1] - 1], op.Graft)]
        assert [hint in one.text for one in of_graft] == grafts


def test_a_check_stands_before_the_waste_that_closes_a_toe_or_a_heel() -> None:
    for name, closings in (("afterthought", 2), ("hung hem", 1), ("gathered", 1)):
        steps = every_construction()[name][0].steps
        checked = [
            place
            for place, step in enumerate(steps)
            if isinstance(step, op.Check) and step.change is Change.INTO_CLOSING
        ]
        assert len(checked) == closings
        for place in checked:
            cut, waste = steps[place + 1 : place + 3]
            assert isinstance(cut, op.CutYarn)
            assert isinstance(waste, op.Thread)
            assert waste.removable


def test_two_pairs_of_limits_are_not_both_kept_all_through() -> None:
    program, _ = every_construction()["deep"]
    lines = conventions(execute(program), CARRIER)
    (heel,) = [line for line in lines if "heel turn limits" in line]
    (outer,) = [line for line in lines if "outer turn limits" in line]
    assert ("all through" in heel, "all through" in outer) == (True, False)


def test_rows_in_all_are_those_of_the_sock_without_waste() -> None:
    """As the fabric counts them: rows in waste are drawn out again."""
    for program, __ in every_construction().values():
        table = dry_run(program).loops
        rows = sum(run.shape == "row" and not table.removable[run.yarn] for run in table.runs)
        said = write_instructions(execute(program), CARRIER)
        counts = [one.count for one in said if one.count is not None and one.count.kind == "row"]
        assert {count.total_of for count in counts} <= {rows}
        assert [count.total for count in counts if count.complete] == list(range(1, rows + 1))


def test_every_change_is_checked() -> None:
    assert set(CHECKS) == set(Change)
    said = [
        i.text.split("\n")[0]
        for program, _ in every_construction().values()
        for i in write_instructions(execute(program), CARRIER)
    ]
    assert all(title in said for title, _ in CHECKS.values())


def test_cautions_fit_the_machine() -> None:
    plain, ribbed = program_for(60, sock()), every_construction()["1x1 to cuff"][0]
    said = " ".join(cautions(plain, CARRIER))
    for told in ("maker", "latches", "picks", "gears", "closed shoes", "20 to 30 minutes", "force"):
        assert told in said
    assert re.search("swollen or numb feet.*diabetes.*ask a clinician", said)
    assert "cylinder" not in said
    assert "ribber" not in said
    assert "Where the cylinder goes round" in " ".join(cautions(plain, CYLINDER))
    assert "ribber runs forward only" in " ".join(cautions(ribbed, CARRIER))
    assert set(cautions()) == {*cautions(plain, CYLINDER), *cautions(ribbed, CARRIER)}


def test_conventions_say_which_way_is_forward() -> None:
    program = program_for(60, sock())
    assert conventions(execute(program), CARRIER)[0] == (
        "Forward: the carrier runs anticlockwise, seen from above."
    )
    # The needles come to a fixed carrier, so the cylinder runs against their numbering.
    assert "the cylinder runs clockwise" in conventions(execute(program), CYLINDER)[0]
    assert any("needles 10 and 21" in line for line in conventions(execute(program), CARRIER))


@pytest.mark.parametrize(
    ("steps", "said"),
    [
        ((op.Thread(HEEL, "main"), op.PartRound(HEEL, 20)), "Heel: round 1 of 1 begins."),
        ((op.HangHem(HEEL, 0, 1),), "onto the needle 1 further on in the order of knitting"),
        ((op.MoveLoops(HEEL, ((5, 7), (9, 8))),), "needle 5 onto needle 7, needle 9 onto needle 8"),
        (
            (op.RemoveNeedles(HEEL, (4, 6)),),
            "Take out what is empty, and keep it in order: needles 4 and 6.",
        ),
        ((op.CutYarn(HEEL),), "Cut the yarn, tail 15 cm"),
        (
            (*entered(), op.Raise(HEEL, (1,)), op.Row(HEEL, Way.REVERSE)),
            "Raise needle 1, at the far end.",
        ),
    ],
)
def test_rarer_programs_are_worded_too(steps: tuple[op.Step, ...], said: str) -> None:
    assert said in words(*steps)[-1]


def test_a_toe_of_its_own_depth_names_no_marks_of_the_heel() -> None:
    """Turn limits are painted for the heel; a toe that keeps more has none of its own."""
    toe = tuple(replace(step, section=Section.TOE) for step in narrowed()[3:])
    deeper = (
        op.Raise(HEEL, (29,)),
        op.Row(HEEL, Way.REVERSE),
        op.Lower(HEEL, (1, 29, 30, *range(31, 61))),
        op.PartRound(HEEL, 60),
        op.PartRound(Section.FOOT, 30),
    )
    text = words(*narrowed(), *deeper, *toe)[-1]
    assert "28 in number, between needles 1 and 30." in text
    assert "limits" not in text


def test_a_counter_set_to_0_is_told_of_again_where_it_counts_next() -> None:
    told = [each.text for each in instructions(make_plan(order(60)).first)]
    zeroed = [
        place for place, text in enumerate(told) if text.endswith("Then set the counter to 0.")
    ]
    assert zeroed
    after = next(text for text in told[zeroed[0] + 1 :] if " rounds, and stop" in text)
    assert after.startswith("The counter stands at 0")


def test_every_second_needle_reads_in_german_after_any_word() -> None:
    german = locale_of("de")
    assert say_numbered(german, NEEDLES, range(2, 61, 2)) == "Nadeln 2 bis 60 (jede 2.)"
    assert say_numbered(german, SLOTS, range(2, 61, 2)) == "Scheibenschlitze 2 bis 60 (jeder 2.)"
