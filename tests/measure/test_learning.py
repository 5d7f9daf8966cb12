"""What finished socks teach: the model's worked numbers, its laws, and simulated makers."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import permutations
from math import exp, log
from pathlib import Path

import numpy as np
import pytest

from sockwright.facts import table
from sockwright.measure.finished import (
    Component,
    SockReading,
    pooled,
    read_course,
    read_loop,
    read_wale,
)
from sockwright.measure.learning import Factor, Learned, learn
from sockwright.measure.lesson_parts import Source, variance_parts
from sockwright.measure.swatched import Fabrics, Swatched, serviced, together

sys.path.append(str(Path(__file__).parents[2]))

from benchmarks.bench_learning import CASES, ORDINARY, Makers, many_socks, simulate

WALE, COURSE, LOOP = Component
MEAN = np.array([log(3.30), log(2.45), log(13.2), 0.0])
SWATCH = Swatched(MEAN, np.diag([0.012**2] * 3 + [0.03**2]), group=0, yarn=0)
SHIFTS = ((0.022, 0.004), (0.018, -0.006), (0.026, 0.002))
"""Three socks against that swatch: ln of course and of wale."""


def reading(sock: int, component: Component, shift: float, fabric: int = 0) -> SockReading:
    sd = {WALE: 0.006, COURSE: 0.0055, LOOP: 0.004}[component]
    value = MEAN[list(Component).index(component)] + shift
    return SockReading(fabric, component, value, sd**2, sock)


def first(socks: int) -> list[SockReading]:
    """The readings of so many of the three socks."""
    return [
        reading(sock, component, shift)
        for sock, shifts in enumerate(SHIFTS[:socks])
        for component, shift in zip((COURSE, WALE), shifts, strict=True)
    ]


def one_fabric() -> Fabrics:
    return together([SWATCH], [0.03])


def sd_of_next(learned: Learned, fabric: int = 0) -> float:
    """Of the next sock's course, in per cent."""
    return float(100 * np.sqrt(learned.lessons[fabric].next_cov[1, 1]))


def courses_differ(found: Factor, shift: float, sd: float) -> None:
    assert found.shift == pytest.approx(shift, abs=0.00006)
    assert found.sd == pytest.approx(sd, abs=0.00006)


@pytest.mark.parametrize(
    ("socks", "shift", "sd", "next_sd"),
    [(1, 0.0174, 0.0111, 1.58), (2, 0.0179, 0.0075, 1.22), (3, 0.0207, 0.0056, 1.00)],
)
def test_the_worked_socks(socks: int, shift: float, sd: float, next_sd: float) -> None:
    """Worked by the design of the model, with the biases as unknowns of their own."""
    learned = learn(one_fabric(), first(socks))
    courses_differ(learned.lessons[0].factor(COURSE), shift, sd)
    assert learned.lessons[0].factor(COURSE).value == pytest.approx(exp(shift), abs=0.0001)
    assert sd_of_next(learned) == pytest.approx(next_sd, abs=0.006)
    assert learned.socks == learned.lessons[0].socks == socks


def test_the_worked_socks_tell_less_of_another_class_of_yarn() -> None:
    other = replace(SWATCH, group=1, yarn=1)
    learned = learn(together([SWATCH, other], [0.03, 0.03]), first(3))
    courses_differ(learned.lessons[1].factor(COURSE), 0.0066, 0.0259)
    assert learned.lessons[1].socks == 0


def test_the_worked_socks_and_a_service() -> None:
    fabrics = serviced(one_fabric(), 0)
    before = learn(fabrics, first(3))
    assert before.lessons[1].factor(COURSE).shift == pytest.approx(0.0198, abs=0.00006)
    assert sd_of_next(before, 1) == pytest.approx(3.3, abs=0.05)
    assert (before.lessons[1].socks, before.lessons[1].stale) == (3, 3)
    since = learn(fabrics, [*first(3), reading(3, COURSE, 0.055, fabric=1)])
    assert since.lessons[1].factor(COURSE).shift == pytest.approx(0.0519, abs=0.00006)
    assert sd_of_next(since, 1) == pytest.approx(1.25, abs=0.006)
    assert (since.lessons[1].socks, since.lessons[1].stale) == (4, 3)
    assert (since.lessons[0].socks, since.lessons[0].stale) == (3, 0)
    again = learn(serviced(fabrics, 1), [*first(3), reading(3, COURSE, 0.055, fabric=1)])
    assert (again.lessons[2].socks, again.lessons[2].stale) == (4, 4)


