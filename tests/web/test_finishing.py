"""The form of a finished pair: how it fits, what it measures and was, and what it taught."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from sockwright.order.finished import ANSWERS, COUNTS
from sockwright.store.items import ItemKind, Thing
from sockwright.web.pairs.finishing import LABELS, PREFIX, questions
from sockwright.workshop.answers import Planned
from sockwright.workshop.measured import MEASURED, SECOND
from sockwright.workshop.workshop import Workshop
from web import sites
from web.form_reading import form_to
from workshops import furnish, kept


@pytest.fixture
def pair(shop: Workshop) -> Thing:
    return kept(shop.plan_sock(furnish(shop)))


def send(
    client: sites.Client, pair: Thing, deed: str, fields: Mapping[str, str], status: int = 303
) -> str:
    sent = {"seen": str(pair.version), **{f"{PREFIX}{name}": text for name, text in fields.items()}}
    answer = client.post_form(f"/socks/{pair.id}/{deed}", sent)
    assert answer.status_code == status, answer.text[:3000]
    return str(answer.text)


def now(shop: Workshop, pair: Thing) -> Thing:
    return shop.thing(ItemKind.SOCK, pair.id)


FORM = {
    "state": "washed",
    "foot": "24,1 cm",
    "leg": "5 1/2 in",
    "flat_width": "9.8 cm",
    "leg_flat_width": "10 cm",
    "mass": "37 g",
    "date": "2025-11-20",
    "washes": "2",
    "foot_rounds": "54",
    "heel_rows": "40",
    "cam": "13,5",
    "confirmed": "true",
    "answers.length": "long",
    "answers.putting_on": "with a tug",
    "answers.heel": "",
    "second.foot": "24 cm",
    "second.mass": "",
    "worn": "Warm.\r\nThick.",
}
KEPT = {
    "state": "washed",
    "foot": "24,1 cm",
    "leg": "5 1/2 in",
    "flat_width": "9.8 cm",
    "leg_flat_width": "10 cm",
    "mass": "37 g",
    "date": "2025-11-20",
    "washes": 2,
    "foot_rounds": 54,
    "heel_rows": 40,
    "cam": 13.5,
    "confirmed": True,
    "answers": {"length": "long", "putting_on": "with a tug"},
    "second": {"foot": "24 cm"},
    "worn": "Warm.\nThick.",
}


def test_all_that_is_asked_is_kept_and_asked_again_as_it_was(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    send(client, pair, "finish", FORM)
    made = now(shop, pair)
    assert made.fields["measured"] == KEPT
    assert client.get(f"/data/socks/{pair.id}").json()["measured"] == KEPT
    # What the form shows, sent again, changes nothing.
    page = client.get(f"/socks/{pair.id}").text
    shown = dict(form_to(page, f"/socks/{pair.id}/measure").fields)
    answer = client.post_form(f"/socks/{pair.id}/measure", shown)
    assert answer.status_code == 303
    assert now(shop, pair).fields["measured"] == KEPT
    # And taken back, it is as it was.
    undone = now(shop, pair)
    client.post_form(f"/socks/{pair.id}/back/1", {"seen": str(undone.version)})
    assert now(shop, pair).fields["measured"] is None


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ({"mass": "37 g"}, {"state"}),
        ({"state": "washed", "leg": "3 km"}, {"leg"}),
        ({"state": "washed", "second.foot": "9"}, {"second.foot"}),
        ({"washes": "often", "toe_rows": "1.5", "cam": "tight"}, {"washes", "toe_rows", "cam"}),
        ({"answers.length": "huge"}, {"answers.length"}),
        ({"worn": "Warm.", "date": "2025-13-40"}, {"date"}),
    ],
)
def test_what_is_wrong_is_said_at_its_field(
    client: sites.Client, shop: Workshop, pair: Thing, said: dict[str, str], wrong: set[str]
) -> None:
    text = send(client, pair, "finish", said, status=422)
    for name in wrong:
        id = f"finish-measured-{name.replace('.', '-')}"
        assert f'href="#{id}"' in text
        assert f'id="{id}-problem"' in text
    assert now(shop, pair) == pair


def test_a_form_with_nothing_but_state_and_day_measures_nothing(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    send(client, pair, "finish", {"state": "washed", "date": "2025-11-20"})
    assert now(shop, pair).fields["measured"] is None
    send(client, now(shop, pair), "measure", {"state": ""}, status=422)


def test_the_page_tells_what_a_pair_taught(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    def taught(**said: str) -> list[str]:
        send(client, now(shop, pair), "measure", said)
        told = client.get(f"/data/socks/{pair.id}").json()["shown"]["taught"]
        assert all(one in client.get(f"/socks/{pair.id}").text for one in told)
        return list(told)

    send(client, pair, "finish", {})
    plan = shop.plan_of(pair.id)
    assert isinstance(plan, Planned)
    foot = plan.pair.first.fabric.foot_length.value
    (longer,) = taught(state="washed", foot=f"{foot * 1.03:.1f} mm")
    assert "3\u00a0% longer" in longer
    (unwashed,) = taught(state="rested", foot=f"{foot * 1.03:.1f} mm")
    assert "%" not in unwashed
    (answers,) = taught(**{"answers.length": "long"})
    assert "winch operator" in answers


def test_every_key_has_its_words() -> None:
    """The form asks for all that is kept of a finished pair, and has words for every answer."""
    keys = {key.name for key in MEASURED.keys} - {"answers", "second"}
    seconds = {f"second.{key.name}" for key in SECOND.keys}
    assert {name.removeprefix(PREFIX) for name in LABELS} == keys | seconds
    assert keys >= {key.name for key in COUNTS}
    assert [one.key for one in questions()] == [key.name for key in ANSWERS.keys]
    assert all(len(one.choices) >= 2 for one in questions())
