"""The door: nobody without the pass-phrase sees what is kept, nobody can guess it quickly."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sockwright.store.things import Kind
from sockwright.web.app import make_site
from sockwright.web.door import COOKIE, IDLE_S, MOST_ENTRIES, Door, Entered, Wait, Wrong, waited
from sockwright.web.doorkeeper import safe_next
from sockwright.web.guard import MOST_ENTRANCE_BYTES
from sockwright.web.pass_phrase import CONSONANTS, GROUPS, SYLLABLES, VOWELS, make_pass_phrase
from sockwright.web.throttle import (
    EACH,
    FREE,
    LONGEST_S,
    PLACES,
    WINDOW_S,
    Place,
    Throttle,
)
from sockwright.workshop.workshop import Workshop
from web.sites import HOST, PROOF, Client, workshop
from workshops import PERSON

PHRASE = "baru-tike-fosu-lado"


class Watch:
    """A clock that is set by hand, s."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def watch() -> Watch:
    """The door's clock."""
    return Watch()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """A workshop that keeps the winch operator."""
    with workshop(tmp_path) as one:
        one.keep(Kind.PERSON, PERSON)
        yield one


@pytest.fixture
def stranger(shop: Workshop, watch: Watch) -> Client:
    """A browser that has not entered."""
    site = make_site(shop, (HOST,), Door(PHRASE, watch))
    return Client(site, follow_redirects=False)


def entering(client: Client, phrase: str, to: str = "/") -> Client:
    """What the entrance answers to a pass-phrase."""
    found = PROOF.search(client.get("/enter").text)
    assert found is not None
    return client.post("/enter", data={"proof": found[1], "phrase": phrase, "next": to})


# What a stranger sees


@pytest.mark.parametrize("path", ["/", "/people", "/settings", "/nowhere", "/plan", "/deleted"])
def test_a_stranger_is_sent_to_the_entrance(stranger: Client, path: str) -> None:
    answer = stranger.get(path)
    assert answer.status_code == 303
    to = urlsplit(answer.headers["location"])
    assert to.path == "/enter"
    assert parse_qs(to.query).get("next", ["/"]) == [path]
    assert "content-security-policy" in answer.headers


def test_the_whole_address_is_kept_for_later(stranger: Client) -> None:
    sent = stranger.get("/plan?person=1&ease.girth=8%25&title=a%20b").headers["location"]
    assert parse_qs(urlsplit(sent).query)["next"] == ["/plan?person=1&ease.girth=8%25&title=a%20b"]


@pytest.mark.parametrize("path", ["/data/", "/data/people", "/data/openapi.json", "/data/nowhere"])
def test_data_say_that_the_pass_phrase_is_needed(stranger: Client, path: str) -> None:
    answer = stranger.get(path)
    assert answer.status_code == 401
    assert answer.headers["content-type"] == "application/json"
    assert "pass-phrase" in answer.json()["error"]
    assert "www-authenticate" in answer.headers
    assert "winch operator" not in answer.text


def test_only_the_entrance_and_the_static_files_are_open(stranger: Client) -> None:
    assert stranger.get("/data/enter").json() == {"needed": True, "entered": False}
    page = stranger.get("/enter")
    assert page.status_code == 200
    style = re.search(r'href="(/static/\w+/style\.css)"', page.text)
    assert style is not None
    assert stranger.get(style[1]).status_code == 200
    for beside in ("/enter/", "/enter/x", "/staticx", "/data/enter/", "/Enter", "//enter"):
        assert stranger.get(beside).status_code in (303, 401), beside


def test_static_leads_nowhere_else(stranger: Client) -> None:
    for path in ("/static/../people", "/static/%2e%2e/people", "/static/..%2f..%2fpeople"):
        answer = stranger.get(path)
        assert answer.status_code in (303, 404), path
        assert "winch operator" not in answer.text


def test_the_entrance_shows_nothing_that_is_kept(stranger: Client) -> None:
    text = stranger.get("/enter").text
    assert "winch operator" not in text
    assert "/people" not in text
    assert "<nav" not in text


