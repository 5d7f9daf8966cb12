"""The site as it is served, on each kind of database: kept, changed, undone, planned."""

from __future__ import annotations

import re
from urllib.parse import parse_qsl

import httpx2 as httpx

from databases import contents, url  # noqa: F401 - a fixture
from served import Starter, browser
from sockwright.store.database import open_database
from sockwright.store.items import ItemKind
from sockwright.web.plan.choices import query_of
from sockwright.workshop.answers import Choice
from sockwright.workshop.example import example_id

YARN = {"name": "grey boot-sock wool", "fineness": "100 g / 360 m", "on_hand": "150 g"}


def sent_on(answer: httpx.Response) -> str:
    """Where a write that was done sends its browser."""
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def field(client: httpx.Client, page: str, name: str) -> str:
    """What stands in a field of a page."""
    text = client.get(page).text
    tag = re.search(rf'<input[^>]*\bname="{name}"[^>]*>', text)
    assert tag is not None, f"no field {name} on {page}"
    value = re.search(r'\bvalue="([^"]*)"', tag[0])
    return value[1] if value else ""


CHOICE = Choice(
    person=example_id(ItemKind.PERSON, "winch-operator"),
    machine=example_id(ItemKind.MACHINE, "bench"),
    yarns={"main": example_id(ItemKind.YARN, "grey")},
    design=example_id(ItemKind.DESIGN, "boot"),
)
"""A pair for the example's winch operator."""


def test_what_a_workshop_does_it_does_on_every_database(starter: Starter, url: str) -> None:  # noqa: F811
    with starter.serving("--database", url) as (address, lines), browser(address) as client:
        assert "This is a new workshop" in " ".join(lines)
        page = sent_on(client.post("/yarns/new", data=YARN))
        assert field(client, page, "on_hand") == "150 g"

        seen = {**YARN, "on_hand": "90 g", "seen": "1"}
        assert sent_on(client.post(page, data=seen)) == page
        assert field(client, page, "on_hand") == "90 g"
        assert client.post(page, data={**seen, "on_hand": "10 g"}).status_code == 409

        assert sent_on(client.post(f"{page}/back/1", data={"seen": "2"})) == page
        assert field(client, page, "on_hand") == "150 g"

        query = query_of(CHOICE)
        plan = client.get(f"/data/plan?{query}")
        assert plan.status_code == 200
        assert plan.json()["plan"]["dry_run"]["ok"] is True
        pair = sent_on(client.post("/plan", data=dict(parse_qsl(query))))
        assert client.get(pair).status_code == 200

    database = open_database(url)
    rows = contents(database)
    database.close()
    assert any(page.rpartition("/")[2] in row for row in rows["yarn"])
    assert any(pair.rpartition("/")[2] in row for row in rows["sock"])
