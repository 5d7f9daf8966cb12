"""A pair's pages and data: from its plan to its wear, with nothing typed lost on the way."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from browser.pages import station_choice
from sockwright.cli.app import app as command_line
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.answers import Choice
from sockwright.workshop.example import example_id
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import PERSON, UNLIKE_FEET, furnish, kept

NO_ONE = "00000000-0000-0000-0000-000000000000"
DEEDS = ("start", "log", "finish", "measure", "delete", "restore", "back/1")


@pytest.fixture
def choice(shop: Workshop) -> Choice:
    return furnish(shop)


@pytest.fixture
def pair(shop: Workshop, choice: Choice) -> Thing:
    return kept(shop.plan_sock(choice))


def page(client: sites.Client, address: str, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status, answer.text[:2000]
    return str(answer.text)


def do(client: sites.Client, pair: Thing, deed: str, status: int = 303, **fields: str) -> Any:
    """Send one of a pair's forms; dots in names are written as __."""
    sent = {name.replace("__", "."): value for name, value in fields.items()}
    answer = client.post_form(f"/socks/{pair.id}/{deed}", {"seen": str(pair.version), **sent})
    assert answer.status_code == status, answer.text[:3000]
    return answer


def now(shop: Workshop, pair: Thing) -> Thing:
    return shop.thing(ItemKind.SOCK, pair.id)


def element(text: str, id: str) -> str:
    """The opening tag of the element with an id."""
    found = re.search(rf'<[^<>]*\bid="{re.escape(id)}"[^<>]*>', text)
    assert found is not None, f"no element {id}"
    return found[0]


def test_the_list_has_each_pair_under_what_it_is(
    client: sites.Client, shop: Workshop, choice: Choice
) -> None:
    assert "No pairs yet" in page(client, "/socks")
    kept(shop.plan_sock(choice))
    begun = kept(shop.plan_sock(choice))
    kept(shop.start_sock(begun.id, 1))
    made = kept(shop.plan_sock(choice))
    kept(shop.finish_sock(made.id, 1, {}))
    text = page(client, "/socks")
    headings = re.findall(r"<h2>(\w[\w ]*) <span", text)
    assert headings == ["In progress", "Planned", "Finished"]
    assert "grey boot-sock wool" in text
    assert "the bench machine, 60 needles" in text
    data = client.get("/data/socks").json()["socks"]
    assert sorted(one["status"] for one in data) == ["being made", "made", "planned"]
    gone = shop.delete(ItemKind.SOCK, made.id, 2)
    assert f"/socks/{gone.id}" not in page(client, "/socks")
    assert "1 deleted pair" in page(client, "/socks")


def test_a_pair_shows_what_it_is_made_of_and_its_plan(
    client: sites.Client, pair: Thing, choice: Choice
) -> None:
    text = page(client, f"/socks/{pair.id}")
    for folder, id in (
        ("people", choice.person),
        ("machines", choice.machine),
        ("designs", choice.design),
        ("yarns", choice.yarns["main"]),
        ("swatches", choice.swatches[0]),
    ):
        assert f'href="/{folder}/{id}"' in text
    plan = client.get(f"/data/socks/{pair.id}/plan").json()
    assert f"{plan['sizing']['leg_rounds']} rounds" in text
    assert f"{plan['sizing']['foot_rounds']} rounds" in text
    assert "The steps work" in text
    assert "style=" not in text
    assert "<script>" not in text


def test_a_pair_tells_how_far_its_size_is_to_be_trusted(
    client: sites.Client, shop: Workshop, choice: Choice
) -> None:
    rough = kept(shop.plan_sock(replace(choice, swatches=())))
    text = page(client, f"/socks/{rough.id}")
    plan = client.get(f"/data/socks/{rough.id}/plan").json()
    assert f"<strong>Fit</strong>: {plan['size']['verdict']}" in text
    assert "No swatch gives this gauge" in text.split("Look at this first")[1].split("</div>")[0]
    for label in (
        "Narrower than the foot by",
        "Must open for the heel",
        "The fabric opens to",
    ):
        assert f"{label}</th>" in text
    for note in plan["notes"]:
        assert html.escape(note, quote=False) in text.replace("&#39;", "'")


