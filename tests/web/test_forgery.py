"""Writes that no page of ours sent: case by case, what arrives and what is answered to it.

| case | what arrives | answer |
| --- | --- | --- |
| a browser of today, on TLS or this computer | Sec-Fetch-Site | decides alone |
| plain HTTP on the network; a tablet before 2023 | Origin | must be this host, port included |
| a browser before 2020 | Referer alone | must be a page of this host |
| a privacy tool, a sandbox, a file | Origin: null | refused |
| a script | none of the three | refused, and told to send Origin |
| a page that a device kept from before | Origin, and the old proof | done |
| the log of a bench in one file | our upload form | done |
| name rebinding | right Origin, wrong Host | refused by the list of hosts |
| entering and leaving | as all else | refused before the pass-phrase is looked at |
| a proxy that decrypts | Origin with https | done, if Host is handed on |

`tests/browser/test_forgery.py` has Chromium send the first two and what other pages send.
"""

from __future__ import annotations

import json

import pytest
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from sockwright.store.items import ItemKind, Thing
from sockwright.web.access.sessions import COOKIE, EACH, LoginSessions
from sockwright.web.app import DATA_ROUTERS, OPENAPI, PAGE_ROUTERS, make_site
from sockwright.workshop.workshop import Workshop
from web.doors import PHRASE
from web.sites import HOST
from workshop.test_bench import entry

ADDRESS = "192.168.1.20:8765"
PERSON = {"wearer.name": "cook"}
OWN = f"http://{HOST}"
FOREIGN = (
    "http://evil.example",
    f"http://{HOST}:8765",
    f"http://{HOST}.evil.example",
    f"http://{HOST}@evil.example",
    f"http://evil.example/http://{HOST}",
    f"http://evil.example#{HOST}",
    f"chrome-extension://{HOST}",
    f"//{HOST}",
    HOST,
    "http://[::1",
    "null",
    "",
)
"""What is not the origin of a page of OWN."""

NOT_OURS: tuple[dict[str, str], ...] = (
    {},
    {"origin": "http://evil.example"},
    {"referer": "http://evil.example/"},
    {"sec-fetch-site": "same-site", "origin": OWN},
)


def sender(shop: Workshop, origin: str = OWN, logins: LoginSessions | None = None) -> TestClient:
    """Sends what it is told to, and says of itself nothing else."""
    hosts = (HOST, ADDRESS.partition(":")[0], "127.0.0.1")
    return TestClient(make_site(shop, hosts, logins), origin, follow_redirects=False)


def written(shop: Workshop, headers: dict[str, str], origin: str = OWN) -> bool:
    """Whether a form with these headers was done; else it was refused, and nothing was."""
    before = len(shop.things(ItemKind.PERSON))
    answer = sender(shop, origin).post("/people/new", data=PERSON, headers=headers)
    assert answer.status_code in (303, 403)
    done = answer.status_code == 303
    assert len(shop.things(ItemKind.PERSON)) == before + done
    return done


@pytest.mark.parametrize("origin", [f"https://{HOST}", "http://127.0.0.1:8765"])
def test_a_browser_of_today_says_itself_where_it_comes_from(shop: Workshop, origin: str) -> None:
    for site in ("same-origin", "none"):
        assert written(shop, {"sec-fetch-site": site, "origin": "null"}, origin)
    # Another port of this computer is "same-site".
    for site in ("cross-site", "same-site", "", "else"):
        own = {"sec-fetch-site": site, "origin": origin, "referer": f"{origin}/people"}
        assert not written(shop, own, origin), site


def test_on_plain_http_the_origin_is_this_host_and_port(shop: Workshop) -> None:
    origin = f"http://{ADDRESS}"
    assert written(shop, {"origin": origin}, origin)
    for other in ("http://192.168.1.20", "http://192.168.1.20:8766", "http://192.168.1.21:8765"):
        assert not written(shop, {"origin": other, "referer": f"{origin}/people"}, origin)
    assert written(shop, {"origin": "HTTP://TestServer"})


@pytest.mark.parametrize("foreign", FOREIGN)
def test_no_other_origin_or_page_will_do(shop: Workshop, foreign: str) -> None:
    assert not written(shop, {"origin": foreign, "referer": f"{OWN}/people"})
    assert not written(shop, {"referer": foreign})


def test_the_oldest_browsers_name_the_page_alone(shop: Workshop) -> None:
    for page in ("", "/", "/people/new?wearer.name=a//b"):
        assert written(shop, {"referer": f"{OWN}{page}"})


def test_a_script_is_told_what_to_send(shop: Workshop) -> None:
    client = sender(shop, f"http://{ADDRESS}")
    refused = client.post("/data/socks/x/bench/first/log", json={"entries": []})
    assert refused.status_code == 403
    name, value = refused.json()["detail"].partition("“")[2].partition("”")[0].split(": ")
    assert client.post("/people/new", data=PERSON).status_code == 403
    assert client.post("/people/new", data=PERSON, headers={name: value}).status_code == 303