def test_a_stranger_can_do_nothing(stranger: Client, shop: Workshop) -> None:
    found = PROOF.search(stranger.get("/enter").text)
    assert found is not None
    answer = stranger.post("/example/add", data={"proof": found[1]})
    assert answer.status_code == 401
    assert "What you typed is not lost" in answer.text
    assert 'href="/enter"' in answer.text
    assert len(shop.things(Kind.PERSON)) == 1


def test_a_piece_of_a_page_sends_the_whole_page_to_the_entrance(stranger: Client) -> None:
    headers = {"hx-request": "true", "hx-current-url": f"http://{HOST}/plan?needles=60"}
    answer = stranger.get("/plan/result?needles=60", headers=headers)
    assert answer.status_code == 401
    assert answer.headers["hx-redirect"] == "/enter?next=/plan%3Fneedles%3D60"
    away = {**headers, "hx-current-url": "https://elsewhere.example//evil.example"}
    assert stranger.get("/plan/result", headers=away).headers["hx-redirect"] == "/enter"


# Coming in and going out


def test_the_pass_phrase_lets_in(stranger: Client) -> None:
    answer = entering(stranger, PHRASE, "/settings?x=1")
    assert (answer.status_code, answer.headers["location"]) == (303, "/settings?x=1")
    (cookie,) = (
        one for one in answer.headers.get_list("set-cookie") if one.startswith(f"{COOKIE}=")
    )
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    assert "Secure" not in cookie
    assert PHRASE not in cookie
    assert stranger.get("/settings").status_code == 200
    assert stranger.get("/data/").json()["counts"]["person"] == 1
    assert stranger.get("/data/enter").json() == {"needed": True, "entered": True}
    again = stranger.get("/enter?next=/settings")
    assert (again.status_code, again.headers["location"]) == (303, "/settings")


@pytest.mark.parametrize(
    "typed", ["Baru Tike Fosu Lado", "barutikefosulado", " BARU–tike fosu-lado\t"]
)
def test_what_a_tablet_adds_does_not_count(stranger: Client, typed: str) -> None:
    assert entering(stranger, typed).status_code == 303


def test_over_https_the_cookie_stays_there(shop: Workshop) -> None:
    site = make_site(shop, (HOST,), Door(PHRASE))
    client = Client(site, base_url=f"https://{HOST}", follow_redirects=False)
    page = client.get("/enter")
    assert "not encrypted" not in page.text
    cookies = entering(client, PHRASE).headers.get_list("set-cookie")
    assert all("Secure" in one for one in cookies)
    assert any(one.startswith(f"__Host-{COOKIE}=") for one in cookies)


def test_over_plain_http_from_elsewhere_it_is_told_who_reads_along(shop: Workshop) -> None:
    site = make_site(shop, (HOST,), Door(PHRASE))
    far = Client(site, client=("192.168.1.31", 50_000))
    assert "not encrypted" in far.get("/enter").text
    for near in ("127.0.0.1", "::1", "::ffff:127.0.0.1"):
        assert "not encrypted" not in Client(site, client=(near, 50_000)).get("/enter").text


@pytest.mark.parametrize(
    "typed", ["", "baru-tike-fosu-ladu", "x" * 5000, "\0", "ünïcödé " * 9, "'--"]
)
def test_wrong_words_let_nobody_in(stranger: Client, typed: str) -> None:
    answer = entering(stranger, typed, "/settings")
    assert answer.status_code == 403
    assert COOKIE not in answer.headers.get("set-cookie", "")
    assert 'aria-invalid="true"' in answer.text
    assert 'name="next" value="/settings"' in answer.text
    assert stranger.get("/settings").status_code == 303


def test_what_was_typed_is_shown_again_as_text(stranger: Client) -> None:
    answer = entering(stranger, '"><script>alert(1)</script>')
    assert "<script>alert" not in answer.text
    assert "&lt;script&gt;alert(1)" in answer.text


def test_a_page_older_than_the_program_asks_once_more(stranger: Client) -> None:
    sent = {"proof": "0" * 64, "phrase": PHRASE, "next": "/"}
    answer = stranger.post("/enter", data=sent)
    assert answer.status_code == 403
    assert "started again" in answer.text
    assert PHRASE not in answer.text
    assert stranger.get("/").status_code == 303


