"""Random orders, sound but of every kind, and how many of them are planned and proven a second.

Run as `python -m benchmarks.random_orders [count] [processes]`.
"""

from __future__ import annotations

import re
import sys
import time
from collections import Counter as Tally
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from benchmarks.figures import Line

from sockwright.errors import CannotMake, OrderError
from sockwright.machine import (
    CamNaming,
    Counter,
    Counting,
    Cylinder,
    DialKind,
    Direction,
    HeelHalf,
    Machine,
    Turning,
)
from sockwright.order.model import (
    AnswersGiven,
    Closing,
    Count,
    CuffGiven,
    CuffKind,
    CupGiven,
    Drape,
    EaseGiven,
    FinishedGiven,
    FootGiven,
    HeelAnswer,
    HeelGiven,
    HeelKind,
    LegGiven,
    LengthAnswer,
    Load,
    Order,
    Pull,
    PuttingOnAnswer,
    Remainder,
    RibEnd,
    RoundAnswer,
    RoundsLength,
    Sex,
    ShoeSize,
    ShoeSystem,
    SockGiven,
    State,
    StaysUpAnswer,
    Stretch,
    SwatchGiven,
    ToeGiven,
    ToeHalf,
    Unravelled,
    WearerGiven,
    Weighed,
    Widening,
    YarnGiven,
)
from sockwright.plan.make import make_plan

Rng = np.random.Generator

ROLES = ("winch operator", "dog handler", "station doctor", "avalanche forecaster", "cook")
RIBS = ((1, 1), (2, 1), (2, 2), (3, 1), (3, 2), (4, 2), (5, 1), (7, 1))
INCH_MM = 25.4


@dataclass(frozen=True)
class Fabric:
    """What the random swatches are of: the fabric's true measures, mm, and its yarn's tex."""

    tex: float
    loop_mm: float
    wale_mm: float
    course_mm: float


def random_order(rng: Rng) -> Order:
    """A sound order: any machine, wearer, design and mix of readings.

    The cylinders are of the size the foot asks for, more or less, so that most orders can be made.
    """
    wearer = _wearer(rng)
    fabric = _fabric(rng)
    machine = _machine(rng, wearer, fabric)
    yarns = _yarns(rng, fabric)
    return Order(
        title=f"Socks for the {wearer.name}",
        wearer=wearer,
        machine=machine,
        yarns=yarns,
        swatches=tuple(_swatch(rng, fabric, machine, i) for i in range(int(rng.integers(0, 4)))),
        finished=tuple(
            _finished(rng, fabric, machine, i) for i in range(max(0, int(rng.integers(-4, 4))))
        ),
        sock=_sock(rng, machine),
        units=_one(rng, ("cm", "in")),
    )


def _one(rng: Rng, choices):
    return choices[int(rng.integers(len(choices)))]


def _maybe(rng: Rng, value, chance: float = 0.5):
    """The value, or None: not given."""
    return value if rng.random() < chance else None


def _near(rng: Rng, value: float, relative_sd: float) -> float:
    return float(value * (1 + relative_sd * np.clip(rng.standard_normal(), -2.5, 2.5)))


def _fabric(rng: Rng) -> Fabric:
    tex = float(rng.uniform(120, 400))
    loop = tex**0.5 / float(rng.uniform(1.18, 1.6))
    return Fabric(tex, loop, _near(rng, loop / 4.1, 0.04), _near(rng, loop / 5.3, 0.04))


def _wearer(rng: Rng) -> WearerGiven:
    sex = _one(rng, tuple(Sex))
    if rng.random() < 0.3:
        age = float(rng.integers(2, 18))
        length = _near(rng, 130 + 9.5 * min(age - 2, 12), 0.04)
        left = _foot(rng, length, 0.0 if age < 14 else 0.5)
        return WearerGiven("cook's small son", sex, age, left=left, right=_other(rng, left))
    length = _near(rng, {Sex.WOMAN: 246, Sex.MAN: 271, Sex.EITHER: 258}[sex], 0.045)
    left = _foot(rng, length, 0.7)
    shoe = ShoeSize(ShoeSystem.EU, round(length * 0.15 + 2))
    told = left.length_mm is None
    return WearerGiven(
        _one(rng, ROLES),
        sex,
        stature_mm=_maybe(rng, _near(rng, 6.6 * length, 0.03)),
        weight_kg=_maybe(rng, _near(rng, 75, 0.15)),
        shoe=shoe if told else _maybe(rng, shoe, 0.2),
        left=left,
        right=_other(rng, left),
    )


