"""What a sock takes: the loops of each yarn, added up one by one, and each work at its pace."""

from __future__ import annotations

from dataclasses import replace
from math import exp, hypot, log, sqrt

import pytest

from builders import gauge, knit, rib, size, sock
from sockwright import steps as op
from sockwright.estimates import Estimate
from sockwright.fabric.use import YarnUse, duration, minutes, yarn_use
from sockwright.facts import fact
from sockwright.machine import DialKind, OwnPace
from sockwright.measure.yarn import yarn_from
from sockwright.needlebed.execute import DryRun, dry_run
from sockwright.order.model import Closing, CuffGiven, CuffKind, HeelKind, LegGiven, YarnGiven
from sockwright.program.build import build_program
from sockwright.program.draft import YarnPlan
from sockwright.sock.sizing import Sizing

LOOP_MM = 12.8
SHARES = {0: 1.0, 1: 1.0, 2: 0.5, 3: 0.5, 4: 0.25, 5: 0.0}
"""Yarn in a knit loop, a purl loop, a wrap, a tuck, a float and a scrap loop, in loops."""
YARNS = {
    role: yarn_from(YarnGiven(role, role, tex, tex_sd=0.0))
    for role, tex in (("main", 250.0), ("cuff", 250.0), ("heel", 300.0), ("waste", 200.0))
}


def use_of(run: DryRun, loop_sd: float = 0.0) -> dict[str, YarnUse]:
    loop, mass = Estimate(LOOP_MM, loop_sd, "mm"), Estimate(LOOP_MM * 0.25, loop_sd * 0.25, "mg")
    return yarn_use(run.loops, replace(gauge(), loop=loop, loop_mass=mass), YARNS)


def added_up(program: op.Program, yarn: str) -> float:
    """Every loop of a yarn, and the ends left where it is threaded and cut, mm."""
    table = dry_run(program, LOOP_MM).loops
    number = table.yarns.index(yarn)
    kinds = [int(k) for k, y in zip(table.kind, table.yarn, strict=True) if y == number]
    tails, threaded = 0.0, ""
    for step in program.steps:
        if isinstance(step, op.Thread):
            threaded = step.yarn
            tails += step.tail_mm if step.yarn == yarn else 0.0
        elif isinstance(step, op.CutYarn) and threaded == yarn:
            tails += step.tail_mm
    return sum(SHARES[kind] for kind in kinds) * LOOP_MM + tails


SIZINGS = {
    "plain": size(60),
    "mock rib": size(60, sock(cuff=CuffGiven(CuffKind.MOCK_RIB_HEM))),
    "picot": size(61, sock(cuff=CuffGiven(CuffKind.PICOT_HEM))),
    "ribbed": size(60, sock(cuff=rib(1, 1)), dial=DialKind.HALF),
    "paired rib": size(60, sock(cuff=rib(2, 2)), dial=DialKind.TWO_THIRDS),
    "afterthought": size(60, sock(heel=HeelKind.AFTERTHOUGHT)),
    "tube": size(60, sock(heel=HeelKind.NONE)),
}


@pytest.mark.parametrize("name", SIZINGS)
def test_length_is_every_loop_and_its_share(name: str) -> None:
    yarns = YarnPlan(cuff="cuff", heel="heel")
    program = build_program(SIZINGS[name], yarns)
    for role, use in use_of(dry_run(program, LOOP_MM)).items():
        assert use.length.value == pytest.approx(added_up(program, role))
        assert use.mass.value == pytest.approx(use.length.value * YARNS[role].tex.value / 1e6)


def test_loops_are_knit_and_purl_only() -> None:
    use = use_of(dry_run(build_program(size(60, sock(kept=10))), LOOP_MM))
    # Heel and toe: 800 loops each (60 needles, 10 kept); a wrap a row is no loop.
    sizing = size(60, sock(kept=10))
    rounds = sizing.cuff.rounds + sizing.leg_rounds + sizing.foot_rounds
    assert use["main"].loops == 60 * rounds + 2 * 800


def leg_of(rounds: int) -> Sizing:
    base = size(60)
    return replace(base, leg_rounds=rounds, leg_shape=((rounds, 1.0),))


def test_a_round_more_is_a_round_of_yarn_more() -> None:
    short, long = (use_of(dry_run(build_program(leg_of(n)), LOOP_MM))["main"] for n in (40, 41))
    assert long.length.value - short.length.value == pytest.approx(60 * LOOP_MM)
    assert long.loops - short.loops == 60