def test_without_a_sock_nothing_changes_but_what_is_expected_of_the_next() -> None:
    fabrics = one_fabric()
    lesson = learn(fabrics, []).lessons[0]
    assert np.array_equal(lesson.mean, MEAN)
    assert np.array_equal(lesson.cov, fabrics.cov)
    assert lesson.factor(COURSE) == Factor(0.0, 0.0)
    assert (lesson.socks, lesson.stale) == (0, 0)
    # Swatch 1.2 %, bias 3.1 % and scatter 1.2 %.
    assert 100 * np.sqrt(lesson.next_cov[0, 0]) == pytest.approx(3.5, abs=0.05)


def mixed(seed: int, socks: int = 9) -> tuple[Fabrics, list[SockReading]]:
    """Fabrics whose swatches hang together, three groups, two yarns, one service, some socks."""
    rng = np.random.default_rng(seed)
    size = 3 * 3 + 2
    factor = rng.normal(0, 0.01, (size, size))
    mean = np.concatenate([np.tile(MEAN[:3], 3), [0.0, 0.0]])
    groups, yarns = np.array([0, 1, 2]), np.array([0, 1, 1])
    alone = np.full(3, -1)
    fabrics = serviced(Fabrics(mean, factor @ factor.T, groups, yarns, alone), 1)
    readings = [
        reading(sock, component, rng.normal(0.02, 0.012), fabric=sock % 4)
        for sock in range(socks)
        for component in Component
        if rng.uniform() < 0.8
    ]
    return fabrics, readings


