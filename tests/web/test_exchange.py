"""Out and in over the web: without loss, without doubles, and with every problem said."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from amounts import amount
from laws.test_order_laws import orders
from laws.test_workshop_laws import histories, live, workshops
from sockwright.order import model, to_toml
from sockwright.store.items import ItemKind
from sockwright.web.received import MOST_FIELD_BYTES
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import YARN, everything, furnish, kept

EXAMPLES = Path(__file__).parents[2] / "examples"
WORKSHOP = "/exchange/workshop"


@pytest.fixture
def shop() -> Iterator[Workshop]:
    with workshops() as (one,):
        yield one


def send(client: sites.Client, path: str, data: bytes, name: str = "file") -> Any:
    """Give in a file as the page's form does."""
    return client.post(path, files={"file": (name, data)})


def take(client: sites.Client, order: bytes) -> str:
    """Take an order in; the id of its pair."""
    answer = send(client, "/exchange/order", order, "order.toml")
    assert answer.status_code == 303, answer.text[:3000]
    return str(answer.headers["location"]).removeprefix("/socks/")


def out(client: sites.Client, id: str) -> bytes:
    return bytes(client.get(f"/socks/{id}/order.toml").content)


@settings(max_examples=amount(4, 200))
@given(orders())
def test_an_order_goes_out_and_in_and_out_the_same(order: model.Order) -> None:
    with workshops(2) as (one, other):
        here, there = sites.client(one), sites.client(other)
        first = take(here, to_toml(order).encode())
        text = out(here, first)
        second = take(there, text)
        assert out(there, second) == text
        pasted = there.post_form("/exchange/order", {"text": text.decode()})
        assert pasted.headers["location"] == f"/socks/{second}"
        before = everything(one)
        assert take(here, text) == first
        assert everything(one) == before


@settings(max_examples=amount(4, 200))
@given(orders(), histories)
def test_a_workshop_goes_out_and_in_and_out_the_same(
    order: model.Order, history: list[Any]
) -> None:
    with workshops(2) as (one, other):
        here, there = sites.client(one), sites.client(other)
        take(here, to_toml(order).encode())
        live(one, history)
        data = here.get("/exchange/workshop.json").content
        assert send(there, WORKSHOP, data).status_code == 303
        assert there.get("/exchange/workshop.json").content == data
        assert send(here, WORKSHOP, data).status_code == 303
        assert here.get("/exchange/workshop.json").content == data


def test_a_workshop_goes_out_as_a_file_to_keep(client: sites.Client, shop: Workshop) -> None:
    furnish(shop)
    answer = client.get("/exchange/workshop.json")
    assert answer.content == shop.export_all()
    assert answer.headers["content-type"] == "application/json"
    assert answer.headers["content-disposition"].startswith('attachment; filename="20')


def test_what_may_go_out_is_listed(client: sites.Client, shop: Workshop) -> None:
    assert client.get("/data/exchange").json() == {
        "orders": [],
        "workshop": "/exchange/workshop.json",
        "holds": 0,
    }
    pair = kept(shop.plan_sock(furnish(shop)))
    text = client.get("/exchange").text
    data = client.get("/data/exchange").json()
    assert data["holds"] == 6
    for address in (data["workshop"], *(one["address"] for one in data["orders"])):
        assert f'href="{address}"' in text
        assert client.get(address).status_code == 200
    assert [one["id"] for one in data["orders"]] == [pair.id]


def test_an_order_of_the_examples_is_taken_in_and_its_pair_can_be_undone(
    client: sites.Client, shop: Workshop
) -> None:
    id = take(client, (EXAMPLES / "avalanche-forecaster.toml").read_bytes())
    text = client.get(f"/socks/{id}").text
    assert "Order imported:" in text
    assert f'action="/socks/{id}/delete"' in text
    again = take(client, out(client, id))
    assert again == id
    text = client.get(f"/socks/{id}").text
    assert 'class="told"' in text
    assert "Order imported:" not in text


@pytest.mark.parametrize("pasted", [True, False])
def test_every_problem_of_an_order_is_said_and_its_text_is_kept(
    client: sites.Client, shop: Workshop, pasted: bool
) -> None:
    order = '[foot]\nlength = 25\n[machine]\nturns = "sideways"\n# </textarea><script>alert(1)'
    if pasted:
        answer = client.post_form("/exchange/order", {"text": order})
    else:
        answer = send(client, "/exchange/order", order.encode())
    assert answer.status_code == 422
    text = answer.text
    for path in ("foot.length: ", "machine.turns: ", "machine.cylinders: ", "yarn.main.fineness"):
        assert f'<a href="#text">{path}' in text
    assert "length = 25\n[machine]" in text
    assert "<script>alert" not in text
    assert 'aria-describedby="order-problem"' in text
    assert text.count('href="/data/exchange"') == 2
    assert everything(shop) == {}