def test_a_made_up_token_lets_nobody_in(stranger: Client) -> None:
    for token in ("x", "", "0" * 43, "\xff"):
        answer = stranger.get("/data/", headers={"cookie": f"{COOKIE}={token}".encode("latin-1")})
        assert answer.status_code == 401


def test_leaving_ends_it_on_the_other_side_too(stranger: Client) -> None:
    entering(stranger, PHRASE)
    token = stranger.cookies[COOKIE]
    assert "/leave" in stranger.get("/settings").text
    answer = stranger.post_form("/leave")
    assert (answer.status_code, answer.headers["location"]) == (303, "/enter?left=yes")
    assert COOKIE not in stranger.cookies
    assert "You have left the workshop." in stranger.get("/enter").text
    stolen = stranger.get("/data/", headers={"cookie": f"{COOKIE}={token}"})
    assert stolen.status_code == 401


def test_leaving_needs_a_form_of_ours(stranger: Client) -> None:
    entering(stranger, PHRASE)
    assert stranger.post("/leave").status_code == 403
    assert stranger.get("/").status_code == 200


def test_an_entry_nobody_uses_ends(stranger: Client, watch: Watch) -> None:
    entering(stranger, PHRASE)
    for _ in range(3):
        watch.now += IDLE_S - 1
        assert stranger.get("/").status_code == 200
    watch.now += IDLE_S
    assert stranger.get("/").status_code == 303


def test_a_workshop_without_a_door_has_no_entrance(shop: Workshop) -> None:
    client = Client(make_site(shop, (HOST,)), follow_redirects=False)
    answer = client.get("/enter?next=/settings")
    assert (answer.status_code, answer.headers["location"]) == (303, "/settings")
    assert client.get("/data/enter").json() == {"needed": False, "entered": True}
    assert client.post_form("/enter", {"phrase": "x"}).status_code == 404
    assert client.post_form("/leave").status_code == 404
    assert "/leave" not in client.get("/settings").text


# Where one goes on to


@pytest.mark.parametrize(
    "to",
    [
        "https://evil.example/",
        "//evil.example/",
        "/\\evil.example",
        "\\\\evil.example",
        "/\t/evil.example",
        "/%0d%0aset-cookie: x=1",
        "javascript:alert(1)",
        "settings",
        "",
        "/enter",
        "/enter?next=/enter",
        "/leave",
        "/ä",
        "/" + "a" * 5000,
    ],
)
def test_nobody_is_sent_elsewhere(stranger: Client, to: str) -> None:
    assert safe_next(to) == "/"
    assert entering(stranger, PHRASE, to).headers["location"] == "/"


@given(st.text(max_size=30) | st.builds("/{}".format, st.text("/\\.:@?#%ab \t\n", max_size=12)))
def test_whatever_is_asked_one_stays_here(to: str) -> None:
    going = safe_next(to)
    assert going.startswith("/")
    assert not re.match(r"[/\\]{2}", re.sub(r"[\t\r\n]", "", going))
    assert urlsplit(f"http://{HOST}{going}").netloc == HOST


# Guessing


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
    site = make_site(shop, (HOST,), Door(PHRASE, watch))
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


def enter(door: Door, phrase: str, address: str = "10.0.0.1") -> Entered | Wrong | Wait:
    """What a door says at once, or after the wait that its test makes up."""
    return asyncio.run(door.enter(phrase, address))


def test_the_right_words_clear_ones_own_mistakes(watch: Watch) -> None:
    door = Door(PHRASE, watch)
    for _ in range(4):
        for _ in range(EACH - 1):
            assert enter(door, "wrong") == Wrong()
        assert isinstance(enter(door, PHRASE), Entered)
    for _ in range(EACH):
        enter(door, "wrong")
    assert isinstance(enter(door, PHRASE), Wait)


