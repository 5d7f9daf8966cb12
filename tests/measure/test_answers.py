"""What a wearer's words move: the worked answers, series of them, and the smallest change."""

from __future__ import annotations

from collections.abc import Iterable
from math import exp, log

import numpy as np
import pytest

from sockwright.estimates import Estimate
from sockwright.measure.answers import (
    Answer,
    HeelAnswer,
    LengthAnswer,
    PuttingOnAnswer,
    RoundAnswer,
    Scale,
    StaysUpAnswer,
    girth_scale,
    grip_scale,
    hear,
    heel_scale,
    length_scale,
    opening_scale,
    pull_is_due,
    replay,
)
from sockwright.measure.smallest_change import (
    GirthChange,
    Room,
    girth_change,
    kept_more,
    rounds_more,
)

OPENING = Estimate(1.80, 1.80 * 0.07, "1")
EASILY, AT_ALL = 0.889, 1.111
OPENS = opening_scale(OPENING, EASILY, AT_ALL)


@pytest.mark.parametrize(
    ("scale", "answer", "mean", "sd"),
    [
        (length_scale(), Answer("short", -0.01, 0.006), 1.25, 1.6),
        (length_scale(), Answer("right", 0.0, 0.006), 0.0, 1.46),
        (length_scale(), Answer("long", 0.01, 0.006), -1.25, 1.6),
        (girth_scale(), Answer("tight", 0.0, 0.012), 2.1, 2.9),
    ],
)
def test_the_worked_answers(scale: Scale, answer: Answer, mean: float, sd: float) -> None:
    heard = hear(scale, [answer])
    assert 100 * heard.applied == pytest.approx(mean, abs=0.05)
    assert 100 * heard.sd == pytest.approx(sd, abs=0.05)


@pytest.mark.parametrize(
    ("words", "need", "opens", "sd"),
    [
        (["hardly"], 1.6, 1.704, 6.7),
        (["hardly", "hardly"], 1.6, 1.652, None),
        (["easily"], 1.6, 1.867, None),
        (["easily"], 1.5, 1.836, None),
    ],
)
def test_the_worked_openings(words: list[str], need: float, opens: float, sd: float | None) -> None:
    heard = hear(OPENS, [Answer(word, log(need), 0.04) for word in words])
    assert exp(heard.applied) == exp(heard.mean) == pytest.approx(opens, abs=0.0015)
    if sd is not None:
        assert 100 * heard.sd == pytest.approx(sd, abs=0.05)


def knitted(scale: Scale, words: list[str], sd: float) -> list[float]:
    """What a plan uses after each word, in per cent, every sock knitted as planned before it."""
    answers: list[Answer] = []
    applied = [0.0]
    for word in words:
        answers.append(Answer(word, applied[-1], sd))
        applied.append(hear(scale, answers).applied)
    return [100 * one for one in applied[1:]]


def test_short_for_ever_lengthens_less_and_less() -> None:
    found = knitted(length_scale(), ["short"] * 40, 0.006)
    at = [found[number - 1] for number in (1, 2, 3, 5, 10, 40)]
    assert at == pytest.approx([1.25, 2.1, 2.4, 2.75, 3.2, 3.9], abs=0.051)
    assert found == sorted(found)
    assert found[-1] < 5


def test_words_that_alternate_lead_back_to_the_usual_wish() -> None:
    found = knitted(length_scale(), ["long", "short"] * 4, 0.006)
    assert found[:4] == pytest.approx([-1.25, 0, -0.7, 0], abs=0.05)
    assert found[4:] == pytest.approx([0] * 4, abs=0.05)


def test_answers_that_contradict_each_other_are_told_and_move_nothing_outward() -> None:
    """The fourth word leaves it likelier that the words mean nothing; the fifth would move it."""
    answers: list[Answer] = []
    for word in ["long", "short"] * 3:
        answers.append(Answer(word, hear(length_scale(), answers).applied, 0.006))
    heard = replay(length_scale(), answers)
    assert [one.contradictory for one in heard] == [False] * 4 + [True] * 3
    assert 100 * heard[5].mean == pytest.approx(-0.3, abs=0.05)
    assert abs(heard[5].applied) <= abs(heard[4].applied)


def test_the_heard_is_nothing_before_any_answer_and_after_the_last_was_taken_back() -> None:
    answers = [Answer("short", 0.0, 0.006), Answer("long", 0.03, 0.006)]
    heard = replay(length_scale(), answers)
    assert heard[0].applied == pytest.approx(0.0, abs=1e-12)
    assert heard[0].trust == pytest.approx((0.75, 0.15, 0.10))
    assert 100 * heard[0].sd == pytest.approx(1.8, abs=0.06)  # the prior, cut off at 2.8 sds
    assert heard[1] == hear(length_scale(), answers[:1])
    assert heard[0] == hear(length_scale(), [])


