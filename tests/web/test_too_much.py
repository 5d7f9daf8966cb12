"""Too much at once: what was typed comes back where it could be read, else the page tells the way.

Pages say so in the house's look and in the visitor's language, data as data.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from sockwright.grammar.values import LONGEST_NOTE, LONGEST_TEXT
from sockwright.store.items import ItemKind
from sockwright.web.access.guard import MOST_FORM_BYTES, MOST_UPLOAD_BYTES
from sockwright.web.access.sessions import LoginSessions
from sockwright.web.app import make_site
from sockwright.web.received import MOST_FIELD_BYTES, MOST_LOG_BYTES
from sockwright.workshop.workshop import Workshop
from web.sites import HOST, Client, client, workshop

GERMAN = {"accept-language": "de"}
TOO_MUCH = {"content-length": str(MOST_FORM_BYTES + 1)}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """The example station."""
    with workshop(tmp_path, example=True) as one:
        yield one


@pytest.fixture
def visitor(shop: Workshop) -> Client:
    """A browser of it."""
    return client(shop)


def pair_of(shop: Workshop) -> str:
    """The address of a pair."""
    return f"/socks/{shop.things(ItemKind.SOCK)[0].id}"


LONG = "Wound too tight, so it was wound again. " * 6000
"""A note of 240 kB."""


def test_a_note_that_is_too_long_comes_back_with_its_text(visitor: Client, shop: Workshop) -> None:
    about = f"machine/{shop.things(ItemKind.MACHINE)[0].id}"
    answer = visitor.post_form("/notes/new", {"text": LONG, "about": about}, headers=GERMAN)
    assert answer.status_code == 422
    assert LONG.strip() in unescape(answer.text)
    assert f"{LONGEST_NOTE}" in answer.text
    assert "exceeded" not in answer.text
    assert '<html lang="de"' in answer.text


@pytest.mark.parametrize(
    ("form", "name"), [("log", "note"), ("log", "deviation"), ("measure", "measured.worn")]
)
def test_so_does_what_happened_to_a_pair(
    visitor: Client, shop: Workshop, form: str, name: str
) -> None:
    path, pair = pair_of(shop), shop.things(ItemKind.SOCK)[0]
    fields = {
        name: LONG,
        "seen": str(pair.version),
        "time": "2025-11-03",
        "measured.state": "washed",
    }
    answer = visitor.post_form(f"{path}/{form}", fields)
    assert answer.status_code == 422
    assert LONG.strip() in unescape(answer.text)


def test_so_do_an_order_and_a_log(visitor: Client, shop: Workshop) -> None:
    order = "# my own words\n" * 20_000
    assert MOST_FIELD_BYTES < len(order) < MOST_FORM_BYTES
    answer = visitor.post_form("/exchange/order", {"text": order})
    assert answer.status_code == 422
    assert order.strip() in unescape(answer.text)
    assert "is far too large for an order" in answer.text
    log = "x" * (MOST_LOG_BYTES + 1)
    answer = visitor.post_form(f"{pair_of(shop)}/bench/first/log.json", {"text": log})
    assert answer.status_code == 422
    assert log in answer.text
    assert "is far too large for a log" in answer.text


def bounds(text: str) -> dict[str, int]:
    """The most characters of each field of a page that has a name, 0 for one without a bound."""
    found = {}
    for tag in re.findall(r"<(?:textarea|input)\b[^>]*>", text):
        kind = re.search(r'type="(\w+)"', tag)
        name = re.search(r'name="([^"]*)"', tag)
        if name and (kind is None or kind[1] == "text"):
            most = re.search(r'maxlength="(\d+)"', tag)
            found[name[1]] = int(most[1]) if most else 0
    return found


@pytest.mark.parametrize("folder", ["people", "yarns", "machines", "swatches", "designs", "notes"])
def test_fields_take_no_more_than_can_be_kept(visitor: Client, folder: str) -> None:
    found = bounds(visitor.get(f"/{folder}/new").text)
    assert found
    assert set(found.values()) <= {LONGEST_TEXT, LONGEST_NOTE}
    assert (found.get("text") == LONGEST_NOTE) is (folder == "notes")


def test_nor_do_those_of_a_pair_and_of_orders(visitor: Client, shop: Workshop) -> None:
    assert bounds(visitor.get("/exchange").text) == {"text": MOST_FIELD_BYTES}
    found = bounds(visitor.get(pair_of(shop)).text)
    assert found["note"] == found["deviation"] == found["measured.worn"] == LONGEST_NOTE
    assert found["text"] == MOST_LOG_BYTES
    assert found["measured.foot"] == LONGEST_TEXT


# More than is read at all


def told(answer: Any, language: str) -> str:
    """The words of a page in the house's look."""
    assert answer.headers["content-type"].startswith("text/html")
    assert f'<html lang="{language}"' in answer.text
    assert "style.css" in answer.text
    assert 'class="wordmark"' in answer.text
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.text)))


