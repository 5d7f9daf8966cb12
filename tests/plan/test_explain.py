"""Where a plan's numbers come from: formulas by hand, and every number named."""

from __future__ import annotations

import json
import tomllib
from dataclasses import replace
from math import log, pi
from pathlib import Path

import pytest

from hasty import HASTY_ORDER, HASTY_PAIR, PLAN, TABLE, at_bottom, into, table
from orders import FOOT, YARN, longer, order
from sockwright.errors import SockwrightError
from sockwright.estimates import Estimate
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CupGiven,
    HeelGiven,
    LegGiven,
    Order,
    Sex,
    ShoeSize,
    ShoeSystem,
    SockGiven,
    ToeGiven,
    WearerGiven,
    YarnGiven,
)
from sockwright.plan.data import plan_data
from sockwright.plan.explain import explain, sources_data
from sockwright.plan.make import make_plan
from sockwright.quantities.printing import told_of

AUTHORITIES = Path(__file__).parents[1] / "truth" / "authorities"
EVERYDAY = tomllib.loads((AUTHORITIES / "gauge.toml").read_text("utf-8"))["everyday"]
INCH_MM = 25.4

# Formulas, by hand.


def test_the_everyday_gauge_follows_from_yarn_and_needles() -> None:
    """273 tex at a middle drape on 72 needles gives the gauge that such yarn is known to give."""
    yarn = YarnGiven("main", "sock yarn", EVERYDAY["tex"])
    bare = replace(order(72, yarns=(yarn,)), swatches=())
    explained = table(make_plan(bare))
    course, wale = explained["gauge.course"], explained["gauge.wale"]
    used = {key: one.value.value for key, one in into(course).items()}
    pitch, tex = used["fit.pitch"], used["yarn.main.fineness"]
    assert pitch == pytest.approx(pi * 111 / 72)
    by_hand = 3.12 * (pitch / 5) ** 0.42 * (tex / 240) ** 0.35 / 1.35
    assert isinstance(course.value, Estimate)
    assert isinstance(wale.value, Estimate)
    assert course.value.value == pytest.approx(by_hand)
    assert INCH_MM / course.value.value == pytest.approx(EVERYDAY["courses_per_inch"], rel=0.03)
    assert INCH_MM / wale.value.value == pytest.approx(EVERYDAY["wales_per_inch"], rel=0.03)
    assert course.standing == "derived"
    # Size and shape, and the powers of pitch and fineness, bring each its own relative variance.
    parts = {
        "gauge.error.size": 0.06**2 + (0.2 * log(pitch / 5)) ** 2 + (0.1 * log(tex / 240)) ** 2,
        "gauge.error.shape": (0.045 / 2) ** 2,
        "fit.pitch": (0.42 * 4.5 / 111) ** 2,
        "order.yarn.main.fineness": (0.35 * 0.03) ** 2,
    }
    whole = sum(parts.values())
    assert at_bottom(course) == {key: pytest.approx(part / whole) for key, part in parts.items()}


def test_a_foot_by_shoe_size_is_the_printed_scale() -> None:
    """EU 42: (42 - 2) / 1.5 cm (printed shoe conversions)."""
    wearer = WearerGiven("dog handler", Sex.MAN, shoe=ShoeSize(ShoeSystem.EU, 42))
    length = explain(make_plan(replace(HASTY_ORDER, wearer=wearer)), "foot.length")
    assert isinstance(length.value, Estimate)
    assert length.value.value == pytest.approx((42 - 2) / 1.5 * 10)
    assert into(length)["wearer.shoe_size"].value == Estimate(42.0, 0.0, "size")
    assert at_bottom(length) == {"wearer.shoe_error": pytest.approx(1.0)}
    assert length.standing == "published"


def test_a_mass_is_length_times_fineness_and_what_was_weighed_counts() -> None:
    """ISO 1144: tex is grams in 1000 m; within a tenth of a per cent, for tails and wraps."""
    mass = TABLE["yarn.main.mass"]
    loop_mass, loop = TABLE["gauge.loop_mass"].value, TABLE["gauge.loop"].value
    assert isinstance(mass.value, Estimate)
    assert isinstance(loop_mass, Estimate)
    assert isinstance(loop, Estimate)
    length = TABLE["yarn.main.length"].value
    assert isinstance(length, Estimate)
    assert mass.value.value == pytest.approx(
        length.value * loop_mass.value / loop.value / 1e3, rel=2e-3
    )
    assert into(mass)["gauge.loop_mass"].share > 0.5