def _foot(rng: Rng, length_mm: float, girths: float) -> FootGiven:
    """A foot of adult proportions, each girth measured with a chance of `girths`."""
    ball = _near(rng, 0.93 * length_mm, 0.04)
    return FootGiven(
        length_mm=_maybe(rng, length_mm, 0.9),
        ball_girth_mm=_maybe(rng, ball, max(girths, 0.3)),
        instep_girth_mm=_maybe(rng, _near(rng, 1.04 * ball, 0.03), girths / 3),
        heel_girth_mm=_maybe(rng, _near(rng, 1.36 * ball, 0.03), girths),
        ankle_girth_mm=_maybe(rng, _near(rng, 0.92 * ball, 0.04), girths),
        calf_girth_mm=_maybe(rng, _near(rng, 1.55 * ball, 0.05), girths / 2),
        pencil_mm=_maybe(rng, 7.0, 0.1),
        load=_one(rng, tuple(Load)),
    )


def _other(rng: Rng, left: FootGiven) -> FootGiven:
    if left.length_mm is None or rng.random() < 0.75:
        return left
    return replace(left, length_mm=left.length_mm + float(rng.uniform(-12, 12)))


def _machine(rng: Rng, wearer: WearerGiven, fabric: Fabric) -> Machine:
    length = wearer.left.length_mm or 255.0
    ball = wearer.left.mm("ball_girth") or 0.93 * length
    fitting = 0.9 * ball / fabric.wale_mm
    counts = {int(np.clip(_near(rng, fitting, 0.07), 24, 200)) for _ in range(3)}
    counts |= {int(n) for n in rng.integers(24, 201, int(rng.integers(0, 3)))}
    return Machine(
        name="the station's machine",
        turns=_one(rng, tuple(Turning)),
        cylinders=tuple(Cylinder(n, _maybe(rng, 110.0), _dial(rng, n)) for n in sorted(counts)),
        forward=_one(rng, tuple(Direction)),
        heel_half=_one(rng, tuple(HeelHalf)),
        counter=Counter(_one(rng, tuple(Counting)), _one(rng, (1.0, 2.0, 1.5)), rng.random() < 0.5),
        cam=CamNaming(_one(rng, ("clicks", "lines", "number")), rng.random() < 0.5),
    )


def _dial(rng: Rng, needles: int) -> DialKind | None:
    kinds = [DialKind.FULL, *([DialKind.HALF] * 2 if needles % 2 == 0 else [])]
    if needles % 3 == 0:
        kinds.append(DialKind.TWO_THIRDS)
    return _maybe(rng, _one(rng, kinds), 0.7)


def _yarns(rng: Rng, fabric: Fabric) -> tuple[YarnGiven, ...]:
    fibres = _one(rng, ((), (("wool", 0.75), ("nylon", 0.25)), (("cotton", 1.0),)))
    on_hand = _maybe(rng, float(rng.choice([50, 100, 150, 200])))
    main = YarnGiven("main", "sock yarn", fabric.tex, fibres=fibres, on_hand_g=on_hand)
    others = [
        YarnGiven(role, f"{role} yarn", _near(rng, fabric.tex, 0.05), on_hand_g=_maybe(rng, 50.0))
        for role in ("cuff", "heel", "toe", "waste")
        if rng.random() < 0.2
    ]
    return (main, *others)


def _swatch(rng: Rng, fabric: Fabric, machine: Machine, number: int) -> SwatchGiven:
    """A washed swatch with some readings, each as good as a maker's tools."""
    needles = _one(rng, machine.cylinders).needles
    tube = 10 * needles
    ruler = _one(rng, (1.0, INCH_MM / 16))
    wales = Count(round(4 * 100 / fabric.wale_mm) / 4, 100.0)
    courses = Count(round(4 * 100 / fabric.course_mm) / 4, 100.0)
    width = round(needles * fabric.wale_mm / 2)
    unravelled = Unravelled(tube, round(tube * fabric.loop_mm, -1))
    weighed = Weighed(4 * tube, round(4 * tube * fabric.loop_mm * fabric.tex / 1e6, 1))
    return SwatchGiven(
        name=f"swatch {number + 1}",
        state=_one(rng, (State.WASHED, State.WASHED, State.RESTED)),
        needles=needles,
        cam=_maybe(rng, float(rng.integers(4, 16))),
        wales=(wales,) * int(rng.integers(0, 3)),
        courses=(courses,) * int(rng.integers(1, 3)),
        unravelled=(unravelled,) * int(rng.integers(0, 2)),
        weighed=(weighed,) * int(rng.integers(0, 2)),
        flat_widths_mm=(float(width),) * int(rng.integers(0, 2)),
        rounds_length=(RoundsLength(40, round(40 * fabric.course_mm)),) * int(rng.integers(0, 2)),
        stretch=(_stretch(rng, width),) * int(rng.integers(0, 2)),
        ruler_mm=ruler,
        weight_hung_g=_maybe(rng, 850.0, 0.2),
        felted=rng.random() < 0.05,
    )