def test_planned_again_it_is_the_same_plan(client: sites.Client, pair: Thing) -> None:
    found = re.search(r'href="(/plan\?[^"]*)"', page(client, f"/socks/{pair.id}"))
    assert found is not None
    again = client.get("/data" + html.unescape(found[1])).json()
    assert again["plan"] == client.get(f"/data/socks/{pair.id}/plan").json()
    assert again["order"] == client.get(f"/socks/{pair.id}/order.toml").text


def test_the_plan_is_the_command_lines_of_the_order_that_goes_out(
    client: sites.Client, pair: Thing, tmp_path: Path
) -> None:
    answer = client.get(f"/socks/{pair.id}/order.toml")
    assert answer.headers["content-type"].startswith("application/toml")
    assert 'filename="socks-for-winch-operator-order.toml"' in answer.headers["content-disposition"]
    order = tmp_path / "order.toml"
    order.write_bytes(answer.content)
    printed = CliRunner().invoke(command_line, ["plan", str(order), "--json"])
    assert printed.exit_code == 0, printed.output
    assert client.get(f"/data/socks/{pair.id}/plan").json() == json.loads(printed.stdout)


def test_a_pair_from_its_plan_to_its_wear(
    client: sites.Client, shop: Workshop, pair: Thing, choice: Choice
) -> None:
    assert do(client, pair, "start").headers["location"] == f"/socks/{pair.id}"
    text = page(client, f"/socks/{pair.id}")
    assert "Pair started." in text
    assert f'action="/socks/{pair.id}/back/1"' in text
    do(
        client,
        now(shop, pair),
        "log",
        time="2025-11-03T20:05",
        sock="first",
        rounds="62",
        deviation="One round more in the leg,\r\nto be sure.",
    )
    entry = {
        "time": "2025-11-03 20:05",
        "sock": "first",
        "rounds": 62,
        "deviation": "One round more in the leg,\nto be sure.",
    }
    assert now(shop, pair).fields["log"] == [entry]
    text = page(client, f"/socks/{pair.id}")
    assert "first sock · 62 rounds" in text
    assert "One round more in the leg,\nto be sure." in text
    measured = {"measured__state": "washed", "measured__foot": "23.4 cm"}
    do(client, now(shop, pair), "finish", left__main="62 g", **measured)
    made = now(shop, pair)
    assert (made.fields["status"], made.fields["left"]) == ("made", {"main": "62 g"})
    assert shop.thing(ItemKind.YARN, choice.yarns["main"]).document["on_hand"] == "62 g"
    text = page(client, f"/socks/{pair.id}")
    assert "Planned and measured" in text
    assert "<td>23.4 cm</td>" in text
    do(client, made, "measure", measured__state="washed", measured__worn="Thin at the heel.")
    data = client.get(f"/data/socks/{pair.id}").json()
    assert data["measured"] == {"state": "washed", "worn": "Thin at the heel."}
    assert data["log"] == [entry]
    assert [was["status"] for was in data["earlier"]] == [
        "planned",
        "being made",
        "being made",
        "made",
    ]


def test_every_change_can_be_undone_from_where_it_is_told(
    client: sites.Client, shop: Workshop, pair: Thing, choice: Choice
) -> None:
    do(client, pair, "start")
    do(client, now(shop, pair), "back/1")
    assert now(shop, pair).fields["status"] == "planned"
    do(client, now(shop, pair), "finish", left__main="10 g")
    do(client, now(shop, pair), "back/3")
    assert now(shop, pair).fields["status"] == "planned"
    assert "Weights stay as you entered them" in page(client, f"/socks/{pair.id}")
    assert shop.thing(ItemKind.YARN, choice.yarns["main"]).document["on_hand"] == "10 g"