def test_a_body_that_is_too_large_gets_a_page_that_says_how_to_go_on(visitor: Client) -> None:
    english = told(visitor.post("/notes/new", headers=TOO_MUCH), "en")
    assert "That is too large" in english
    assert "at most 1 MB" in english
    assert "Go back in your browser" in english
    german = told(visitor.post("/notes/new", headers={**TOO_MUCH, **GERMAN}), "de")
    assert "1 MB" in german
    assert "Go back" not in german
    assert "That is" not in german


def test_it_is_in_the_language_that_was_chosen(visitor: Client) -> None:
    visitor.post_form("/settings", {"language": "de"})
    told(visitor.post("/notes/new", headers={**TOO_MUCH, "accept-language": "en"}), "de")


def test_a_workshop_that_is_too_large_is_told_its_own_bound(visitor: Client) -> None:
    much = {"content-length": str(MOST_UPLOAD_BYTES + 1)}
    assert "33 MB" in told(visitor.post("/exchange/workshop", headers=much), "en")


def test_a_body_in_pieces_gets_the_same_page(visitor: Client) -> None:
    pieces = (b"a" * 100_000 for _ in range(20))
    headers = {"content-type": "application/x-www-form-urlencoded", **GERMAN}
    answer = visitor.post("/notes/new", content=pieces, headers=headers)
    assert answer.status_code == 413
    assert "1 MB" in told(answer, "de")


def test_data_say_it_as_data(visitor: Client, shop: Workshop) -> None:
    path = f"/data{pair_of(shop)}/bench/first/log"
    answer = visitor.post(path, headers=TOO_MUCH)
    assert answer.status_code == 413
    assert answer.json()["error"] == "That is too large"
    elsewhere = visitor.post(path, headers={"sec-fetch-site": "cross-site"})
    assert elsewhere.status_code == 403
    assert "another site" in elsewhere.json()["detail"]


def test_what_comes_from_another_site_gets_a_page_too_and_changes_no_cookie(
    visitor: Client,
) -> None:
    away = {"sec-fetch-site": "cross-site"}
    visitor.cookies.set("sockwright_flash", "words=Kept.")
    answer = visitor.post("/notes/new", headers=away)
    assert "another site" in told(answer, "en")
    assert "set-cookie" not in answer.headers
    german = visitor.post("/notes/new", headers={**away, **GERMAN})
    assert "another site" not in told(german, "de")


def test_who_has_not_entered_sees_nothing_of_the_workshop_there(shop: Workshop) -> None:
    stranger = Client(make_site(shop, (HOST,), LoginSessions("baru-tike-fosu-lado")))
    for headers in (TOO_MUCH, {"sec-fetch-site": "cross-site"}):
        answer = stranger.post("/notes/new", headers=headers)
        assert answer.status_code in (403, 413)
        assert "winch operator" not in answer.text


def test_what_a_library_says_of_a_form_is_not_shown_to_a_reader(visitor: Client) -> None:
    broken = {"content-type": "multipart/form-data; boundary=x"}
    answer = visitor.post("/notes/new", content=b"--x\r\nno header", headers={**broken, **GERMAN})
    assert answer.status_code == 400
    assert "multipart" not in told(answer, "de")


# Methods and addresses


@pytest.mark.parametrize(
    ("path", "method", "allowed"),
    [
        ("/settings", "PUT", {"GET", "POST"}),
        ("/example/add", "GET", {"POST"}),
        ("/data/plan", "DELETE", {"GET"}),
        ("/data/", "POST", {"GET"}),
        ("/data/openapi.json", "PUT", {"GET", "HEAD"}),
        ("{style}", "POST", {"GET", "HEAD"}),
    ],
)
def test_a_method_that_an_address_does_not_take_is_told_with_those_it_does(
    visitor: Client, path: str, method: str, allowed: set[str]
) -> None:
    style = re.search(r'href="(/static/\w+/style\.css)"', visitor.get("/settings").text)
    assert style is not None
    answer = visitor.request(method, path.format(style=style[1]))
    assert answer.status_code == 405
    assert allowed == set(answer.headers["allow"].split(", "))


@pytest.mark.parametrize("path", ["/database", "/data.html", "/datasheets/x"])
def test_only_the_data_answer_as_data(visitor: Client, shop: Workshop, path: str) -> None:
    answer = visitor.get(path)
    assert answer.status_code == 404
    told(answer, "en")
    stranger = Client(
        make_site(shop, (HOST,), LoginSessions("baru-tike-fosu-lado")), follow_redirects=False
    )
    assert stranger.get(path).status_code == 303
    assert visitor.get("/data/nowhere").headers["content-type"] == "application/json"