def _stretch(rng: Rng, width: float) -> Stretch:
    """A piece pulled, and how."""
    pull = _one(rng, (Pull.FIRM, Pull.FIRM, Pull.GENTLE, None))
    times = _near(rng, 1.8 if pull is Pull.FIRM else 1.5, 0.06)
    return Stretch(width, round(times * width), pull)


def _finished(rng: Rng, fabric: Fabric, machine: Machine, number: int) -> FinishedGiven:
    """A sock of this fabric that came out as swatches let expect, nearly, and what was said."""
    needles = _one(rng, machine.cylinders).needles
    rows, rounds = 2 * round(needles / 6), int(rng.integers(20, 70))
    courses = rows + rounds
    answers = AnswersGiven(
        length=_maybe(rng, _one(rng, tuple(LengthAnswer))),
        round=_maybe(rng, _one(rng, tuple(RoundAnswer))),
        heel=_maybe(rng, _one(rng, tuple(HeelAnswer))),
        putting_on=_maybe(rng, _one(rng, tuple(PuttingOnAnswer)), 0.3),
        stays_up=_maybe(rng, _one(rng, tuple(StaysUpAnswer))),
    )
    return FinishedGiven(
        name=f"sock {number + 1}",
        needles=needles,
        cam=_maybe(rng, float(rng.integers(4, 16))),
        hem_rounds=_maybe(rng, 25),
        leg_rounds=60,
        foot_rounds=rounds,
        heel_rows=rows,
        toe_rows=rows,
        foot_length_mm=_maybe(rng, round(_near(rng, courses * fabric.course_mm, 0.02)), 0.8),
        flat_width_mm=_maybe(rng, round(_near(rng, needles * fabric.wale_mm / 2, 0.02)), 0.6),
        mass_g=_maybe(rng, round(_near(rng, 40.0, 0.1)), 0.3),
        washes=int(rng.integers(0, 3)),
        answers=answers,
    )


def _sock(rng: Rng, machine: Machine) -> SockGiven:
    needles = _maybe(rng, _one(rng, machine.cylinders).needles, 0.3)
    half = (needles or min(cylinder.needles for cylinder in machine.cylinders)) // 2
    toe_cup = _maybe(rng, _cup(rng, half), 0.3)
    closing = Closing.GATHER if rng.random() < 0.15 else Closing.GRAFT
    return SockGiven(
        cuff=_cuff(rng),
        leg=_leg(rng),
        heel=_heel(rng, half),
        toe=ToeGiven(
            _one(rng, tuple(ToeHalf)), None if closing is Closing.GATHER else toe_cup, closing
        ),
        ease=EaseGiven(float(rng.uniform(0.05, 0.15)), float(rng.uniform(0.0, 0.06))),
        drape=_one(rng, tuple(Drape)),
        needles=needles,
    )


def _cuff(rng: Rng) -> CuffGiven:
    kind = _one(rng, tuple(CuffKind))
    given = CuffGiven(
        kind, _maybe(rng, float(rng.uniform(15, 60))), remainder=_one(rng, tuple(Remainder))
    )
    if given.depth_mm is None:
        given = replace(given, rounds=_maybe(rng, int(rng.integers(6, 40)), 0.3))
    if kind is CuffKind.MOCK_RIB_HEM:
        return replace(given, every=int(rng.integers(2, 6)))
    if kind is CuffKind.TRUE_RIB:
        return replace(given, rib=_one(rng, RIBS), rib_to=_one(rng, tuple(RibEnd)))
    return given


