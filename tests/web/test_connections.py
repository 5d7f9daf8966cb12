"""Places for connections: who keeps one, who gives it up, and who was too slow."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sockwright.web.connections import Connection, Connections, Limits, Stage

LIMITS = Limits(
    connections=8,
    of_one_device=3,
    handshake_s=10,
    header_s=15,
    idle_s=20,
    pace_s=20,
    pace_bytes=1000,
    fresh_s=2,
)


class Watch:
    """A clock that is set by hand, s."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


class Table:
    """Connections that are only counted; `ended` are those the server closed, in that order."""

    def __init__(self, limits: Limits = LIMITS, proxied: bool = False) -> None:
        self.watch = Watch()
        self.all = Connections(limits, self.watch, lambda address: proxied)
        self.ended: list[Connection] = []

    def come(self, address: str, stage: Stage = Stage.HEADER) -> Connection | None:
        """Somebody connects."""
        one = self.all.come(address)
        if one is not None:
            one.end = lambda: self.ended.append(one)
            one.enter(stage, self.watch.now)
        return one

    def swept(self, seconds: float) -> list[Connection]:
        """Those closed within so many seconds, looked at each second."""
        before = len(self.ended)
        for _ in range(round(seconds)):
            self.watch.now += 1
            self.all.sweep()
        return self.ended[before:]


# Too many


def test_the_one_that_is_silent_for_the_longest_gives_its_place() -> None:
    table = Table()
    first, second, *_ = (table.come(f"10.0.0.{n}") for n in range(LIMITS.connections))
    assert table.ended == []
    for late in ("10.0.1.1", "10.0.1.2"):
        assert table.come(late) is not None
    assert table.ended == [first, second]
    assert len(table.all) == LIMITS.connections


def test_of_those_long_silent_the_address_with_the_most_loses_one() -> None:
    table = Table()
    oldest = table.come("10.0.0.1")
    many = [table.come("10.0.0.2") for _ in range(3)]
    for n in range(LIMITS.connections - 4):
        table.come(f"10.0.1.{n}")
    table.watch.now += LIMITS.fresh_s
    table.come("10.0.2.1")
    assert table.ended == [many[0]]
    assert oldest not in table.ended


def test_two_that_were_just_opened_are_not_lost_to_a_crowd_with_one_each() -> None:
    table = Table()
    for n in range(LIMITS.connections - 2):
        table.come(f"10.0.0.{n}")
    browser = [table.come("192.168.1.5") for _ in range(2)]
    for n in range(LIMITS.connections - 3):
        table.come(f"10.0.1.{n}")
    assert not set(browser) & set(table.ended)


def test_those_who_asked_something_outlast_those_who_did_not() -> None:
    table = Table()
    idle = table.come("10.0.0.1", Stage.IDLE)
    assert idle is not None
    idle.answered = True
    body = table.come("10.0.0.2", Stage.BODY)
    reading = table.come("10.0.0.3", Stage.WORKING)
    assert reading is not None
    reading.left = lambda: 70_000
    working = table.come("10.0.0.4", Stage.WORKING)
    silent = [table.come(f"10.0.1.{n}") for n in range(LIMITS.connections - 4)]
    for n in range(len(silent) + 3):
        assert table.come(f"10.0.2.{n}", Stage.WORKING) is not None
    assert table.ended == [*silent, idle, body, reading]
    assert table.come("10.0.3.1") is None, "all are being answered"
    assert working not in table.ended


@given(st.lists(st.tuples(st.integers(0, 12), st.sampled_from(list(Stage))), max_size=60))
def test_there_are_never_more_than_allowed_and_none_is_closed_that_is_answered(
    comers: list[tuple[int, Stage]],
) -> None:
    table = Table()
    for address, stage in comers:
        one = table.come(f"10.0.0.{address}", stage)
        assert len(table.all) <= LIMITS.connections
        assert one is None or one not in table.ended
    assert all(one.stage not in (Stage.WORKING, Stage.OPENING) for one in table.ended)