def test_hundreds_of_wrong_tries_elsewhere_keep_nobody_out_who_knows_the_words(
    watch: Watch,
) -> None:
    waits: list[float] = []

    async def wait(place: Place) -> None:
        waits.append(place.delay_s)

    door = Door(PHRASE, watch, wait)
    for n in range(300):
        assert enter(door, "wrong", f"10.0.{n % 250}.{n}") == Wrong()
    assert isinstance(enter(door, PHRASE, "192.168.1.5"), Entered)
    assert waits[-1] == LONGEST_S


def test_hundreds_of_wrong_tries_elsewhere_keep_nobody_out_at_the_entrance(
    shop: Workshop, watch: Watch
) -> None:
    async def wait(place: Place) -> None:
        """As if it were over."""

    site = make_site(shop, (HOST,), Door(PHRASE, watch, wait))
    for n in range(40):
        guesser = Client(site, client=(f"10.0.0.{n}", 1), follow_redirects=False)
        assert entering(guesser, "wrong").status_code == 403
    owner = Client(site, client=("192.168.1.5", 1), follow_redirects=False)
    assert entering(owner, PHRASE).status_code == 303
    assert owner.get("/").status_code == 200


def test_a_try_waits_without_holding_up_what_else_is_to_be_done(watch: Watch) -> None:
    async def together() -> list[Entered | Wrong | Wait]:
        both = asyncio.Barrier(2)

        async def wait(place: Place) -> None:
            await both.wait()

        door = Door(PHRASE, watch, wait)
        for n in range(FREE + 1):
            await door.enter("wrong", f"10.0.0.{n}")
        return await asyncio.gather(door.enter(PHRASE, "a"), door.enter("wrong", "b"))

    entered, wrong = asyncio.run(together())
    assert isinstance(entered, Entered)
    assert wrong == Wrong()


def test_a_try_that_lost_its_place_is_told_at_once_and_not_looked_at(watch: Watch) -> None:
    async def twice() -> list[Entered | Wrong | Wait]:
        door = Door(PHRASE, watch, waited_for_ever)
        for n in range(FREE + 1):
            await door.enter("wrong", f"10.0.0.{n}")
        first = asyncio.create_task(door.enter(PHRASE, "a"))
        await asyncio.sleep(0)
        second = asyncio.create_task(door.enter(PHRASE, "a"))
        told = await first
        second.cancel()
        return [told]

    async def waited_for_ever(place: Place) -> None:
        place.delay_s = 900
        await waited(place)

    assert isinstance(asyncio.run(twice())[0], Wait)


def test_a_try_that_has_its_time_is_looked_at_after_it(watch: Watch) -> None:
    async def wait(place: Place) -> None:
        place.delay_s = 0.01
        await waited(place)

    door = Door(PHRASE, watch, wait)
    for n in range(FREE + 1):
        enter(door, "wrong", f"10.0.0.{n}")
    assert isinstance(enter(door, PHRASE, "a"), Entered)


def test_a_try_whose_client_is_gone_leaves_its_place(watch: Watch) -> None:
    async def wait(place: Place) -> None:
        raise asyncio.CancelledError

    door = Door(PHRASE, watch, wait)
    for n in range(FREE + 1):
        enter(door, "wrong", f"10.0.0.{n}")
    for n in range(PLACES + 1):
        with pytest.raises(asyncio.CancelledError):
            enter(door, "wrong", f"10.0.1.{n}")


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
    from sockwright.web import pass_phrase

    seen: list[tuple[bytes, bytes]] = []

    def watched(one: bytes, other: bytes) -> bool:
        seen.append((one, other))
        return False

    monkeypatch.setattr(pass_phrase, "compare_digest", watched)
    assert enter(Door(PHRASE), PHRASE) == Wrong()
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


def test_the_entries_known_at_once_are_bounded(watch: Watch) -> None:
    door = Door(PHRASE, watch)
    tokens = []
    for _ in range(MOST_ENTRIES + 1):
        entered = enter(door, PHRASE)
        assert isinstance(entered, Entered)
        tokens.append(entered.token)
        assert door.knows(tokens[0]) or len(tokens) > MOST_ENTRIES
    assert door.knows(tokens[0]), "it was used all the time"
    assert not door.knows(tokens[1])
    assert len(set(tokens)) == len(tokens)
    assert not any(token.encode() in known for token in tokens for known in door._last_used)
