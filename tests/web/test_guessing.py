"""Guessing the pass-phrase: slow for who guesses, no hindrance to who knows it."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import loops
from sockwright.web.access.guard import MOST_ENTRANCE_BYTES
from sockwright.web.access.sessions import (
    CONSONANTS,
    COOKIE,
    EACH,
    FREE,
    GROUPS,
    LONGEST_S,
    PLACES,
    SYLLABLES,
    VOWELS,
    WINDOW_S,
    LoggedIn,
    LoginSessions,
    Place,
    Throttle,
    TooManyTries,
    WrongPassPhrase,
    make_pass_phrase,
    waited,
)
from sockwright.web.app import make_site
from sockwright.workshop.workshop import Workshop
from web.doors import PHRASE, Watch, enter, entering
from web.sites import HOST, Client, workshop


@pytest.fixture
def watch() -> Watch:
    """The door's clock."""
    return Watch()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """An empty workshop."""
    with workshop(tmp_path) as one:
        yield one


@pytest.fixture
def stranger(shop: Workshop, watch: Watch) -> Client:
    """A browser that has not entered."""
    site = make_site(shop, (HOST,), LoginSessions(PHRASE, watch))
    return Client(site, follow_redirects=False)


def test_five_tries_a_minute_from_one_address(stranger: Client, watch: Watch) -> None:
    for _ in range(EACH):
        assert entering(stranger, "wrong").status_code == 403
        watch.now += 2
    refused = entering(stranger, PHRASE)
    assert refused.status_code == 429
    assert refused.headers["retry-after"] == "50"
    assert "Wait 50 seconds" in refused.text
    assert COOKIE not in stranger.cookies
    watch.now += 49.5
    assert "Wait 1 second," in entering(stranger, PHRASE).text
    watch.now += 0.5
    assert entering(stranger, PHRASE).status_code == 303


def test_who_is_in_stays_in_while_others_guess(shop: Workshop, watch: Watch) -> None:
    site = make_site(shop, (HOST,), LoginSessions(PHRASE, watch))
    owner = Client(site, client=("10.0.0.2", 1), follow_redirects=False)
    assert entering(owner, PHRASE).status_code == 303
    guesser = Client(site, client=("10.0.0.3", 1), follow_redirects=False)
    for _ in range(EACH + 1):
        last = entering(guesser, "wrong")
    assert last.status_code == 429
    assert owner.get("/").status_code == 200
    other = Client(site, client=("10.0.0.4", 1), follow_redirects=False)
    assert entering(other, PHRASE).status_code == 303


def guess(throttle: Throttle, address: str) -> int:
    """A wrong try that waited as long as it has to; the seconds to wait if it was not heard."""
    place = throttle.come(address)
    if isinstance(place, int):
        return place
    throttle.leave(place)
    throttle.count(place)
    return 0


def test_tries_that_were_not_heard_do_not_lengthen_the_wait(watch: Watch) -> None:
    throttle = Throttle(watch)
    for _ in range(50):
        guess(throttle, "10.0.0.1")
    watch.now += WINDOW_S
    assert guess(throttle, "10.0.0.1") == 0


def test_the_more_is_guessed_the_longer_a_try_takes_up_to_a_bound(watch: Watch) -> None:
    throttle = Throttle(watch)
    delays = []
    for n in range(200):
        place = throttle.come(f"10.0.{n}.1")
        assert isinstance(place, Place)
        delays.append(place.delay_s)
        throttle.leave(place)
        throttle.count(place)
    assert delays[: FREE + 1] == [0] * (FREE + 1)
    assert delays == sorted(delays)
    assert delays[FREE + 1] > 0
    assert max(delays) == LONGEST_S
    watch.now += WINDOW_S
    calm = throttle.come("10.0.0.1")
    assert isinstance(calm, Place)
    assert calm.delay_s == 0


def test_however_many_guess_few_are_heard_in_a_second(watch: Watch) -> None:
    throttle = Throttle(watch)
    waiting: list[tuple[float, Place]] = []
    heard = 0
    for second in range(120):
        for n in range(30):
            place = throttle.come(f"10.{second}.{n}.1")
            if isinstance(place, Place):
                waiting.append((watch.now + place.delay_s, place))
        for one in [one for one in waiting if one[0] <= watch.now]:
            waiting.remove(one)
            throttle.leave(one[1])
            if not one[1].lost.is_set():
                throttle.count(one[1])
                heard += 1
        assert sum(not place.lost.is_set() for _, place in waiting) <= PLACES
        watch.now += 1
    most = PLACES / LONGEST_S
    # Nobody is slowed before the first wrong tries are in.
    assert heard <= 120 * most + 30 + FREE


