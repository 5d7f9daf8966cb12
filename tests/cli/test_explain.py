"""`sockwright plan ORDER --explain KEY`: where a number comes from, as text and as data."""

from __future__ import annotations

import json
from pathlib import Path

from cli.conftest import Command

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
WINCH = EXAMPLES / "winch-operator.toml"
FORECASTER = EXAMPLES / "avalanche-forecaster.toml"


def test_one_number_is_explained(command: Command) -> None:
    status, out, err = command("plan", WINCH, "--explain", "sizing.foot_rounds")
    assert (status, err) == (0, "")
    words = " ".join(out.split())
    assert "Foot rounds: 50" in words
    assert "= foot length × (1 − length ease) ÷ course − courses of heel and toe" in words
    assert "became 50" in words
    assert "estimated: see gauge.course" in words
    assert "To make it more certain: measure the foot length again" in words
    assert "The crank program" not in words


def test_all_numbers_are_explained_within_the_page(command: Command) -> None:
    status, out, _ = command("plan", FORECASTER, "--explain", "all")
    assert status == 0
    assert max(map(len, out.splitlines())) <= 100
    for key in ("gauge.course", "fit.girth_ease", "minutes", "second.foot.length"):
        assert f"\n  {key}\n" in out


def test_explanations_come_as_data_too(command: Command) -> None:
    status, out, _ = command("plan", WINCH, "--explain", "fit.girth_ease", "--json")
    (ease,) = json.loads(out)
    plan = json.loads(command("plan", WINCH, "--json")[1])
    assert status == 0
    assert ease["value"] == plan["fit"]["girth_ease"]
    assert "sources" not in plan


def test_a_number_that_is_not_there_is_told_with_others_like_it(command: Command) -> None:
    status, out, err = command("plan", WINCH, "--explain", "gauge.corse")
    assert status == 2
    assert out == ""
    assert "gauge.corse is not a number of this plan" in err
    assert "gauge.course" in err