def in_so_many_unknowns(
    fabrics: Fabrics, readings: list[SockReading]
) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of the fabrics' next socks by the model as it is written down: fabrics,
    the maker's bias and every group's as unknowns of their own, reading by reading."""
    known = {name: row.number for name, row in table("learning").items()}
    count, groups = len(fabrics), int(fabrics.group.max()) + 1
    size = len(fabrics.mean) + 3 + 3 * groups
    sums = np.zeros((len(fabrics.mean), size))  # what a sock of each fabric is the sum of
    sums[:, : len(fabrics.mean)] = np.eye(len(fabrics.mean))
    for row in range(3 * count):
        fabric, component = divmod(row, 3)
        sums[row, len(fabrics.mean) + component] = 1
        sums[row, len(fabrics.mean) + 3 + 3 * int(fabrics.group[fabric]) + component] = 1
    taken = []
    for one in readings:
        row = sums[3 * one.fabric + list(Component).index(one.component)].copy()
        row[3 * count + int(fabrics.yarn[one.fabric])] += one.component is LOOP
        taken.append(row)
    rows, values = np.array(taken), np.array([one.value for one in readings])
    noise = np.array([one.variance for one in readings])
    start = np.concatenate([fabrics.mean, np.zeros(3 + 3 * groups)])
    logs, means, covs = [], [], []
    for bias in range(1, 6):
        for scatter in range(1, 6):
            tau2 = known[f"bias_sd_{bias}"] ** 2
            prior = np.zeros((size, size))
            prior[: len(fabrics.mean), : len(fabrics.mean)] = fabrics.cov
            at = np.arange(size)
            prior[at[: 3 * count], at[: 3 * count]] += known["own_share"] * tau2
            maker = at[len(fabrics.mean) : len(fabrics.mean) + 3]
            prior[maker, maker] = known["maker_share"] * tau2
            of_groups = at[len(fabrics.mean) + 3 :]
            prior[of_groups, of_groups] = known["group_share"] * tau2
            q = 1 / (noise + known[f"scatter_sd_{scatter}"] ** 2)
            precision = np.linalg.inv(prior) + rows.T * q @ rows
            gap = values - rows @ start
            b = rows.T @ (q * gap)
            misfit = gap @ (q * gap) - b @ np.linalg.solve(precision, b)
            volume = np.linalg.slogdet(precision)[1] + np.linalg.slogdet(prior)[1]
            odds = known[f"bias_odds_{bias}"] * known[f"scatter_odds_{scatter}"]
            logs.append(np.log(odds) - (misfit + volume - np.log(q).sum()) / 2)
            means.append(sums @ (start + np.linalg.solve(precision, b)))
            covs.append(sums @ np.linalg.inv(precision) @ sums.T)
    weights = np.exp(np.array(logs) - max(logs))
    weights /= weights.sum()
    mean = weights @ np.array(means)
    apart = np.array(means) - mean
    return mean, np.tensordot(weights, np.array(covs), 1) + (weights * apart.T) @ apart


@pytest.mark.parametrize("seed", range(3))
def test_the_sums_are_those_of_the_model_as_it_is_written_down(seed: int) -> None:
    fabrics, readings = mixed(seed)
    learned = learn(fabrics, readings)
    assert learned.odd == ()
    mean, cov = in_so_many_unknowns(fabrics, readings)
    for number, lesson in enumerate(learned.lessons):
        at = fabrics.places(number)
        assert lesson.mean == pytest.approx(mean[at], abs=1e-9)
        assert lesson.cov == pytest.approx(cov[np.ix_(at, at)], abs=1e-9)


@pytest.mark.parametrize("slip", [0.0, 0.12])
def test_the_parts_of_a_variance_are_the_whole_of_it(slip: float) -> None:
    fabrics, readings = mixed(5)
    readings[0] = replace(readings[0], value=readings[0].value + slip)
    for learned in (learn(fabrics, readings), learn(fabrics, [])):
        assert bool(learned.odd) == bool(slip and learned.socks)
        for number, lesson in enumerate(learned.lessons):
            for place, component in enumerate(Component):
                parts = variance_parts(learned, number, component)
                whole = sum(part.variance for part in parts)
                assert whole == pytest.approx(lesson.cov[place, place], rel=1e-9)
                assert len({(part.source, part.number) for part in parts}) == len(parts)


def test_a_part_is_that_of_its_source() -> None:
    """A fabric never knitted a sock of shares with the others the maker's bias alone."""
    other = replace(SWATCH, group=1, yarn=1)
    learned = learn(together([SWATCH, other], [0.03, 0.03]), first(3))
    parts = {(p.source, p.number): p.variance for p in variance_parts(learned, 1, COURSE)}
    assert parts[Source.SWATCHES, 1] == pytest.approx(0.012**2)
    tau2 = learned.bias_sd**2
    assert parts[Source.GROUP, 1] == pytest.approx(0.49 * tau2)
    assert parts[Source.OWN, 1] == pytest.approx(0.06 * tau2)
    assert 0 < parts[Source.MAKER, None] < 0.45 * tau2
    assert {number for source, number in parts if source is Source.SOCK} == {0, 1, 2}


def test_the_order_of_socks_does_not_matter_and_one_taken_away_leaves_no_trace() -> None:
    fabrics = one_fabric()
    means = [learn(fabrics, list(each)).lessons[0].mean for each in permutations(first(2))]
    assert means == [pytest.approx(means[0], abs=1e-12)] * len(means)
    learn(fabrics, first(3))
    assert np.array_equal(learn(fabrics, first(2)).lessons[0].mean, means[0])


def test_an_odd_reading_is_asked_about_and_counts_little_until_it_is_confirmed() -> None:
    fabrics = one_fabric()
    pulled = reading(7, COURSE, 0.10)
    kept = [*first(3), pulled]
    learned, without = learn(fabrics, kept), learn(fabrics, first(3))
    assert [(odd.sock, odd.component) for odd in learned.odd] == [(7, COURSE)]
    assert learned.odd[0].sds > 3.5
    sure = learn(fabrics, [*first(3), replace(pulled, confirmed=True)])
    assert sure.odd == ()
    shifts = [each.lessons[0].factor(COURSE).shift for each in (without, learned, sure)]
    assert shifts == sorted(shifts)
    assert shifts[1] - shifts[0] < (shifts[2] - shifts[0]) / 3
    low = learn(fabrics, [*first(3), reading(7, COURSE, -0.10)])
    assert low.odd[0].sds < -3.5