def test_a_page_kept_from_before_sends_its_proof_in_vain_and_is_heard(
    planned: tuple[Workshop, Thing],
) -> None:
    shop, pair = planned
    client = sender(shop)
    own = {"origin": OWN, "x-proof": "0" * 64}
    log = f"/data/socks/{pair.id}/bench/first/log"
    assert client.post(log, json={"entries": [entry(1)]}, headers=own).status_code == 200
    assert len(shop.bench_log(pair.id, "first")) == 1
    # What it asks for where it was refused, one version long.
    assert client.get("/data/bench/proof").json().keys() == {"proof"}
    assert client.get(OPENAPI).json()["paths"]["/data/bench/proof"]["get"]["deprecated"] is True


def test_an_old_form_may_still_hold_its_proof(shop: Workshop) -> None:
    old = {"proof": "0" * 64}
    own = {"origin": OWN}
    client = sender(shop, logins=LoginSessions(PHRASE))
    assert client.post("/enter", data={**old, "phrase": PHRASE}, headers=own).status_code == 303
    assert client.post("/people/new", data={**old, **PERSON}, headers=own).status_code == 303
    (person,) = shop.things(ItemKind.PERSON)
    assert person.document == {"wearer": {"name": "cook"}}
    assert client.post("/settings", data={**old, "units": "in"}, headers=own).status_code == 303


def test_a_log_from_a_single_file_comes_back_by_our_form_alone(
    planned: tuple[Workshop, Thing],
) -> None:
    shop, pair = planned
    client, to = sender(shop), f"/socks/{pair.id}/bench/first/log.json"
    file = {"file": ("log.json", json.dumps([entry(1)]))}
    assert client.post(to, files=file, headers={"origin": "null"}).status_code == 403
    assert client.post(to, files=file, headers={"origin": OWN}).status_code == 303
    assert len(shop.bench_log(pair.id, "first")) == 1


def test_a_name_bound_to_this_computer_is_none_of_its_own(shop: Workshop) -> None:
    own = {"host": "evil.example", "origin": "http://evil.example", "sec-fetch-site": "same-origin"}
    assert sender(shop).post("/people/new", data=PERSON, headers=own).status_code == 400
    assert shop.things(ItemKind.PERSON) == ()


@pytest.mark.parametrize("headers", NOT_OURS)
def test_no_other_page_enters_guesses_or_leaves(shop: Workshop, headers: dict[str, str]) -> None:
    client = sender(shop, logins=LoginSessions(PHRASE))
    for phrase in (PHRASE, *["wrong"] * (EACH + 1)):
        answer = client.post("/enter", data={"phrase": phrase}, headers=headers)
        assert answer.status_code == 403
        assert "set-cookie" not in answer.headers
    # None of these tries was looked at, so none counts.
    assert client.post("/enter", data={"phrase": PHRASE}, headers={"origin": OWN}).is_redirect
    assert COOKIE in client.cookies
    assert client.post("/leave", headers=headers).status_code == 403
    assert client.get("/data/enter").json()["entered"] is True


def test_a_proxy_hands_on_the_host(shop: Workshop) -> None:
    assert written(shop, {"origin": f"https://{HOST}"})
    assert not written(shop, {"origin": f"https://{HOST}", "host": "127.0.0.1:8765"})


def test_nothing_plain_writes_over_tls(shop: Workshop) -> None:
    """Whoever sits on the way could answer for the same name without encryption."""
    assert written(shop, {"origin": f"https://{HOST}"}, f"https://{HOST}")
    assert not written(shop, {"origin": f"http://{HOST}"}, f"https://{HOST}")


@pytest.mark.parametrize("headers", NOT_OURS)
def test_every_address_that_writes_asks_where_it_comes_from(
    planned: tuple[Workshop, Thing], headers: dict[str, str]
) -> None:
    shop, pair = planned
    client, before = sender(shop), shop.export_all()
    posts = [
        f"{prefix}{route.path}".format(id=pair.id, which="first", version=1, kind="sock")
        for prefix, routers in (("", PAGE_ROUTERS), ("/data", DATA_ROUTERS))
        for router in routers
        for route in router.routes
        if isinstance(route, APIRoute) and "POST" in route.methods
    ]
    assert len(posts) > 40
    for path in posts:
        assert client.post(path, data={"seen": "1", **PERSON}, headers=headers).status_code == 403
    for method in ("PUT", "PATCH", "DELETE", "MADE-UP"):
        assert client.request(method, f"/socks/{pair.id}", headers=headers).status_code == 403
    assert shop.export_all() == before


def test_an_address_from_elsewhere_may_be_looked_at(shop: Workshop) -> None:
    away = {"sec-fetch-site": "cross-site", "origin": "http://evil.example"}
    assert sender(shop).get("/settings", headers=away).status_code == 200