def test_where_an_order_is_no_toml_its_line_is_said(client: sites.Client) -> None:
    answer = client.post_form("/exchange/order", {"text": "[foot]\nlength 25\n"})
    assert answer.status_code == 422
    assert "line 2, column 8 is not TOML" in answer.text


@pytest.mark.parametrize(
    ("data", "wrong"),
    [
        (b"\xff\xfea\0", "is not a text file"),
        (b"title = '\xe4'", "is not text in UTF-8"),
        (b"#" * (MOST_FIELD_BYTES + 1), "is far too large for an order"),
        (b"", "is missing"),
    ],
)
def test_what_is_no_order_is_refused(
    client: sites.Client, shop: Workshop, data: bytes, wrong: str
) -> None:
    answer = send(client, "/exchange/order", data)
    assert answer.status_code == 422
    assert wrong in answer.text
    assert everything(shop) == {}


@pytest.mark.parametrize("path", ["/exchange/order", WORKSHOP])
def test_nothing_given_in_is_asked_for(client: sites.Client, path: str) -> None:
    answer = client.post_form(path)
    assert answer.status_code == 422
    assert "is missing" in answer.text


@pytest.mark.parametrize(
    ("data", "wrong"),
    [
        (b"no", "is not JSON"),
        (b"[" * 50_000, "is not JSON"),
        (b"{}", "is not a workshop"),
        (b'{"format": "sockwright workshop", "version": 99}', "another version"),
    ],
)
def test_what_is_no_workshop_is_refused(
    client: sites.Client, shop: Workshop, data: bytes, wrong: str
) -> None:
    answer = send(client, WORKSHOP, data)
    assert answer.status_code == 422
    assert wrong in answer.text
    assert everything(shop) == {}


def test_a_damaged_workshop_is_refused_whole(client: sites.Client, shop: Workshop) -> None:
    furnish(shop)
    document = json.loads(shop.export_all())
    document["yarn"][0]["state"]["name"] = "another"
    before = everything(shop)
    answer = send(client, WORKSHOP, json.dumps(document).encode())
    assert answer.status_code == 422
    assert "checksum" in answer.text
    assert everything(shop) == before


def test_what_became_of_a_workshop_is_told() -> None:
    with workshops(2) as (one, other):
        here, there = sites.client(one), sites.client(other)
        yarns = [kept(one.keep(ItemKind.YARN, {**YARN, "name": name})) for name in ("a", "b", "c")]
        other.import_all(one.export_all())
        kept(one.change(ItemKind.YARN, yarns[0].id, 1, {**YARN, "name": "a", "colour": "grey"}))
        kept(other.change(ItemKind.YARN, yarns[0].id, 1, {**YARN, "name": "a", "colour": "red"}))
        kept(other.change(ItemKind.YARN, yarns[1].id, 1, {**YARN, "name": "b", "colour": "red"}))
        kept(other.keep(ItemKind.YARN, {**YARN, "name": "d"}))
        answer = send(here, WORKSHOP, there.get("/exchange/workshop.json").content)
        text = here.get(answer.headers["location"]).text
        assert "1 new entry, 1 was updated, 1 was known already" in text
        assert "1 was changed in both" in text
        listed = text.split("Import result")[1].split("</section>")[0]
        differed, newer, new = listed.split("<h3>")[1:]
        assert yarns[0].id in differed
        assert yarns[1].id in newer
        assert ">d</a>" in new
        assert yarns[2].id not in listed


@pytest.mark.parametrize("query", ["new=x", "differed=%00", "newer=" + "0" * 5000, "new=a&new=b"])
def test_whatever_stands_in_the_address_is_answered(client: sites.Client, query: str) -> None:
    answer = client.get(f"/exchange?{query}")
    assert answer.status_code == 200
    assert "Import result" not in answer.text


def test_the_bounds_of_what_comes_in(client: sites.Client) -> None:
    assert send(client, "/exchange/order", b" " * 1_100_000).status_code == 413
    large = send(client, WORKSHOP, b" " * 2_000_000)
    assert large.status_code == 422
    assert "is not JSON" in large.text