def _leg(rng: Rng) -> LegGiven:
    given = (
        LegGiven(),
        LegGiven(height_mm=float(rng.uniform(150, 420))),
        LegGiven(leg_mm=float(rng.uniform(40, 300))),
        LegGiven(rounds=int(rng.integers(5, 120))),
    )
    return replace(_one(rng, given), shaped=rng.random() < 0.3)


def _cup(rng: Rng, half: int) -> CupGiven:
    most = max(half // 2, 5)
    kept = _maybe(rng, int(rng.integers(4, most)))
    if kept is not None and (half - kept) % 2 and rng.random() < 0.9:
        kept += 1
    return CupGiven(kept, _one(rng, tuple(Widening)), _one(rng, (1, 2)))


def _heel(rng: Rng, half: int) -> HeelGiven:
    cup = _cup(rng, half)
    kind = _one(rng, (HeelKind.SHORT_ROW, HeelKind.SHORT_ROW, HeelKind.AFTERTHOUGHT))
    if kind is HeelKind.AFTERTHOUGHT or rng.random() < 0.7 or half < 16:
        return HeelGiven(kind, cup)
    kept = cup.kept or half // 3
    deep = kept + 2 * int(rng.integers(1, 5))
    return HeelGiven(kind, replace(cup, kept=kept), deep, int(rng.integers(1, 5)))


@dataclass(frozen=True)
class Outcome:
    """How one random order ended: "planned", or why not (numbers left out), and its loops."""

    word: str
    loops: int = 0


def outcome(number: int) -> Outcome:
    """Plan and prove random order `number`; any other error than a refusal comes through."""
    try:
        plan = make_plan(random_order(np.random.default_rng(number))).first
    except CannotMake as refusal:
        return Outcome(f"cannot make: {_kind(str(refusal.reason))}")
    except OrderError as error:
        return Outcome(f"order: {_kind(str(error.problems[0].wrong))}")
    codes = sorted({finding.code.value for finding in plan.dry_run.errors})
    return Outcome(f"planned, {' '.join(codes)}" if codes else "planned", len(plan.dry_run.loops))


def _kind(reason: str) -> str:
    """A reason without its numbers, so that like ones are counted together."""
    return re.sub(r"-?\d+(\.\d+)?", "#", reason.split(": ")[-1])


@dataclass(frozen=True)
class Figures:
    """How many random orders were planned and proven, in how many seconds, and how they ended."""

    orders: int
    seconds: float
    loops: int
    outcomes: Tally[str]

    @property
    def per_second(self) -> float:
        """Orders a second, refused ones included."""
        return self.orders / self.seconds

    def share(self, beginning: str) -> float:
        """Share of the orders whose outcome begins so."""
        ended = (n for word, n in self.outcomes.items() if word.startswith(beginning))
        return sum(ended) / self.orders


def measure(count: int = 10_000, processes: int = 2) -> Figures:
    """Plan and prove `count` random orders on so many processes."""
    start = time.perf_counter()
    if processes == 1:
        ended = [outcome(number) for number in range(count)]
    else:
        with ProcessPoolExecutor(processes) as pool:
            ended = list(pool.map(outcome, range(count), chunksize=max(1, count // 100)))
    seconds = time.perf_counter() - start
    return Figures(count, seconds, sum(e.loops for e in ended), Tally(e.word for e in ended))


def run(count: int = 10_000, processes: int = 2) -> list[Line]:
    """The lines of a table of timings for `count` random orders on so many processes."""
    figures = measure(count, processes)
    proven = figures.share("planned") - figures.share("planned, ")
    return [
        Line(
            f"{count} random orders, {processes} processes",
            f"{figures.seconds:.0f} s, {figures.per_second:.0f} a second",
            target="<= 120 s",
        ),
        Line("of these planned and proven", f"{proven:.1%}"),
        Line("planned, but short of yarn", f"{figures.share('planned, yarn-gone'):.1%}"),
        Line("refused with a reason", f"{1 - figures.share('planned'):.1%}"),
    ]


def main() -> None:
    """Print the figures of one run, and how often each outcome came."""
    count, processes = (*map(int, sys.argv[1:3]), *(10_000, 2)[len(sys.argv[1:3]) :])
    figures = measure(count, processes)
    print(
        f"{count} orders, {figures.loops} loops in {figures.seconds:.1f} s on {processes} "
        f"processes: {figures.per_second:.0f} a second; {1 - figures.share('planned'):.1%} refused"
    )
    for word, number in figures.outcomes.most_common():
        print(f"{number:7d}  {word}")


if __name__ == "__main__":
    main()