@pytest.mark.parametrize(
    ("addresses", "same"),
    [
        (["10.0.0.1"] * 4, True),
        (["10.0.0.1", "10.0.0.2", "10.0.0.3", "10.0.0.4"], False),
        (["2001:db8::1", "2001:db8::2", "2001:db8::3", "2001:db8::ffff:4"], True),
        (["2001:db8::1", "2001:db8:0:1::1", "2001:db8:0:2::1", "2001:db8:0:3::1"], False),
        (["10.0.0.1", "::ffff:10.0.0.1", "10.0.0.1", "::ffff:10.0.0.1"], True),
    ],
)
def test_one_address_has_its_share_and_no_more(addresses: list[str], same: bool) -> None:
    table = Table()
    first, *_ = (table.come(one) for one in addresses)
    assert table.ended == ([first] if same else [])


def test_whose_share_is_being_answered_gets_no_further_one() -> None:
    table = Table()
    held = [table.come("10.0.0.1", Stage.WORKING) for _ in range(LIMITS.of_one_device)]
    assert table.come("10.0.0.1") is None
    assert table.come("10.0.0.2") is not None
    assert held[0] is not None
    table.all.gone(held[0])
    table.all.gone(held[0])
    assert table.come("10.0.0.1") is not None
    assert table.ended == []


def test_a_proxy_may_have_all_there_are() -> None:
    table = Table(proxied=True)
    for _ in range(LIMITS.connections):
        assert table.come("127.0.0.1") is not None
    assert table.ended == []
    assert table.come("127.0.0.1") is not None
    assert len(table.ended) == 1


# Too slow


@pytest.mark.parametrize(
    ("stage", "seconds"),
    [
        (Stage.SHAKING, LIMITS.handshake_s),
        (Stage.HEADER, LIMITS.header_s),
        (Stage.IDLE, LIMITS.idle_s),
        (Stage.REST, LIMITS.idle_s),
        (Stage.ENDING, LIMITS.idle_s),
    ],
)
def test_a_wait_has_its_time_however_much_drips_in_meanwhile(stage: Stage, seconds: float) -> None:
    table = Table()
    one = table.come("10.0.0.1", stage)
    assert one is not None
    for _ in range(round(seconds) - 1):
        one.came += 1
        assert table.swept(1) == []
    assert table.swept(1) == [one]
    assert len(table.all) == 0


def test_our_own_work_has_no_time() -> None:
    table = Table()
    table.come("10.0.0.1", Stage.WORKING)
    assert table.swept(1000) == []


def test_a_body_goes_on_for_hours_at_the_least_pace() -> None:
    table = Table()
    one = table.come("10.0.0.1", Stage.BODY)
    assert one is not None
    for _ in range(3600):
        one.came += 50  # 1000 in 20 s
        assert table.swept(1) == []


def test_a_body_that_drips_is_ended() -> None:
    table = Table()
    one = table.come("10.0.0.1", Stage.BODY)
    assert one is not None
    one.came += 1_000_000
    for _ in range(LIMITS.pace_bytes):
        one.came += 1
        if table.swept(1):
            break
    assert table.ended == [one]


def test_a_body_that_we_do_not_take_is_not_its_senders_fault() -> None:
    table = Table()
    one = table.come("10.0.0.1", Stage.BODY)
    assert one is not None
    one.held = lambda: True
    assert table.swept(100) == []
    one.held = lambda: False
    assert table.swept(LIMITS.pace_s) == []
    assert table.swept(2) == [one]


@pytest.mark.parametrize("stage", list(Stage))
def test_who_does_not_take_an_answer_is_ended(stage: Stage) -> None:
    table = Table()
    one = table.come("10.0.0.1", stage)
    assert one is not None
    one.left = lambda: 500_000
    assert table.swept(LIMITS.pace_s + 2) == [one]


def test_a_slow_telephone_may_take_an_answer_for_as_long_as_it_gets_on() -> None:
    table = Table()
    one = table.come("10.0.0.1", Stage.IDLE)
    assert one is not None
    left = 100_000
    one.left = lambda: left
    while left > 0:
        left -= 50
        assert table.swept(1) == []
    assert table.swept(LIMITS.idle_s + 1) == [one], "it said nothing after that"


def test_the_stages_of_one_connection_have_their_own_time() -> None:
    table = Table()
    one = table.come("10.0.0.1")
    assert one is not None
    for stage in (Stage.BODY, Stage.WORKING, Stage.IDLE, Stage.HEADER, Stage.WORKING, Stage.IDLE):
        assert table.swept(LIMITS.handshake_s) == []
        one.enter(stage, table.watch.now)
    assert table.swept(LIMITS.idle_s - 1) == []
    assert table.swept(1) == [one]