def test_a_looser_leg_takes_more_yarn() -> None:
    shaped = replace(leg_of(40), leg_shape=((20, 1.1), (20, 1.0)))
    plain, loose = (
        use_of(dry_run(build_program(s), LOOP_MM))["main"].length.value
        for s in (leg_of(40), shaped)
    )
    cuff = shaped.cuff.rounds
    assert loose - plain == pytest.approx(0.1 * (cuff + 20) * 60 * LOOP_MM)


def test_the_error_is_that_of_the_loop_and_of_what_the_shares_assume() -> None:
    """1 % of the loop is 1 % of the yarn; wraps are taken half as uncertain as they are long; and
    a tail is cut 30 mm longer or shorter."""
    run = dry_run(knit(size(60, sock(kept=10))).program, LOOP_MM)
    sure, unsure = use_of(run)["main"], use_of(run, 0.01 * LOOP_MM)["main"]
    wraps_mm = 80 * 0.5 * LOOP_MM  # 20 needles raised twice over and lowered, heel and toe
    assert sure.length.sd == pytest.approx(hypot(0.5 * wraps_mm, 30.0), rel=0.1)
    assert unsure.length.sd == pytest.approx(
        hypot(0.01 * unsure.length.value, sure.length.sd), rel=1e-6
    )


def test_main_yarn_errs_with_a_loops_mass_and_others_with_their_fineness() -> None:
    program = build_program(size(60), YarnPlan(heel="heel"))
    run, unsure = dry_run(program, LOOP_MM), replace(gauge(), loop_mass=Estimate(3.2, 0.096, "mg"))
    labelled = yarn_from(YarnGiven("heel", "grey", 250.0, tex_sd=5.0))  # 2 %
    use = yarn_use(run.loops, unsure, YARNS | {"heel": labelled})
    assert use["main"].mass.sd / use["main"].mass.value == pytest.approx(0.03, abs=0.001)
    assert use["heel"].mass.sd / use["heel"].mass.value == pytest.approx(0.02, abs=0.004)


def test_only_the_yarns_asked_for_are_told_of() -> None:
    run = dry_run(build_program(size(60)), LOOP_MM)
    assert set(use_of(run)) == {"main", "waste"}


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


ROUNDS = op.Program(60, (), (op.Rounds(LEG, 200),))


@pytest.mark.parametrize("socks", [1, 3, 20])
def test_the_own_pace_counts_the_more_the_more_socks_it_comes_from(socks: int) -> None:
    """On the logarithm: usual 50 +- 12 of which 0.15 is from sock to sock; mean of n socks."""
    name, spread, usual = "plain_rounds_per_minute", 0.15, 50.0
    makers = (12 / 50) ** 2 - spread**2
    precise = 1 / makers + socks / spread**2
    mean = (log(usual) / makers + socks * log(30.0) / spread**2) / precise
    found = next(iter(duration(name, 1.0, (OwnPace(name, 30.0, socks),)).slopes.values()))[0]
    assert found.value == pytest.approx(exp(mean))
    assert found.sd / found.value == pytest.approx(sqrt(1 / precise + spread**2))


def test_the_own_pace_moves_the_time_and_says_so() -> None:
    own = (OwnPace("plain_rounds_per_minute", 30.0, 3), OwnPace("seconds_per_row", 4.0))
    slow = minutes(ROUNDS, own)
    assert minutes(ROUNDS).value < slow.value < 200 / 30 + pace("finishing_minutes")
    assert slow.how is not None
    (moved,) = (
        each.number.how
        for each in slow.how.take()
        if each.number.how and each.number.how.key == "pace.plain_rounds_per_minute"
    )
    parts = {each.number.how.key: each.share for each in moved.take() if each.number.how}
    assert set(parts) == {f"{moved.key}.{part}" for part in ("usual", "own", "next")}
    assert sum(parts.values()) == pytest.approx(1)
    assert "3" in moved.source
    assert fact("pace", "plain_rounds_per_minute").told in moved.source


def test_a_pace_not_counted_stays_as_it_is() -> None:
    assert minutes(ROUNDS, (OwnPace("seconds_per_row", 4.0),)) == minutes(ROUNDS)