def test_odd_readings_do_not_make_the_sound_ones_look_odd() -> None:
    fabrics = one_fabric()
    sound = [reading(sock, COURSE, 0.02 + 0.002 * (sock % 5)) for sock in range(10)]
    pulled = [reading(sock, COURSE, 0.14) for sock in (20, 21)]
    assert {odd.sock for odd in learn(fabrics, sound + pulled).odd} == {20, 21}
    # Of two alone, each is far from the other, and one also from the swatch.
    assert {odd.sock for odd in learn(fabrics, [sound[0], pulled[0]]).odd} == {20}


def test_a_pair_of_socks_that_agree_far_from_the_swatch_is_believed_when_more_come() -> None:
    """The swatch was wrong, not the socks."""
    fabrics = one_fabric()
    socks = [reading(sock, COURSE, 0.11 + 0.004 * (sock % 3)) for sock in range(6)]
    learned = learn(fabrics, socks)
    assert learned.odd == ()
    assert learned.lessons[0].factor(COURSE).shift == pytest.approx(0.11, abs=0.01)


def test_a_weighed_sock_tells_of_its_yarn_in_every_fabric() -> None:
    """Its grams are loop and fineness together: a thicker yarn shows where the loop is known."""
    known = Swatched(MEAN, np.diag([0.012**2] * 2 + [0.001**2, 0.03**2]), group=0, yarn=0)
    fabrics = together([known, replace(SWATCH, group=1)], [0.03])
    socks = [reading(sock, LOOP, 0.06) for sock in range(4)]
    here, there = learn(fabrics, socks).lessons
    assert here.mean[3] == there.mean[3] > 0.01
    weighs = here.mean[2] + here.mean[3] - MEAN[2]
    assert weighs == pytest.approx(0.06, abs=0.006)
    apart = here.cov[2, 2] + here.cov[3, 3] + 2 * here.cov[2, 3]
    assert apart < 0.2 * min(here.cov[2, 2], here.cov[3, 3])


def test_two_readings_of_one_sock_share_its_scatter() -> None:
    foot, leg = reading(0, COURSE, 0.02), reading(0, COURSE, 0.03)
    (both,) = pooled([foot, replace(leg, variance=foot.variance / 3)])
    assert both.value == pytest.approx(MEAN[1] + 0.0275)
    assert both.variance == pytest.approx(foot.variance / 4)
    one_sock = learn(one_fabric(), [foot, leg])
    two_socks = learn(one_fabric(), [foot, replace(leg, sock=1)])
    assert one_sock.socks == 1
    assert one_sock.lessons[0].cov[1, 1] > two_socks.lessons[0].cov[1, 1]


def test_a_reading_of_a_sock_that_is_both_is_confirmed_if_all_of_it_is() -> None:
    sure, unsure = replace(reading(0, WALE, 0.0), confirmed=True), reading(0, WALE, 0.01)
    assert not pooled([sure, unsure])[0].confirmed
    assert pooled([sure, replace(unsure, confirmed=True)])[0].confirmed


def test_sizes_of_a_sock_are_what_is_measured_over_what_was_knitted() -> None:
    """Half a millimetre of a ruler is an sd of 0.29 mm; laying flat is half a per cent."""
    course = read_course(0, 1, 230.0, 92, 0.5)
    assert exp(course.value) == pytest.approx(2.5)
    assert course.variance == pytest.approx((0.2887 / 230) ** 2 + 0.005**2, rel=1e-3)
    wale = read_wale(0, 1, 99.0, 60, 0.5)
    assert exp(wale.value) == pytest.approx(3.3)
    assert wale.variance == pytest.approx((0.2887 / 99) ** 2 + 0.005**2, rel=1e-3)
    loop = read_loop(0, 1, 32.5, 10_000, 250, 0.5)
    assert exp(loop.value) == pytest.approx(13.0)  # 130 m at 250 g to the kilometre
    assert loop.variance == pytest.approx((0.2887 / 32.5) ** 2, rel=1e-3)


