"""What the keys of a finished sock mean, and what is said of one that is wrong."""

from __future__ import annotations

import pytest

from order.texts import read
from sockwright.errors import OrderError
from sockwright.order import model

FINISHED_FULL = """
date = 2026-02-11
needles = 60
cam = 14
yarn = "main"
leg_fabric = "3x1"
hem_rounds = 25
leg_rounds = 62
foot_rounds = 50
heel_rows = 40
toe_rows = 40
loops = 9900
foot_length = "23.4 cm"
leg_length = "15 cm"
flat_width = "9.9 cm"
leg_flat_width = "8 cm"
mass = "36 g"
washes = 2
confirmed = true
[finished.answers]
length = "short"
round = "right"
heel = "deep"
putting_on = "with a tug"
stays_up = "slips"
"""


def test_a_finished_sock_with_all_it_may_say() -> None:
    (sock,) = read(finished=FINISHED_FULL).finished
    assert sock == model.FinishedGiven(
        name="sock 1",
        needles=60,
        date="2026-02-11",
        cam=14.0,
        leg_fabric=model.Fabric.RIB_3X1,
        hem_rounds=25,
        leg_rounds=62,
        foot_rounds=50,
        heel_rows=40,
        toe_rows=40,
        loops=9900,
        foot_length_mm=234.0,
        leg_length_mm=150.0,
        flat_width_mm=99.0,
        leg_flat_width_mm=80.0,
        mass_g=36.0,
        washes=2,
        confirmed=True,
        answers=model.AnswersGiven(
            model.LengthAnswer.SHORT,
            model.RoundAnswer.RIGHT,
            model.HeelAnswer.DEEP,
            model.PuttingOnAnswer.TUG,
            model.StaysUpAnswer.SLIPS,
        ),
    )


def test_a_finished_sock_of_a_yarn_that_the_order_has_not() -> None:
    (sock,) = read(
        finished='name = "last winter"\nneedles = 72\nfineness = "100 g / 500 m"\n'
        'foretold = { wale = "2.9 mm", course = "2.2 mm", loop = "11.6 mm" }'
    ).finished
    assert (sock.name, sock.tex) == ("last winter", 200.0)
    assert sock.foretold == model.ForetoldGiven(2.9, 2.2, 11.6)


@pytest.mark.parametrize(
    ("line", "path"),
    [
        ('foot_length = "2 km"', "finished.foot_length"),
        ("foot_rounds = -1", "finished.foot_rounds"),
        ('mass = "36 kg"', "finished.mass"),
        ('yarn = "heel"', "finished[1].yarn"),
        ('answers = { length = "shortish" }', "finished.answers.length"),
        ('weight = "36 g"', "finished.weight"),
        ("washes = 0.5", "finished.washes"),
    ],
)
def test_what_a_finished_sock_cannot_say_is_refused_by_its_key(line: str, path: str) -> None:
    with pytest.raises(OrderError) as refused:
        read(finished=f"needles = 60\n{line}")
    assert [problem.path for problem in refused.value.problems] == [path]