def crowd(throttle: Throttle) -> None:
    """A hundred devices that guess as often as they are heard, and wait to guess again."""
    for _ in range(2):
        for n in range(100):
            guess(throttle, f"10.0.{n}.1")
    for n in range(100):
        throttle.come(f"10.0.{n}.1")


def test_who_did_not_guess_gets_a_place_from_those_who_did(watch: Watch) -> None:
    throttle = Throttle(watch)
    crowd(throttle)
    owners = [throttle.come(f"192.168.1.{n}") for n in range(PLACES)]
    for n in range(100):
        throttle.come(f"10.0.{n}.1")
    for one in owners:
        assert isinstance(one, Place)
        assert one.delay_s <= LONGEST_S
        assert not one.lost.is_set()


def test_a_crowd_that_never_guessed_is_told_to_come_again(watch: Watch) -> None:
    throttle = Throttle(watch)
    crowd(throttle)
    told = [throttle.come(f"192.168.1.{n}") for n in range(PLACES + 1)]
    assert told[-1] == LONGEST_S
    first = told[0]
    assert isinstance(first, Place)
    throttle.leave(first)
    assert isinstance(throttle.come("192.168.2.1"), Place)


def test_a_devices_newest_try_counts(watch: Watch) -> None:
    throttle = Throttle(watch)
    crowd(throttle)
    first, second = throttle.come("192.168.1.1"), throttle.come("192.168.1.1")
    assert isinstance(first, Place)
    assert isinstance(second, Place)
    assert first.lost.is_set()
    throttle.leave(first)
    assert not second.lost.is_set()
    assert isinstance(throttle.come("192.168.1.2"), Place)
    assert not second.lost.is_set()


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("2001:db8::1", "2001:db8::ffff:2", True),
        ("2001:db8::1", "2001:db8:0:1::1", False),
        ("::ffff:10.0.0.1", "10.0.0.1", True),
        ("fe80::1%eth0", "fe80::1%eth1", True),
        ("10.0.0.1", "10.0.0.2", False),
        ("", "10.0.0.2", False),
    ],
)
def test_one_device_counts_as_one(one: str, other: str, same: bool, watch: Watch) -> None:
    throttle = Throttle(watch)
    for _ in range(EACH):
        guess(throttle, one)
    assert (guess(throttle, other) > 0) is same


def test_the_right_words_clear_ones_own_mistakes(watch: Watch) -> None:
    logins = LoginSessions(PHRASE, watch)
    for _ in range(4):
        for _ in range(EACH - 1):
            assert enter(logins, "wrong") == WrongPassPhrase()
        assert isinstance(enter(logins, PHRASE), LoggedIn)
    for _ in range(EACH):
        enter(logins, "wrong")
    assert isinstance(enter(logins, PHRASE), TooManyTries)


def test_hundreds_of_wrong_tries_elsewhere_keep_nobody_out_who_knows_the_words(
    watch: Watch,
) -> None:
    waits: list[float] = []

    async def wait(place: Place) -> None:
        waits.append(place.delay_s)

    logins = LoginSessions(PHRASE, watch, wait)
    for n in range(300):
        assert enter(logins, "wrong", f"10.0.{n % 250}.{n}") == WrongPassPhrase()
    assert isinstance(enter(logins, PHRASE, "192.168.1.5"), LoggedIn)
    assert waits[-1] == LONGEST_S


def test_hundreds_of_wrong_tries_elsewhere_keep_nobody_out_at_the_entrance(
    shop: Workshop, watch: Watch
) -> None:
    async def wait(place: Place) -> None:
        """As if it were over."""

    site = make_site(shop, (HOST,), LoginSessions(PHRASE, watch, wait))
    for n in range(40):
        guesser = Client(site, client=(f"10.0.0.{n}", 1), follow_redirects=False)
        assert entering(guesser, "wrong").status_code == 403
    owner = Client(site, client=("192.168.1.5", 1), follow_redirects=False)
    assert entering(owner, PHRASE).status_code == 303
    assert owner.get("/").status_code == 200