def test_an_ease_is_what_is_missing_to_the_ball_girth() -> None:
    ease = TABLE["fit.girth_ease"]
    tube = into(ease)["fit.girth"].value
    assert isinstance(ease.value, Estimate)
    assert ease.value.value == pytest.approx(1 - tube.value / 220.0)
    assert tube.value == pytest.approx(60 * PLAN.gauge.wale.value)
    assert into(ease)["sock.ease.girth"].value.value == 0.10


def test_rounds_of_the_foot_tell_what_rounding_did() -> None:
    rounds = TABLE["sizing.foot_rounds"]
    used = {key: one.value.value for key, one in into(rounds).items()}
    long = used["foot.length"] * (1 - used["sock.ease.length"]) / used["gauge.course"]
    by_hand = long - used["sizing.heel_rows"] / 2 - used["sizing.toe_rows"] / 2
    assert rounds.exact is not None
    assert rounds.exact.value == pytest.approx(by_hand)
    assert rounds.value == round(by_hand) == PLAN.sizing.foot_rounds
    assert rounds.rounding is not None
    assert f"became {rounds.value}" in rounds.rounding
    more = (round(by_hand) - by_hand) * used["gauge.course"]
    assert f"{abs(more):.1f} mm {'longer' if more > 0 else 'shorter'}" in rounds.rounding


def test_counts_that_were_asked_for_are_not_rounded() -> None:
    sock = SockGiven(CuffGiven(rounds=25), LegGiven(rounds=40), HeelGiven(cup=CupGiven(kept=8)))
    explained = table(make_plan(order(sock=sock)))
    for key, count in {"hem_rounds": 25, "leg_rounds": 40, "heel_kept": 8, "toe_kept": 8}.items():
        number = explained[f"sizing.{key}"]
        assert number.value == count
        assert number.exact is None
        assert {each.origin for each in number.inputs} == {"chosen"}


def test_a_hem_that_cannot_have_its_rounds_says_so() -> None:
    hem = explain(make_plan(order(sock=SockGiven(CuffGiven(rounds=24)))), "sizing.hem_rounds")
    assert hem.value == 23
    assert hem.exact == Estimate(24.0, 0.0, "round")
    assert hem.rounding is not None
    assert hem.rounding.startswith("24 became 23")


def test_the_kept_needles_are_those_nearest_a_third() -> None:
    kept = explain(make_plan(order(64)), "sizing.heel_kept")
    # 32 / 3 = 10.67: 10 leaves 22 to raise, 11 would leave an odd number.
    assert kept.value == 10
    assert kept.exact == Estimate(pytest.approx(32 / 3), 0.0, "needle")
    assert kept.rounding == "10.67 became 10, so that an even number is raised"


def test_the_rows_of_a_gathered_toe_give_way_to_what_gathering_takes() -> None:
    explained = table(make_plan(order(sock=SockGiven(toe=ToeGiven(closing=Closing.GATHER)))))
    lost = explained["sizing.gather_loss"]
    assert at_bottom(lost) == {"sizing.gather_flatness": 1.0}
    assert "sizing.gather_flatness" in at_bottom(explained["sizing.foot_length"])
    assert explained["sizing.toe_rows"].value == 0


def test_minutes_add_up_their_kinds_of_work() -> None:
    minutes = TABLE["minutes"]
    # Every kind of work errs as a whole: its part is amount x sd of its pace.
    rows = PLAN.fabric.short_rows
    assert isinstance(minutes.value, Estimate)
    part = (rows * 4.0 / 60.0 / minutes.value.sd) ** 2  # 8 +- 4 s a row
    assert into(minutes)["pace.seconds_per_row"].share == pytest.approx(part)
    assert minutes.helps is None


# The whole.


def test_numbers_are_named_as_in_the_data() -> None:
    data = plan_data(HASTY_PAIR)
    for key in (
        "gauge.wale",
        "gauge.course",
        "gauge.loop",
        "gauge.tightness",
        "gauge.open_ratio",
        *(f"foot.{name}" for name in PLAN.foot.measures()),
        "fit.girth",
        "fit.girth_ease",
        "fit.heel_opening",
        "fit.fabric_opening",
        "fit.length_ease",
        "sizing.foot_length",
        "sizing.leg_length",
        "fabric.foot_length",
        "fabric.leg_length",
        "fabric.girth",
        "yarn.main.length",
        "yarn.main.mass",
        "yarn.main.pair_mass",
        "minutes",
    ):
        part = data
        for name in key.split("."):
            part = part[name]
        value = TABLE[key].value
        assert isinstance(value, Estimate)
        assert value.as_data().items() <= part.items()


