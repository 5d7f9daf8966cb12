"""Ways out on the pages: whatever is offered to be clicked plans at once, and helps."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape

import pytest

from browser.pages import other_choice, station_choice
from sockwright.store.items import ItemKind
from sockwright.web.plan.choices import query_of
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import kept

REFUSED = {
    "a rib without a dial": other_choice("winch-operator", "bench", "grey", design="ribbed"),
    "unlike feet": other_choice("dog-handler", "bench", "grey", design="ribbed"),
    "a heel that does not turn": query_of(station_choice()) + "&heel.kept=11",
    "two things at once": query_of(station_choice()) + "&heel.kept=11&leg.rounds=1",
    "over the knee": query_of(station_choice()) + "&leg.height=60+cm",
}
SHORT = other_choice("avalanche-forecaster", "aunt", "berry")
FRAGMENT = {"hx-request": "true"}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    with sites.workshop(tmp_path_factory.mktemp("ways"), example=True) as opened:
        yield opened


@pytest.fixture(scope="module")
def client(shop: Workshop) -> sites.Client:
    return sites.client(shop)


def ways(text: str) -> list[str]:
    """The addresses of what is offered."""
    return [
        unescape(address)
        for block in re.findall(r'<ul class="ways">(.*?)</ul>', text, re.S)
        for address in re.findall(r'<a class="button" href="([^"]+)"', block)
    ]


def planned(client: sites.Client, address: str) -> dict[str, object]:
    """The plan at an address of the page."""
    answer = client.get(address.replace("/plan?", "/data/plan?")).json()
    assert answer["refusal"] is None, answer["refusal"]
    assert answer["problems"] == []
    plan = answer["plan"]
    assert isinstance(plan, dict)
    return plan


@pytest.mark.parametrize("query", REFUSED.values(), ids=REFUSED.keys())
def test_what_a_refusal_offers_can_be_clicked_and_is_planned(
    client: sites.Client, query: str
) -> None:
    text = client.get(f"/plan?{query}").text
    assert 'class="refusal"' in text
    assert ways(text)
    for address in ways(text):
        assert planned(client, address)["ok"] is True
    offers = client.get(f"/data/plan?{query}").json()["offers"]
    assert [f"/plan?{one['query']}" for one in offers if one["what"]] == ways(text)
    assert ways(client.get(f"/plan/result?{query}", headers=FRAGMENT).text) == ways(text)


def test_an_offer_takes_the_place_of_the_key_that_was_refused(client: sites.Client) -> None:
    query = query_of(station_choice()) + "&leg.rounds=1"
    (offer, *_) = client.get(f"/data/plan?{query}").json()["offers"]
    assert offer["what"] == {"leg.rounds": 2}
    assert offer["query"].count("leg.rounds=") == 1
    sizing = planned(client, f"/plan?{offer['query']}")["sizing"]
    assert isinstance(sizing, dict)
    assert sizing["leg_rounds"] == 2


def test_short_yarn_is_told_first_and_what_helps_can_be_clicked(client: sites.Client) -> None:
    text = client.get(f"/plan?{SHORT}").text
    result = text[text.index('<section id="result"') :]
    assert result.index("Not enough yarn") < result.index("The steps work")
    told = planned(client, f"/plan?{SHORT}")
    (short,) = told["short_yarn"]  # type: ignore[misc]
    assert short["yarn"] == "main"
    assert ways(text)
    for address in ways(text):
        assert planned(client, address)["short_yarn"] == []
    assert result.count("gives out") == 1
    assert "/plan/sheets/crank" in result


def test_parts_are_offered_in_each_other_yarn_of_the_shelf(
    client: sites.Client, shop: Workshop
) -> None:
    taken = [
        address for address in ways(client.get(f"/plan?{SHORT}").text) if "yarn.heel" in address
    ]
    others = [one for one in shop.things(ItemKind.YARN) if one.name != "berry sock yarn"]
    assert len(taken) == len(others) == 2
    for yarn in others:
        assert any(f"yarn.heel={yarn.id}" in address for address in taken)


def test_short_yarn_is_told_where_the_sock_is_begun(client: sites.Client, shop: Workshop) -> None:
    choice = replace(
        station_choice(),
        person=next(one.id for one in shop.things(ItemKind.PERSON) if "avalanche" in one.name),
        title="Short of yarn",
        yarns={"main": next(o.id for o in shop.things(ItemKind.YARN) if "berry" in o.name)},
        swatches=(),
        needles=84,
    )
    pair = kept(shop.plan_sock(choice))
    for address in ("", "/bench", "/bench/first", "/bench/second"):
        assert "gives out in the second sock" in client.get(f"/socks/{pair.id}{address}").text


def test_where_nothing_of_the_order_helps_the_workshop_does(
    client: sites.Client, shop: Workshop
) -> None:
    machine = {"name": "a toy", "turns": "cylinder", "cylinders": [24]}
    toy = kept(shop.keep(ItemKind.MACHINE, machine))
    try:
        query = query_of(replace(station_choice(), machine=toy.id, needles=None, swatches=()))
        answer = client.get(f"/data/plan?{query}").json()
        assert answer["refusal"]
        assert not any(one["what"] for one in answer["offers"])
        assert answer["elsewhere"]
        text = client.get(f"/plan?{query}").text
        assert [f"/plan?{one['query']}" for one in answer["elsewhere"]] == ways(text)
        for address in ways(text):
            assert planned(client, address)["ok"] is True
        assert ways(client.get(f"/plan/result?{query}", headers=FRAGMENT).text) == ways(text)
    finally:
        shop.delete(ItemKind.MACHINE, toy.id, toy.version)


def test_a_cylinder_that_the_machine_has_not_leads_to_one_that_it_has(
    client: sites.Client,
) -> None:
    query = query_of(station_choice()).replace("needles=60", "needles=72")
    assert client.get(f"/data/plan?{query}").json()["problems"]
    (address,) = ways(client.get(f"/plan?{query}").text)
    sizing = planned(client, address)["sizing"]
    assert isinstance(sizing, dict)
    assert sizing["needles"] == 60


def test_at_most_a_dozen_plans_are_tried(shop: Workshop) -> None:
    tried = shop.choices_elsewhere(station_choice())
    assert 4 <= len(tried) <= 12
    assert {one.kind for one in tried} >= {ItemKind.YARN, ItemKind.MACHINE, ItemKind.PERSON}
    assert len({one.written.toml for one in tried}) == len(tried)


def test_a_first_visit_is_offered_a_pair_that_fits(client: sites.Client) -> None:
    (address,) = ways(client.get("/plan").text)
    plan = planned(client, address)
    assert plan["look_again"] == []
    size = plan["size"]
    assert isinstance(size, dict)
    assert size["trust"] == "good"
    assert ways(client.get("/plan?machine=none").text) == []