@pytest.mark.parametrize(
    ("scale", "words", "usual"),
    [
        (length_scale(), LengthAnswer, 0.0),
        (girth_scale(), RoundAnswer, 0.0),
        (heel_scale(), HeelAnswer, 0.0),
        (grip_scale(), (StaysUpAnswer.SLIPS, StaysUpAnswer.YES), 0.0),
        (OPENS, PuttingOnAnswer, log(1.8)),
    ],
)
def test_every_word_in_turn_moves_the_unknown_down(
    scale: Scale, words: Iterable[str], usual: float
) -> None:
    """Short, tight, shallow, slips: more is wished for or needed; easily: the fabric opens more."""
    means = [hear(scale, [Answer(word, usual, 0.01)]).mean for word in words]
    assert means == sorted(means, reverse=True)
    assert means[0] > scale.mean > means[-1]


@pytest.mark.parametrize("scale", [length_scale(), girth_scale(), heel_scale(), grip_scale()])
def test_a_plan_follows_one_sock_by_one_step_at_most_and_stays_in_reach(scale: Scale) -> None:
    assert scale.step is not None
    for word in scale.words:
        heard = replay(scale, [Answer(word, 4 * scale.sd, 0.01)] * 30)
        steps = np.diff([one.applied for one in heard])
        assert np.abs(steps).max() <= scale.step + 1e-12
        assert max(abs(one.applied) for one in heard) < scale.reach


def test_the_words_are_those_of_the_order() -> None:
    assert length_scale().words == ("short", "right", "long")
    assert girth_scale().words == ("tight", "right", "loose")
    assert heel_scale().words == ("shallow", "right", "deep")
    assert OPENS.words == ("easily", "with a tug", "hardly", "not")
    assert {*grip_scale().words} == {"yes", "slips"}
    with pytest.raises(ValueError, match="short, right, long"):
        hear(length_scale(), [Answer("tight", 0.0, 0.01)])


def test_a_pull_is_due_after_two_that_did_not_go_on_though_they_should_have() -> None:
    hopeless, surprising = Answer("not", log(2.1), 0.04), Answer("not", log(1.5), 0.04)
    assert not pull_is_due(
        [surprising, hopeless, Answer("easily", log(1.5), 0.04)], OPENING, EASILY
    )
    assert pull_is_due([surprising, hopeless, surprising], OPENING, EASILY)


def simulated(scale: Scale, true_sd: float, offset_sd: float, wearers: int) -> list[float]:
    """Root mean square per cent off the true wish after each of five answers."""
    rng = np.random.default_rng(5)
    off = np.zeros((wearers, 6))
    for wearer in range(wearers):
        wish = rng.normal(0, true_sd)
        answers: list[Answer] = []
        for turn in range(6):
            applied = hear(scale, answers).applied
            off[wearer, turn] = applied - wish
            made = applied + rng.normal(0, offset_sd)
            felt = made - wish + rng.normal(0, scale.noise)
            word = scale.words[int(np.searchsorted(scale.cuts, felt))]
            answers.append(Answer(word, made, offset_sd))
    return (100 * np.sqrt((off**2).mean(axis=0))).tolist()


def test_simulated_wearers_are_understood() -> None:
    """The wish's error falls from 1.8 to 1.4 and 1.1 % after one and three answers."""
    found = simulated(length_scale(), 0.018, 0.006, 100)
    assert found[:2] == pytest.approx([1.8, 1.4], abs=0.2)
    assert found[3] == pytest.approx(1.1, abs=0.2)


def test_a_shift_is_turned_into_rounds_and_needles() -> None:
    """A round is 2.5 mm of a foot of 230 mm; a heel on 30 needles is set in twos."""
    assert rounds_more(0.0125, 230, 2.5) == 1
    assert rounds_more(-0.02, 230, 2.5) == -2
    assert rounds_more(0.004, 230, 2.5) == 0
    assert [kept_more(shift, 30) for shift in (0.036, -0.07, 0.02)] == [-2, 2, 0]


ROOM = Room(60, kept_gain=0.017, cam_gain=0.012, cam_steps=3, cylinders=(54, 64, 72))


@pytest.mark.parametrize(
    ("shift", "room", "kept", "cam", "needles"),
    [
        (0.010, ROOM, 0, 0, 60),
        (0.021, ROOM, -2, 0, 60),
        (-0.021, ROOM, 2, 0, 60),
        (0.036, ROOM, 0, 3, 60),
        (0.050, ROOM, -2, 3, 60),
        (0.070, ROOM, 0, 0, 64),
        (-0.090, ROOM, 0, 0, 54),
        (0.021, Room(60, 0.017, fewer=False), 0, 0, 60),
        (0.021, Room(60, 0.017, fewer=False, cam_gain=-0.02, cam_steps=1), 0, -1, 60),
        (-0.021, Room(60, 0.017, more=False, cam_gain=0.012, cam_steps=3), 0, -2, 60),
    ],
)
def test_the_smallest_change_of_girth_that_is_enough(
    shift: float, room: Room, kept: int, cam: int, needles: int
) -> None:
    """First the needles kept at the turn, then the cam, both, and last the cylinder."""
    found = girth_change(shift, room)
    assert (found.kept, found.cam, found.needles) == (kept, cam, needles)
    made = -kept / 2 * room.kept_gain + cam * room.cam_gain + log(needles / 60)
    assert found.left == pytest.approx(shift - made)


def test_no_change_is_said_where_nothing_can_be_changed() -> None:
    assert girth_change(0.05, Room(60, 0.017, fewer=False)) == GirthChange(0, 0, 60, 0.05)