def test_the_second_sock_has_its_own_numbers() -> None:
    pair = make_plan(order(right=longer(FOOT, 12.0)))
    explained = table(pair)
    length = explained["second.foot.length"].value
    assert isinstance(length, Estimate)
    assert length.value == pytest.approx(257.0)
    rounds = explained["second.sizing.foot_rounds"]
    first, second = (sock.sizing.foot_rounds for sock in pair.socks)
    assert rounds.value == second > first
    assert {"second.foot.length", "second.gauge.course"} <= into(rounds).keys()
    assert {"yarn.main.mass", "second.yarn.main.mass"} == into(
        explained["yarn.main.pair_mass"]
    ).keys()
    assert sum(at_bottom(explained["yarn.main.pair_mass"]).values()) == pytest.approx(1, abs=0.01)


def test_every_cylinder_tells_its_fit_by_its_needles() -> None:
    pair = make_plan(order(60, 64, 72))
    explained = table(pair)
    for fit in pair.first.ranking:
        needles = fit.cylinder.needles
        assert explained[f"fit.cylinders.{needles}.girth"].value == fit.girth
        assert explained[f"fit.cylinders.{needles}.girth_ease"].value == fit.girth_ease
    wale = explained["fit.cylinders.72.girth"].inputs[1]
    assert wale.key == "fit.cylinders.72.wale"
    assert explained[wale.key].helps is not None
    assert "on 72 needles" in str(explained[wale.key].helps)
    # Which cylinder: the scores decide.
    assert len(explained["sizing.needles"].inputs) == 3


def test_the_data_can_be_written_as_json() -> None:
    data = sources_data(HASTY_PAIR)
    again = json.loads(json.dumps(data))
    assert again == data
    course = next(each for each in data if each["key"] == "gauge.course")
    assert course["value"].keys() == {"value", "sd", "unit"}
    assert course["value"] == plan_data(HASTY_PAIR)["gauge"]["course"]
    assert course["further"]["sd_before"]["unit"] == "mm"
    assert {each["origin"] for each in course["inputs"]} <= {
        "measured",
        "estimated",
        "chosen",
        "table",
    }


def test_an_unknown_key_is_told_with_keys_like_it() -> None:
    with pytest.raises(SockwrightError, match=r"gauge\.corse is not a number.*gauge\.course"):
        explain(HASTY_PAIR, "gauge.corse")
    with pytest.raises(SockwrightError, match=r"sock\.girth_ease.*fit\.girth_ease"):
        explain(HASTY_PAIR, "sock.girth_ease")


@pytest.mark.parametrize(
    ("key", "value", "units", "words"),
    [
        ("foot.length", Estimate(238.0, 3.0, "mm"), "cm", "23.80 ± 0.30 cm"),
        ("foot.length", Estimate(254.0, 2.54, "mm"), "in", "10.00 ± 0.10 in"),
        ("gauge.course", Estimate(2.5401, 0.0213, "mm"), "cm", "2.540 ± 0.021 mm"),
        ("yarn.main.length", Estimate(129_550.0, 1710.0, "mm"), "cm", "129.6 ± 1.7 m"),
        ("yarn.main.length", Estimate(91_440.0, 914.4, "mm"), "in", "100.0 ± 1.0 yd"),
        ("fit.girth_ease", Estimate(0.098, 0.012, "1"), "cm", "9.8 ± 1.2 %"),
        ("sock.ease.length", Estimate(0.04, 0.0, "1"), "cm", "4 %"),
        ("gauge.error.pull", Estimate(1.0, 0.01, "1"), "cm", "± 1.0 %"),
        ("survey.calf_girth", Estimate(0.0, 14.0, "mm"), "cm", "± 1.4 cm"),
        ("yarn.main.loops", 11470, "cm", "11470"),
        ("minutes", Estimate(56.2, 14.1, "min"), "cm", "56 ± 14 min"),
        ("gauge.areal_mass", Estimate(450.3, 12.0, "g/m2"), "cm", "450 ± 12 g/m²"),
    ],
)
def test_numbers_are_printed_as_far_as_they_are_known(
    key: str, value: Estimate | int, units: str, words: str
) -> None:
    assert told_of(key, value, units) == words


def test_an_order_of_its_own_yarn_tells_a_weighed_skein() -> None:
    weighed: Order = order(yarns=(YARN,))
    fineness = explain(make_plan(weighed), "yarn.main.fineness")
    assert fineness.value == Estimate(277.0, 1.0, "tex")
    assert into(fineness)["order.yarn.main.fineness"].origin == "measured"
    assert fineness.helps is None
