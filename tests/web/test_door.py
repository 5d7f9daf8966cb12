"""The door: nobody without the pass-phrase sees what is kept, nobody can guess it quickly."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sockwright.store.items import ItemKind
from sockwright.web.access.sessions import COOKIE, IDLE_S, MOST_ENTRIES, LoggedIn, LoginSessions
from sockwright.web.app import make_site
from sockwright.web.entrance import safe_next
from sockwright.workshop.workshop import Workshop
from web.doors import PHRASE, Watch, enter, entering
from web.sites import HOST, Client, workshop
from workshops import PERSON


@pytest.fixture
def watch() -> Watch:
    """The door's clock."""
    return Watch()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """A workshop that keeps the winch operator."""
    with workshop(tmp_path) as one:
        one.keep(ItemKind.PERSON, PERSON)
        yield one


@pytest.fixture
def stranger(shop: Workshop, watch: Watch) -> Client:
    """A browser that has not entered."""
    site = make_site(shop, (HOST,), LoginSessions(PHRASE, watch))
    return Client(site, follow_redirects=False)


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
    assert "passphrase" in answer.json()["error"].lower()
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
    answer = stranger.post("/example/add")
    assert answer.status_code == 401
    # In a tab of its own: what was typed stays in this one.
    assert 'href="/enter" target="_blank"' in answer.text
    assert len(shop.things(ItemKind.PERSON)) == 1


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
    site = make_site(shop, (HOST,), LoginSessions(PHRASE))
    client = Client(site, base_url=f"https://{HOST}", follow_redirects=False)
    page = client.get("/enter")
    assert "not encrypted" not in page.text
    cookies = entering(client, PHRASE).headers.get_list("set-cookie")
    assert all("Secure" in one for one in cookies)
    assert any(one.startswith(f"__Host-{COOKIE}=") for one in cookies)


def test_over_plain_http_from_elsewhere_it_is_told_who_reads_along(shop: Workshop) -> None:
    site = make_site(shop, (HOST,), LoginSessions(PHRASE))
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
    assert "You are signed out." in stranger.get("/enter").text
    stolen = stranger.get("/data/", headers={"cookie": f"{COOKIE}={token}"})
    assert stolen.status_code == 401


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


# What is known of those who entered


def test_the_entries_known_at_once_are_bounded(watch: Watch) -> None:
    logins = LoginSessions(PHRASE, watch)
    tokens = []
    for _ in range(MOST_ENTRIES + 1):
        entered = enter(logins, PHRASE)
        assert isinstance(entered, LoggedIn)
        tokens.append(entered.token)
        assert logins.knows(tokens[0]) or len(tokens) > MOST_ENTRIES
    assert logins.knows(tokens[0]), "it was used all the time"
    assert not logins.knows(tokens[1])
    assert len(set(tokens)) == len(tokens)
    assert not any(token.encode() in known for token in tokens for known in logins._last_used)
