"""The planning page and its data: the plan, what is missing, wrong or refused, kept, explained."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from starlette.testclient import TestClient

from sockwright.cli.app import app as command_line
from sockwright.store.items import ItemKind
from sockwright.web.app import make_site
from sockwright.web.plan.choices import query_of
from sockwright.web.preferences import PREFERENCES_COOKIE
from sockwright.workshop.answers import Choice
from sockwright.workshop.workshop import Workshop
from web import sites
from web.tables import numbers
from workshops import MACHINE, UNLIKE_FEET, furnish, kept

KEY = re.compile(r"key=([\w.]+)")
"""A number that a link asks about."""


@pytest.fixture
def furnished(tmp_path: Path) -> Iterator[tuple[Workshop, Choice]]:
    with sites.filled(tmp_path, furnish) as given:
        yield given


@pytest.fixture
def shop(furnished: tuple[Workshop, Choice]) -> Workshop:
    return furnished[0]


@pytest.fixture
def choice(furnished: tuple[Workshop, Choice]) -> Choice:
    return furnished[1]


@pytest.fixture
def client(shop: Workshop) -> TestClient:
    return sites.Client(make_site(shop, (sites.HOST,)))


def page(client: TestClient, address: str, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status, answer.text[:2000]
    return answer.text


def test_nothing_chosen_asks_for_what_is_needed(client: TestClient, choice: Choice) -> None:
    text = page(client, "/plan")
    assert "Still to choose" in text
    for wanted in ("a person", "a yarn", "a machine"):
        assert f"<li>{wanted}</li>" in text
    assert client.get("/data/plan").json()["missing"] == ["a person", "a yarn", "a machine"]


def test_the_numbers_of_a_plan_are_on_the_page(client: TestClient, choice: Choice) -> None:
    query = query_of(choice)
    text = page(client, f"/plan?{query}")
    plan = client.get(f"/data/plan?{query}").json()["plan"]
    for number in ("leg_rounds", "foot_rounds"):
        assert f"{plan['sizing'][number]} rounds" in text
    assert "The steps work" in text
    assert text.count("<svg") == 3  # the wordmark, the sock, the cylinder
    assert "<script>" not in text
    assert "style=" not in text


def test_the_data_is_the_command_lines_plan(
    client: TestClient, choice: Choice, tmp_path: Path
) -> None:
    from typer.testing import CliRunner

    answer = client.get(f"/data/plan?{query_of(choice)}").json()
    order = tmp_path / "order.toml"
    order.write_text(answer["order"], encoding="utf-8")
    printed = CliRunner().invoke(command_line, ["plan", str(order), "--json"])
    assert printed.exit_code == 0
    assert answer["plan"] == json.loads(printed.stdout)
    schema = client.get("/data/plan/schema.json").json()
    Draft202012Validator(schema).validate(answer["plan"])


def test_a_what_if_changes_the_plan_and_nothing_that_is_kept(
    client: TestClient, shop: Workshop, choice: Choice
) -> None:
    before = shop.export_all()
    query = query_of(choice)
    plain = client.get(f"/data/plan?{query}").json()["plan"]
    longer = client.get(f"/data/plan?{query}&try.leg=30&was.leg=22").json()["plan"]
    assert longer["sizing"]["leg_rounds"] > plain["sizing"]["leg_rounds"]
    same = client.get(f"/data/plan?{query}&try.leg=22&was.leg=22").json()["plan"]
    assert same == plain
    assert shop.export_all() == before


def test_two_cylinders_stand_side_by_side(client: TestClient, choice: Choice) -> None:
    query = query_of(choice, beside=54)
    text = page(client, f"/plan?{query}")
    tables = ("side by side", "the sock", "yarn", "the fabric")
    assert text.count('<th scope="col">60 needles</th>') == len(tables)
    assert text.count('<th scope="col">54 needles</th>') == len(tables)
    answer = client.get(f"/data/plan?{query}").json()
    assert answer["beside"]["sizing"]["needles"] == 54
    for each in (answer["plan"], answer["beside"]):
        assert f"<td>{each['sizing']['leg_rounds']} rounds</td>" in text
        assert f"{each['yarn']['main']['pair_mass']['value']:.0f} ± " in text
        for reason in each["fit"]["reasons"]:
            assert reason in text.replace("<td>Snug", "<td>snug")
    assert text.count("nothing found") == 2


def test_a_cylinder_is_not_set_beside_itself(client: TestClient, choice: Choice) -> None:
    """The second cylinder that becomes the chosen one leaves one column."""
    query = query_of(choice, beside=60)
    text = page(client, f"/plan?{query}")
    assert '<th scope="col">60 needles</th>' not in text
    assert client.get(f"/data/plan?{query}").json()["beside"] is None
    assert "beside=60" in text  # kept for when another is chosen


def test_the_size_has_a_verdict_of_its_own(client: TestClient, choice: Choice) -> None:
    query = query_of(choice)
    plan = client.get(f"/data/plan?{query}").json()["plan"]
    assert f"<strong>Fit</strong>: {plan['size']['verdict']}" in page(client, f"/plan?{query}")
    bare = query_of(replace(choice, swatches=()))
    text = page(client, f"/plan?{bare}")
    plan = client.get(f"/data/plan?{bare}").json()["plan"]
    assert plan["size"]["reasons"][0] in ("no swatch", "may not go over the heel")
    assert "no swatch" in plan["size"]["verdict"]
    first = text.split("Look at this first")[1].split("</div>")[0]
    assert "No swatch gives this gauge" in first
    assert "/plan/sheets/swatch.pdf?" in first
    assert "Knit a swatch first" in first


def test_a_sock_that_may_not_go_on_says_so_first_in_both_languages(
    client: TestClient, choice: Choice, shop: Workshop
) -> None:
    foot = {"length": "24.5 cm", "ball_girth": "22 cm", "heel_girth": "35 cm"}
    person = kept(
        shop.keep(ItemKind.PERSON, {"wearer": {"name": "cook", "sex": "woman"}, "foot": foot})
    )
    query = query_of(replace(choice, person=person.id, needles=54, swatches=()))
    plan = client.get(f"/data/plan?{query}").json()["plan"]
    goes_on = plan["size"]["goes_on"]
    assert goes_on["odds"]["easily"] + goes_on["odds"]["with a tug"] < 0.5
    assert plan["size"]["verdict"].startswith(goes_on["verdict"])
    doubt = next(one for one in plan["look_again"] if goes_on["verdict"] in one)
    assert doubt in page(client, f"/plan?{query}").split("Look at this first")[1]
    client.cookies.set("sockwright_preferences", "language=de&units=cm&theme=auto&paper=a4")
    first = page(client, f"/plan?{query}").split("Zuerst ansehen")[1].split("</div>")[0]
    assert doubt not in first
    assert "anziehen" in first


def test_what_would_do_instead_of_a_top_is_planned_by_its_button(
    client: TestClient, choice: Choice, shop: Workshop
) -> None:
    foot = {"length": "24.5 cm", "ball_girth": "22 cm", "heel_girth": "32 cm"}
    leg = {"ankle_girth": "18 cm", "calf_girth": "21 cm"}
    person = kept(shop.keep(ItemKind.PERSON, {"wearer": {"name": "cook"}, "foot": {**foot, **leg}}))
    query = query_of(replace(choice, person=person.id))
    top = client.get(f"/data/plan?{query}").json()["plan"]["top"]
    offers = top["offers"]
    text = page(client, f"/plan?{query}").split("Instead of this top")[1].split("</div>")[0]
    buttons = re.findall(r'class="button" href="/plan\?([^"]*)"', text)
    assert len(buttons) == len([one for one in offers if one["what"]]) > 0
    for one, address in zip(filter(lambda one: one["what"], offers), buttons, strict=True):
        plan = client.get(f"/data/plan?{address.replace('&amp;', '&')}").json()["plan"]
        made = {"needles": plan["sizing"]["needles"], "cuff.kind": plan["sizing"]["cuff"]}
        assert all(made.get(key, value) == value for key, value in one["what"].items())
        assert plan["top"]["stays_up"] > top["stays_up"]


def test_the_slider_tells_what_its_wish_comes_to(client: TestClient, choice: Choice) -> None:
    query = query_of(replace(choice, needles=None))
    plan = client.get(f"/data/plan?{query}").json()["plan"]
    reached = f"reached: {100 * plan['fit']['girth_ease']['value']:.0f} ±"
    text = page(client, f"/plan?{query}")
    assert text.count(reached) == 1
    assert "by choice of cylinder" in text
    assert "set by the cylinder" in page(client, f"/plan?{query_of(choice)}")
    piece = client.get(f"/plan/result?{query}", headers={"hx-request": "true"}).text
    assert piece.count(reached) == 1
    assert 'id="reached" class="hint" hx-swap-oob="true"' in piece


def test_a_sock_that_cannot_be_made_is_refused_with_what_can(
    client: TestClient, choice: Choice
) -> None:
    query = f"{query_of(choice)}&cuff.kind=true+rib"
    text = page(client, f"/plan?{query}")
    assert "needs a ribber" in text
    assert "A mock-rib hem" in text
    answer = client.get(f"/data/plan?{query}").json()
    assert answer["plan"] is None
    assert answer["offers"]


def test_a_cylinder_that_is_not_there_is_a_problem(client: TestClient, choice: Choice) -> None:
    query = query_of(choice).replace("needles=60", "needles=72")
    assert "Cannot be planned yet" in page(client, f"/plan?{query}")
    (problem,) = client.get(f"/data/plan?{query}").json()["problems"]
    assert problem["path"] == "sock.needles"


def test_problems_are_named_with_the_page_that_mends_them(
    client: TestClient, shop: Workshop, choice: Choice
) -> None:
    nobody = kept(shop.keep(ItemKind.PERSON, {"wearer": {"name": "night dispatcher"}}))
    query = query_of(choice).replace(choice.person, nobody.id)
    text = page(client, f"/plan?{query}")
    assert "Cannot be planned yet" in text
    assert f'href="/people/{nobody.id}"' in text
    problems = client.get(f"/data/plan?{query}").json()["problems"]
    assert [one["path"] for one in problems] == ["foot.length"]


def test_the_sheets_of_a_plan_are_printed_before_it_is_kept(
    client: TestClient, choice: Choice
) -> None:
    text = page(client, f"/plan?{query_of(choice)}")
    addresses = re.findall(r'href="(/plan/sheets/[^"]+)"', text)
    assert len(addresses) > 7
    crank = next(one for one in addresses if "crank.pdf" in one).replace("&amp;", "&")
    answer = client.get(crank)
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert page(client, crank.replace("crank.pdf", "crank.exe"), 404)
    assert page(client, "/plan/sheets/crank.pdf", 404)


def test_a_pair_is_kept_as_it_was_planned(
    client: TestClient, shop: Workshop, choice: Choice
) -> None:
    text = page(client, f"/plan?{query_of(choice)}&ease.length=6+%25")
    fields = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', text))
    answer = client.post("/plan", data=fields, follow_redirects=False)
    assert answer.status_code == 303
    (sock,) = shop.things(ItemKind.SOCK)
    assert answer.headers["location"] == f"/socks/{sock.id}"
    assert sock.document["sock"] == {"ease": {"length": "6 %"}}
    assert sock.fields["swatches"] == list(choice.swatches)


def test_every_number_of_the_page_opens_where_it_comes_from(
    client: TestClient, choice: Choice
) -> None:
    query = query_of(choice)
    text = page(client, f"/plan?{query}")
    keys = {key for way in re.findall(r"/plan/why\?([^\"]+)", text) for key in KEY.findall(way)}
    lost = [words for words, links in numbers(text) if not links]
    assert lost == []
    known = {one["key"] for one in client.get(f"/data/plan/why?{query}").json()}
    assert keys <= known
    for key in sorted(keys):
        assert "How it is worked out" in page(client, f"/plan/why?key={key}&{query}")
    foot = page(client, f"/plan/why?key=sizing.foot_rounds&{query}")
    assert "What to measure next" in foot
    assert page(client, f"/plan/why?key=nothing&{query}", 404)
    assert page(client, "/plan/why?key=minutes", 404)


def test_fitting_swatches_are_found_and_those_of_another_yarn_left_out(
    client: TestClient, shop: Workshop, choice: Choice
) -> None:
    found = client.get(f"/data/plan?{query_of(choice, fitting=True)}").json()
    assert f"swatch={choice.swatches[0]}" in found["query"]
    other = kept(
        shop.keep(
            ItemKind.YARN, {"name": "spruce", "fineness": "100 g / 400 m", "on_hand": "100 g"}
        )
    )
    query = query_of(choice).replace(f"yarn.main={choice.yarns['main']}", f"yarn.main={other.id}")
    answer = client.get(f"/data/plan?{query}").json()
    assert answer["problems"] == []
    assert "swatch=" not in answer["query"]


def test_feet_that_differ_give_two_socks(
    client: TestClient, shop: Workshop, choice: Choice
) -> None:
    person = kept(shop.keep(ItemKind.PERSON, UNLIKE_FEET))
    query = query_of(choice).replace(choice.person, person.id)
    text = page(client, f"/plan?{query}")
    assert '<th scope="col">left foot</th>' in text
    assert '<th scope="col">right foot</th>' in text
    assert client.get(f"/data/plan?{query}").json()["plan"]["second"] is not None


def test_inches_are_told_in_inches(client: TestClient, choice: Choice) -> None:
    client.cookies.set(PREFERENCES_COOKIE, "units=in")
    text = page(client, f"/plan?{query_of(choice)}")
    assert re.search(r"\d\.\d\d ± 0\.\d+ in", text)


def test_a_machine_with_one_cylinder_as_a_plain_number(client: TestClient, shop: Workshop) -> None:
    machine = kept(shop.keep(ItemKind.MACHINE, {**MACHINE, "cylinders": 72}))
    assert "72 needles" in page(client, f"/plan?machine={machine.id}")


@pytest.mark.parametrize("junk", ["x" * 5000, "../..", "%00", "<script>alert(1)</script>", "💥"])
def test_whatever_stands_in_the_address_is_answered(
    client: TestClient, choice: Choice, junk: str
) -> None:
    for key in ("person", "machine", "yarn.main", "design", "swatch", "needles", "beside", "title"):
        answer = client.get("/plan", params={"yarn.main": choice.yarns["main"], key: junk})
        assert answer.status_code == 200
        assert "<script>alert" not in answer.text
        answer = client.get("/data/plan", params={key: junk})
        assert answer.status_code in (200, 422)