def test_a_yarn_learns_its_fineness_from_all_its_swatches() -> None:
    """Two that each halve the variance leave a third of it; what hung on it moves along."""
    cov = np.diag([0.012**2, 0.012**2, 0.02**2, 0.03**2 / 2])
    cov[2, 3] = cov[3, 2] = -cov[3, 3] / 2
    mean = MEAN + np.array([0, 0, 0, 0.01])
    fabrics = together([Swatched(mean, cov, 0, 0), Swatched(mean, cov, 1, 0)], [0.03])
    assert fabrics.cov[6, 6] == pytest.approx(0.03**2 / 3)
    assert fabrics.mean[6] == pytest.approx(2 * 0.01 * 2 / 3)
    assert fabrics.mean[2] == pytest.approx(MEAN[2] - (fabrics.mean[6] - 0.01) / 2)
    assert fabrics.cov[2, 5] == pytest.approx(0.03**2 / 3 / 4)
    alone = together([Swatched(mean, cov, 0, 0)], [0.03])
    assert alone.cov == pytest.approx(cov)
    assert alone.mean == pytest.approx(mean)


def test_what_is_no_reading_and_what_are_no_fabrics() -> None:
    with pytest.raises(ValueError, match="variance"):
        SockReading(0, WALE, 1.0, 0.0, 0)
    with pytest.raises(ValueError, match="finite"):
        SockReading(0, WALE, float("nan"), 0.1, 0)
    with pytest.raises(ValueError, match="0 to 0"):
        learn(one_fabric(), [reading(0, WALE, 0.0, fabric=1)])
    with pytest.raises(ValueError, match="fineness"):
        together([SWATCH], [0.01])
    good = one_fabric()
    for wrong in ({"cov": np.eye(3)}, {"yarn": np.array([1])}, {"before": np.array([0])}):
        with pytest.raises(ValueError, match=r"right|0 to 0|earlier"):
            replace(good, **wrong)


def test_two_hundred_socks_are_learnt_from_as_they_lie() -> None:
    """They were made 2 % longer than their swatches, 1.2 % from reading (0.6 %) and scatter."""
    fabrics, readings = many_socks()
    learned = learn(fabrics, readings)
    assert learned.socks == 200
    assert learned.scatter_sd == pytest.approx(0.0104, abs=0.002)
    shifts = [lesson.factor(COURSE).shift for lesson in learned.lessons]
    assert np.mean(shifts) == pytest.approx(0.02, abs=0.003)


def test_simulated_makers_are_foretold() -> None:
    rng = np.random.default_rng(3)
    outcome = simulate(replace(ORDINARY, count=150, pairs=5), rng)
    assert 0.91 <= outcome.cover().mean() <= 0.99
    assert outcome.against_swatches(3).max() <= 0.45
    new_yarn = simulate(replace(CASES[1], count=80, pairs=4), rng)
    assert 0.91 <= new_yarn.cover().mean() <= 0.99
    assert new_yarn.against_swatches(3).mean() <= 0.62


@pytest.mark.long
@pytest.mark.parametrize(("makers", "limit"), [(CASES[0], 0.45), (CASES[1], 0.6)])
def test_the_next_sock_of_many_simulated_makers_lies_in_its_interval(
    makers: Makers, limit: float
) -> None:
    """Girth and length together, so many that the simulation errs by a quarter of a per cent. At
    pair 2 one sock says nothing of the scatter yet, and the interval is a little wide."""
    outcome = simulate(replace(makers, count=3000), np.random.default_rng(1))
    cover = outcome.cover().mean(axis=1)
    assert cover.min() >= 0.93
    assert np.delete(cover, 1).max() <= 0.97
    assert cover[1] <= 0.98
    assert outcome.against_swatches(3).max() <= limit
