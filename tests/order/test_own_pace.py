"""[machine.pace]: the maker's own pace, in a file alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sockwright.errors import OrderError
from sockwright.machine import OwnPace
from sockwright.order import new_order, parse_order, to_toml

BARE = to_toml(parse_order(new_order()))
OWN = (OwnPace("plain_rounds_per_minute", 42.5, 3), OwnPace("seconds_per_row", 6.0))


def with_pace(text: str) -> str:
    return f"{BARE}\n[machine.pace]\n{text}\n"


def test_it_is_read_and_written() -> None:
    text = with_pace("plain_rounds_per_minute = { pace = 42.5, socks = 3 }\nseconds_per_row = 6")
    read = parse_order(text)
    assert read.machine == replace(parse_order(BARE).machine, pace=OWN)
    assert parse_order(to_toml(read)) == read


@pytest.mark.parametrize(
    ("line", "path"),
    [
        ("plain_rounds_per_minute = 4000", "plain_rounds_per_minute"),
        ("seconds_per_row = 0", "seconds_per_row"),
        ('seconds_per_graft = "quick"', "seconds_per_graft"),
        ("seconds_per_change = { pace = 30, socks = 0 }", "seconds_per_change.socks"),
        ("seconds_per_change = { socks = 2 }", "seconds_per_change.pace"),
        ("rib_rounds_per_minute = nan", "rib_rounds_per_minute"),
        ("finishing_minutes = 5", "finishing_minutes"),
    ],
)
def test_a_bad_value_is_refused_by_its_key(line: str, path: str) -> None:
    with pytest.raises(OrderError) as caught:
        parse_order(with_pace(line))
    assert {one.path for one in caught.value.problems} == {f"machine.pace.{path}"}