def test_a_try_waits_without_holding_up_what_else_is_to_be_done(watch: Watch) -> None:
    async def together() -> list[LoggedIn | WrongPassPhrase | TooManyTries]:
        both = asyncio.Barrier(2)

        async def wait(place: Place) -> None:
            await both.wait()

        logins = LoginSessions(PHRASE, watch, wait)
        for n in range(FREE + 1):
            await logins.enter("wrong", f"10.0.0.{n}")
        return await asyncio.gather(logins.enter(PHRASE, "a"), logins.enter("wrong", "b"))

    entered, wrong = loops.run(together())
    assert isinstance(entered, LoggedIn)
    assert wrong == WrongPassPhrase()


def test_a_try_that_lost_its_place_is_told_at_once_and_not_looked_at(watch: Watch) -> None:
    async def twice() -> list[LoggedIn | WrongPassPhrase | TooManyTries]:
        logins = LoginSessions(PHRASE, watch, waited_for_ever)
        for n in range(FREE + 1):
            await logins.enter("wrong", f"10.0.0.{n}")
        first = asyncio.create_task(logins.enter(PHRASE, "a"))
        await asyncio.sleep(0)
        second = asyncio.create_task(logins.enter(PHRASE, "a"))
        told = await first
        second.cancel()
        return [told]

    async def waited_for_ever(place: Place) -> None:
        place.delay_s = 900
        await waited(place)

    assert isinstance(loops.run(twice())[0], TooManyTries)


def test_a_try_that_has_its_time_is_looked_at_after_it(watch: Watch) -> None:
    async def wait(place: Place) -> None:
        place.delay_s = 0.01
        await waited(place)

    logins = LoginSessions(PHRASE, watch, wait)
    for n in range(FREE + 1):
        enter(logins, "wrong", f"10.0.0.{n}")
    assert isinstance(enter(logins, PHRASE, "a"), LoggedIn)


def test_a_try_whose_client_is_gone_leaves_its_place(watch: Watch) -> None:
    async def wait(place: Place) -> None:
        raise asyncio.CancelledError

    logins = LoginSessions(PHRASE, watch, wait)
    for n in range(FREE + 1):
        enter(logins, "wrong", f"10.0.0.{n}")
    for n in range(PLACES + 1):
        with pytest.raises(asyncio.CancelledError):
            enter(logins, "wrong", f"10.0.1.{n}")


def test_a_book_is_no_pass_phrase(stranger: Client) -> None:
    pieces = (b"phrase=" + b"a" * MOST_ENTRANCE_BYTES for _ in range(1))
    headers = {"content-type": "application/x-www-form-urlencoded"}
    assert stranger.post("/enter", content=pieces, headers=headers).status_code == 413
    much = {"content-length": str(MOST_ENTRANCE_BYTES + 1), "accept-language": "de"}
    answer = stranger.post("/enter", headers=much)
    assert answer.status_code == 413
    assert '<html lang="de"' in answer.text


def test_the_figures_in_the_documents_are_those_of_the_program() -> None:
    text = (Path(__file__).parents[2] / "docs" / "serving.md").read_text(encoding="utf-8")
    possible = (len(CONSONANTS) * len(VOWELS)) ** (SYLLABLES * GROUPS)
    assert f"{possible:,}" in text
    a_second = PLACES / LONGEST_S
    years = possible / 2 / a_second / (365.25 * 24 * 3600)
    assert f"{round(years, -5):,.0f} years" in text


def test_the_words_are_compared_in_a_time_that_tells_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from sockwright.web.access import sessions

    seen: list[tuple[bytes, bytes]] = []

    def watched(one: bytes, other: bytes) -> bool:
        seen.append((one, other))
        return False

    monkeypatch.setattr(sessions, "compare_digest", watched)
    assert enter(LoginSessions(PHRASE), PHRASE) == WrongPassPhrase()
    assert seen == [(b"barutikefosulado", b"barutikefosulado")]


def test_a_made_up_pass_phrase_is_hard_to_guess_and_easy_to_type() -> None:
    made = {make_pass_phrase() for _ in range(500)}
    assert len(made) == 500
    assert all(re.fullmatch(r"([a-z]{4}-){3}[a-z]{4}", one) for one in made)
    # Letters that lie elsewhere on a German keyboard are not in it.
    assert not set("".join(made)) & set("yz")
    used = [{one.replace("-", "")[place] for one in made} for place in range(16)]
    possible = 1
    for letters in used:
        possible *= len(letters)
    assert possible >= 2**45