def test_a_deleted_pair_comes_back(client: sites.Client, shop: Workshop, pair: Thing) -> None:
    assert do(client, pair, "delete").headers["location"] == "/socks"
    text = page(client, "/socks")
    assert "“Socks for winch operator”" in text.split('class="told"')[1].split("</div>")[0]
    assert f'action="/socks/{pair.id}/restore"' in text
    assert "This pair was deleted" in page(client, f"/socks/{pair.id}")
    assert client.get(f"/data/socks/{pair.id}").json()["deleted"] is not None
    do(client, now(shop, pair), "restore")
    assert f"/socks/{pair.id}" in page(client, "/socks")


@pytest.mark.parametrize(
    ("deed", "fields", "wrong", "kept_fields"),
    [
        ("log", {"time": "yesterday", "note": "Oiled."}, ["time"], ["note"]),
        ("log", {"time": "2025-11-03T20:05", "rounds": "many"}, ["rounds"], ["time"]),
        ("log", {"time": "", "deviation": "x" * 20_001}, ["time", "deviation"], []),
        ("finish", {"left.main": "62"}, ["left.main"], []),
        (
            "finish",
            {"left.main": "62 g", "measured.foot": "9 m", "measured.worn": "Warm."},
            ["measured.foot", "measured.state"],
            ["left.main", "measured.worn"],
        ),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_all_typed_is_kept(
    client: sites.Client,
    shop: Workshop,
    pair: Thing,
    deed: str,
    fields: Mapping[str, str],
    wrong: list[str],
    kept_fields: list[str],
) -> None:
    sent = {"seen": "1", **fields}
    answer = client.post_form(f"/socks/{pair.id}/{deed}", sent)
    assert answer.status_code == 422
    text = answer.text
    assert 'role="alert"' in text
    assert text.count(f'href="/data/socks/{pair.id}"') == 2
    for name in wrong:
        id = f"{deed}-{name.replace('.', '-')}"
        assert f'href="#{id}"' in text
        tag = element(text, id)
        assert 'aria-invalid="true"' in tag
        assert f"{id}-problem" in tag
        assert f'id="{id}-problem"' in text
    for name in kept_fields:
        assert 'aria-invalid="true"' not in element(text, f"{deed}-{name.replace('.', '-')}")
    for value in fields.values():
        assert value.replace("2025-11-03 ", "2025-11-03T") in text
    assert now(shop, pair) == pair


def test_a_form_of_an_older_state_keeps_what_was_typed_and_tells_what_changed(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    do(client, pair, "log", time="2025-11-03T19:20", note="On the machine.")
    late = do(client, pair, "log", status=409, time="2025-11-03T20:05", note="Heel turned.")
    text = late.text
    assert "<li>A note was added; see below.</li>" in text
    assert "<li>Status: in progress.</li>" in text
    assert "On the machine." in text
    assert "Heel turned." in text
    assert len(now(shop, pair).fields["log"]) == 1
    seen = re.search(r'/log"[^>]*>\s*<input[^>]*name="seen" value="(\d+)"', text)
    assert seen is not None
    assert int(seen[1]) == now(shop, pair).version
    do(client, now(shop, pair), "log", time="2025-11-03T20:05", note="Heel turned.")
    notes = [entry["note"] for entry in now(shop, pair).fields["log"]]
    assert notes == ["On the machine.", "Heel turned."]


def test_what_was_done_meanwhile_is_told_whatever_it_was(
    client: sites.Client, shop: Workshop, pair: Thing, choice: Choice
) -> None:
    kept(shop.replan_sock(pair.id, 1, replace(choice, title="Thicker socks", needles=54)))
    kept(shop.finish_sock(pair.id, 2, {"main": "60 g"}, {"state": "washed", "foot": "23 cm"}))
    shop.delete(ItemKind.SOCK, pair.id, 3)
    text = do(client, pair, "log", status=409, time="2025-11-03T19:20").text
    for words in (
        "Planned again.",
        "Status: finished.",
        "The yarns were weighed.",
        "Measures were added.",
        "Deleted.",
    ):
        assert text.count(f"<li>{words}</li>") == 1


def test_what_was_typed_stays_even_where_its_form_would_not_be(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    kept(shop.finish_sock(pair.id, 1, {}))
    text = do(client, pair, "finish", status=409, left__main="61 g").text
    assert 'value="61 g"' in element(text, "finish-left-main")
    again = do(client, now(shop, pair), "finish", status=422, left__main="61 g").text
    assert "measure it again instead" in again
    assert 'value="61 g"' in element(again, "finish-left-main")
    kept(shop.back_to(ItemKind.SOCK, pair.id, 2, 1))
    text = do(client, pair, "measure", status=409, measured__foot="23.1 cm").text
    assert 'value="23.1 cm"' in element(text, "measure-measured-foot")
    shop.delete(ItemKind.SOCK, pair.id, 3)
    text = do(client, pair, "log", status=409, time="2025-11-03T19:20", rounds="17").text
    assert 'value="17"' in element(text, "log-rounds")


@pytest.mark.parametrize("deed", ["start", "delete", "back/1", "finish", "restore"])
def test_nothing_is_done_to_a_pair_that_was_not_seen_as_it_is(
    client: sites.Client, shop: Workshop, pair: Thing, deed: str
) -> None:
    do(client, pair, "log", time="2025-11-03T19:20")
    before = shop.export_all()
    assert "Changed by someone else" in do(client, pair, deed, status=409).text
    assert shop.export_all() == before


@pytest.mark.parametrize(
    ("deed", "words"),
    [("back/9", "there was no version 9"), ("measure", "finish it first")],
)
def test_what_cannot_be_done_now_is_said(
    client: sites.Client, pair: Thing, deed: str, words: str
) -> None:
    answer = do(client, pair, deed, status=422, measured__state="washed", measured__foot="23 cm")
    assert words in answer.text


@pytest.mark.parametrize("id", [NO_ONE, "x", "%00", "a" * 3000, "💥"])
def test_an_address_of_no_pair_is_not_found(client: sites.Client, id: str) -> None:
    for tail in ("", "/order.toml", "/sheets/crank.pdf"):
        assert client.get(f"/socks/{id}{tail}").status_code == 404
    for deed in DEEDS:
        assert client.post_form(f"/socks/{id}/{deed}", {"seen": "1"}).status_code == 404
    for tail in ("", "/plan"):
        answer = client.get(f"/data/socks/{id}{tail}")
        assert answer.status_code == (404 if id == NO_ONE else 422)


def test_an_id_of_another_kind_is_no_pair(client: sites.Client, choice: Choice) -> None:
    assert client.get(f"/socks/{choice.person}").status_code == 404
    assert client.get(f"/data/socks/{choice.person}").status_code == 404


def test_parts_changed_since_are_marked(
    client: sites.Client, shop: Workshop, pair: Thing, choice: Choice
) -> None:
    assert "changed since" not in page(client, f"/socks/{pair.id}")
    longer = {**PERSON, "foot": {**PERSON["foot"], "length": "26 cm"}}
    kept(shop.change(ItemKind.PERSON, choice.person, 1, longer))
    assert page(client, f"/socks/{pair.id}").count("changed since") == 1
    data = client.get(f"/data/socks/{pair.id}").json()
    assert [part["id"] for part in data["changed_parts"]] == [choice.person]


def test_whatever_was_typed_is_shown_as_text(
    client: sites.Client, shop: Workshop, choice: Choice
) -> None:
    nasty = "<script>alert(1)</script>\u200f“'&"
    person = {"wearer": {"name": nasty}, "foot": PERSON["foot"]}
    kept(shop.change(ItemKind.PERSON, choice.person, 1, person))
    pair = kept(shop.plan_sock(choice))
    do(client, pair, "log", time="2025-11-03T19:20", note=nasty, deviation=nasty)
    for address in ("/", "/socks", f"/socks/{pair.id}", "/exchange"):
        text = page(client, address)
        assert "<script>alert" not in text
        assert "&lt;script&gt;alert(1)" in text
    refused = do(client, now(shop, pair), "log", status=422, time=nasty, note="\0")
    assert "<script>alert" not in refused.text


def test_feet_that_differ_have_a_left_and_a_right_sock(
    client: sites.Client, shop: Workshop, choice: Choice
) -> None:
    kept(shop.change(ItemKind.PERSON, choice.person, 1, UNLIKE_FEET))
    pair = kept(shop.plan_sock(choice))
    text = page(client, f"/socks/{pair.id}")
    assert '<option value="left">left sock</option>' in text
    assert '<option value="first"' not in text
    assert '<th scope="col">left foot</th>' in text
    assert "crank-right.pdf" in text


def test_one_yarn_in_two_parts_is_asked_for_once(
    client: sites.Client, shop: Workshop, choice: Choice
) -> None:
    pair = kept(
        shop.plan_sock(replace(choice, yarns={**choice.yarns, "heel": choice.yarns["main"]}))
    )
    text = page(client, f"/socks/{pair.id}")
    assert 'name="left.main"' in text
    assert 'name="left.heel"' not in text


def test_an_empty_workshop_is_told_its_first_steps(client: sites.Client, shop: Workshop) -> None:
    text = page(client, "/")
    for address in ("/people/new", "/yarns/new", "/machines/new", "/swatches/new", "/plan"):
        assert f'<li><a href="{address}">' in text
    assert "done" not in text
    choice = furnish(shop)
    assert page(client, "/").count("<strong>done</strong>") == 4
    steps = client.get("/data/").json()["first_steps"]
    assert [one["done"] for one in steps] == [True, True, True, True, False]
    assert [one["sheet"] for one in steps] == ["", "", "", "/sheets/swatch.pdf", ""]
    kept(shop.plan_sock(choice))
    assert "First steps" not in page(client, "/")


def test_the_step_of_the_swatch_leads_to_its_sheet(client: sites.Client) -> None:
    assert '<a href="/sheets/swatch.pdf">' in page(client, "/")
    answer = client.get("/sheets/swatch.pdf")
    assert answer.content.startswith(b"%PDF")
    assert answer.headers["content-disposition"].startswith("inline")


def test_the_example_is_not_a_step_of_ones_own(client: sites.Client, shop: Workshop) -> None:
    shop.add_example()
    assert "Example: a mountain-rescue station" in page(client, "/")
    assert "<strong>done</strong>" not in page(client, "/")
    assert "5 people" in page(client, "/")


def test_the_bench_comes_first(client: sites.Client, shop: Workshop, choice: Choice) -> None:
    planned = kept(shop.plan_sock(choice))
    begun = kept(shop.plan_sock(choice))
    kept(shop.start_sock(begun.id, 1))
    text = page(client, "/")
    assert text.index(f"/socks/{begun.id}") < text.index(f"/socks/{planned.id}")
    assert "Continue" in text
    data = client.get("/data/").json()
    assert [one["id"] for one in data["being_made"]] == [begun.id]
    assert [one["id"] for one in data["planned"]] == [planned.id]


def test_the_example_goes_but_for_what_is_needed(client: sites.Client, shop: Workshop) -> None:
    shop.add_example()
    own = kept(shop.plan_sock(station_choice()))
    client.post_form("/example/remove")
    needed = [one for kind in ItemKind for one in shop.things(kind, None) if one.example]
    assert len(needed) == 5
    assert " 5 " in page(client, "/").split('class="told"')[1].split("</div>")[0]
    assert client.get(f"/socks/{own.id}").status_code == 200
    assert client.get(f"/socks/{example_id(ItemKind.SOCK, 'cooks-son')}").status_code == 404
    client.post_form("/example/add")
    assert client.get(f"/socks/{example_id(ItemKind.SOCK, 'cooks-son')}").status_code == 200
