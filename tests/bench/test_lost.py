"""The way back after losing count: what is seen decides; among equals, the place near the count."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lost_places import Seen, places_that_fit, places_told_apart
from orders import order
from sockwright.bench.counting import DO, ROUND, ROW, CountStep, Sock, sock_of
from sockwright.facts import fact
from sockwright.plan.make import make_plan

STRETCH = fact("bench", "length_on_machine").number


@pytest.fixture(scope="module", params=[60, 61])
def sock(request: pytest.FixtureRequest) -> Sock:
    return sock_of(make_plan(order(request.param)).first)


def printed(sock: Sock, count_step: CountStep) -> int:
    """The needle that the page names once a count is done, told from the steps alone.

    Going forward it is the needle before the gap, in reverse the one after it: a row "in reverse
    past needle 2" ends in the gap that a row "forward past needle 1" ends in.
    """
    if count_step.way < 0:
        return count_step.gap % sock.needles + 1
    return (count_step.gap - 1) % sock.needles + 1


def raised(sock: Sock, count_step: CountStep) -> frozenset[int]:
    return frozenset(n for n, look in enumerate(sock.beds[count_step.bed][0], 1) if look == "r")


def leg(sock: Sock) -> list[CountStep]:
    return [
        count_step
        for count_step in sock.count_steps
        if count_step.kind == ROUND and count_step.section == "leg"
    ]


def test_what_is_seen_exactly_is_found_first_whatever_was_counted(sock: Sock) -> None:
    rows = [
        count_step
        for count_step in sock.count_steps
        if count_step.kind == ROW and count_step.section == "heel"
    ]
    assert len(rows) > 20
    for count_step in rows:
        seen = Seen(raised(sock, count_step), printed(sock, count_step), "heel", counted=1)
        best = sock.count_steps[places_that_fit(sock, seen)[0].done - 1]
        assert (raised(sock, best), best.gap) == (raised(sock, count_step), count_step.gap)


@pytest.mark.parametrize("needles", [60, 61])
def test_the_number_on_the_page_leads_back_to_its_own_row(needles: int) -> None:
    """Rows in both directions, by the needle alone and with the needles that are up."""
    sock = sock_of(make_plan(order(needles)).first)
    rows = [count_step for count_step in sock.count_steps if count_step.kind == ROW]
    assert {count_step.way for count_step in rows} == {1, -1}
    for count_step in rows:
        passed = sock.passed(count_step.place)
        assert passed == printed(sock, count_step)
        for up in (raised(sock, count_step), None):
            for counted in (count_step.place - 1, count_step.place + 1):
                seen = Seen(up, passed, count_step.section, counted=counted)
                guess, *_ = places_that_fit(sock, seen)
                assert (guess.done, guess.off) == (count_step.place, 0)


@given(data=st.data())
def test_among_places_that_look_alike_the_nearest_to_the_count_comes_first(
    sock: Sock, data: st.DataObject
) -> None:
    counted = data.draw(st.sampled_from(leg(sock)[8:-8])).place
    guesses = places_that_fit(sock, Seen(frozenset(), sock.needles, "leg", counted=counted))
    assert [guess.off for guess in guesses] == [0.0] * len(guesses)
    assert guesses[0].done == counted
    away = [abs(guess.done - counted) for guess in guesses]
    assert away == sorted(away)


def test_without_a_count_the_earliest_of_equals_comes_first(sock: Sock) -> None:
    guesses = places_that_fit(sock, Seen(frozenset(), sock.needles, "leg"))
    alike = [
        count_step.place
        for count_step in places_told_apart(sock)
        if count_step.section == "leg" and not raised(sock, count_step) and not count_step.gap
    ]
    assert [guess.done for guess in guesses] == alike[: len(guesses)]


def test_a_length_far_from_the_count_is_believed(sock: Sock) -> None:
    """A maker who forgot to count for most of a leg is not drawn back to where she stopped."""
    first, *_, late = leg(sock)[:-6]
    seen = Seen(section="leg", length_mm=STRETCH * late.length_mm, counted=first.place)
    best = places_that_fit(sock, seen)[0]
    assert abs(best.done - late.place) <= 1


def test_a_length_near_the_count_leaves_the_count(sock: Sock) -> None:
    """Lengths on a machine are too rough to move a count by one round."""
    here = leg(sock)[30]
    seen = Seen(section="leg", length_mm=STRETCH * (here.length_mm + 3), counted=here.place)
    assert places_that_fit(sock, seen)[0].done == here.place


def test_only_places_that_fit_are_told(sock: Sock) -> None:
    assert places_that_fit(sock, Seen(section="nowhere", counted=1)) == ()
    every = places_that_fit(sock, Seen(counted=1), most=10_000)
    assert [guess.done for guess in every] == [b.place for b in places_told_apart(sock)]
    assert {b.place for b in sock.count_steps if b.kind != DO} < {guess.done for guess in every}


def test_needles_just_raised_for_the_heel_are_found_at_its_beginning(sock: Sock) -> None:
    first = next(b for b in sock.count_steps if b.kind == ROW and b.section == "heel")
    before = sock.count_steps[first.place - 2]
    assert before.kind == DO
    for counted in (before.place, before.place - 3, None):
        seen = Seen(raised(sock, before), sock.passed(before.place), "heel", counted=counted)
        found = places_that_fit(sock, seen)
        assert sock.count_steps[found[0].done].place <= first.place
