"""The ways to the bench, what a pair's page tells of it, and how a device is told to trust."""

from __future__ import annotations

import html
import re
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from starlette.testclient import TestClient

from sockwright.plan import make as planner
from sockwright.store.items import ItemKind, Thing
from sockwright.web.access.kept_certificates import NO_REACH, Reach, Secured
from sockwright.web.access.sessions import LoginSessions
from sockwright.web.app import make_site
from sockwright.web.bench.view import qr_svg
from sockwright.workshop.planning import Plans
from sockwright.workshop.workshop import Workshop
from web import sites
from workshop.test_bench import entry, rounds_of_leg

OWN = "http://127.0.0.1"
FAR = "http://10.1.2.3:8765"
PHRASE = "the winch turns clockwise"


@pytest.fixture
def shop(planned: tuple[Workshop, Thing]) -> Workshop:
    return planned[0]


@pytest.fixture
def pair(planned: tuple[Workshop, Thing]) -> Thing:
    return planned[1]


def from_here(
    shop: Workshop, reach: Reach = NO_REACH, logins: LoginSessions | None = None
) -> TestClient:
    """A browser on the workshop's own computer."""
    return sites.Client(
        make_site(shop, ("127.0.0.1",), logins, reach), base_url=OWN, follow_redirects=False
    )


def page(client: TestClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, answer.text[:1000]
    return html.unescape(answer.text)


def words(text: str) -> str:
    """What stands on a page, without its marks."""
    return " ".join(re.sub(r"<[^>]*>", " ", text).split())


def read_codes(text: str) -> list[str]:
    """What a camera reads in the QR codes of a page."""
    return [_read(one) for one in re.findall(r'<svg class="qr".*?</svg>', text, re.DOTALL)]


def _read(svg: str) -> str:
    side = int(re.search(r'viewBox="0 0 (\d+) \1"', svg)[1])  # type: ignore[index]
    picture = np.full((side, side), 255, np.uint8)
    dark = re.search(r'class="qr-ink" d="([^"]*)"', svg)
    assert dark is not None
    for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", dark[1]):
        picture[int(y), int(x)] = 0
    # OpenCV's reader misses one clean code in twenty; this one read 16,000 of 16,000.
    big = np.kron(picture, np.ones((8, 8), np.uint8))
    (code,) = zxingcpp.read_barcodes(big, formats=zxingcpp.BarcodeFormat.QRCode)
    return code.text


@pytest.mark.parametrize(
    "text", ["http://10.1.2.3:8765/", "https://[fd00::2]:8765/socks/" + "a" * 60]
)
def test_a_camera_reads_the_code(text: str) -> None:
    assert read_codes(qr_svg(text, "code")) == [text]


def test_the_code_is_named_for_who_does_not_see_it() -> None:
    svg = qr_svg("x", 'the "way" <there>')
    assert 'role="img" aria-label="the &quot;way&quot; &lt;there&gt;"' in svg


def test_the_codes_lead_to_the_socks_on_the_network(shop: Workshop, pair: Thing) -> None:
    client = from_here(shop, Reach(FAR), LoginSessions(PHRASE))
    _enter(client)
    wanted = [f"{FAR}/socks/{pair.id}/bench/{which}" for which in ("first", "second")]
    for address in (f"/socks/{pair.id}", f"/socks/{pair.id}/bench"):
        text = page(client, address)
        assert read_codes(text) == wanted
        for one in wanted:
            assert one in words(text)
        assert PHRASE not in text
        assert "over https" in words(text)


def _enter(client: TestClient) -> None:
    assert client.post("/enter", data={"phrase": PHRASE}).status_code == 303


def test_steps_speak_in_the_reader_s_units(shop: Workshop, pair: Thing) -> None:
    client = from_here(shop)
    assert " 15 cm" in page(client, f"/socks/{pair.id}/bench/first")
    client.post("/settings", data={"units": "in"})
    text = page(client, f"/socks/{pair.id}/bench/first")
    assert " 6 in" in text
    assert " 15 cm" not in text


def test_the_second_sock_is_told_of_and_printed_as_it_follows(shop: Workshop, pair: Thing) -> None:
    leg = rounds_of_leg(shop, pair)
    shop.add_to_bench_log(pair.id, "first", [entry(1, by=20), entry(2, "extra", by=2, at=leg)])
    client = from_here(shop)
    text = page(client, f"/socks/{pair.id}")
    assert "Leg: 2 rounds more" in words(text)
    sheet = f"/socks/{pair.id}/bench/second/sheets/crank.pdf"
    assert sheet in text
    followed = client.get(sheet).content
    assert followed.startswith(b"%PDF")
    assert followed != client.get(f"/socks/{pair.id}/sheets/crank.pdf").content
    bench = page(client, f"/socks/{pair.id}/bench/second")
    assert "2 rounds more than planned, as the first sock." in bench


def test_without_a_network_it_says_how_to_open_one(shop: Workshop, pair: Thing) -> None:
    client = from_here(shop)
    for address in (f"/socks/{pair.id}", f"/socks/{pair.id}/bench"):
        text = page(client, address)
        assert read_codes(text) == []
        assert "sockwright serve --network" in words(text)


def test_who_came_by_a_name_gives_that_name_on(shop: Workshop, pair: Thing) -> None:
    client = TestClient(make_site(shop, ("hut.local",)), base_url="https://hut.local:444")
    codes = read_codes(page(client, f"/socks/{pair.id}/bench"))
    assert codes[0] == f"https://hut.local:444/socks/{pair.id}/bench/first"


# What a pair's page tells


def test_before_it_is_begun_both_socks_wait(shop: Workshop, pair: Thing) -> None:
    text = words(page(from_here(shop), f"/socks/{pair.id}"))
    assert text.count("Not begun") == 2
    assert text.count("Count rounds") == 2
    assert "Planned and knitted" not in text


def test_it_tells_how_far_how_long_and_what_was_knitted(shop: Workshop, pair: Thing) -> None:
    leg = rounds_of_leg(shop, pair)
    times = ["2025-11-03T19:00:00Z", "2025-11-03T19:04:00Z", "2025-11-03T21:00:00Z"]
    shop.add_to_bench_log(
        pair.id,
        "first",
        [
            {**entry(1, by=20), "time": times[0]},
            {**entry(2, "extra", by=2, at=leg), "time": times[1]},
            {**entry(3, "deviation", text="Needle 17 <replaced>"), "time": times[2]},
        ],
    )
    text = words(page(from_here(shop), f"/socks/{pair.id}"))
    begun = datetime(2025, 11, 3, 19, tzinfo=UTC).astimezone().strftime("%Y-%m-%d %H:%M")
    assert f"begun {begun}" in text
    assert "4 min at the crank" in text
    assert "Leg: 2 rounds more" in text
    first, _ = from_here(shop).get(f"/data/socks/{pair.id}/bench").json()["socks"]
    assert first["proven"] is True
    assert "Dry run passed, as counted so far" in text
    assert "No other notes yet" in text
    assert [note["deviation"] for note in first["notes"]] == [True]
    assert "Continue" in text
    lengths = re.search(r"Height from the floor ([\d.]+) ± [\d.]+ cm ([\d.]+) ± [\d.]+ cm", text)
    assert lengths is not None
    assert float(lengths[2]) - float(lengths[1]) == pytest.approx(0.5, abs=0.15)


def test_notes_stand_where_they_were_made_and_as_they_were_written(
    shop: Workshop, pair: Thing
) -> None:
    shop.add_to_bench_log(
        pair.id, "first", [entry(1, "note", text="red <b>waste</b>"), entry(2, by=30)]
    )
    text = page(from_here(shop), f"/socks/{pair.id}")
    assert "before the first step" in text.lower()
    assert '<p class="lines">red <b>waste</b></p>' in text
    assert "red &lt;b&gt;waste&lt;/b&gt;" in from_here(shop).get(f"/socks/{pair.id}").text


def test_what_the_dry_run_finds_is_told(shop: Workshop, pair: Thing) -> None:
    """So many rounds more take more yarn than there is."""
    leg = rounds_of_leg(shop, pair)
    log = [
        entry(1, by=20),
        entry(2, "extra", by=500, at=leg),
        entry(3, "extra", by=-5000, at=leg + 1),
    ]
    shop.add_to_bench_log(pair.id, "first", log)
    text = words(page(from_here(shop), f"/socks/{pair.id}"))
    data = from_here(shop).get(f"/data/socks/{pair.id}/bench").json()["socks"][0]
    assert data["proven"] is True
    assert "yarn-gone" in data["findings"]
    assert "the yarn on hand is used up here" in text
    chosen = page(from_here(shop), f"/socks/{pair.id}/bench")
    assert f"/socks/{pair.id}/bench/first" in chosen
    assert f"/socks/{pair.id}/bench/second" in chosen
    assert f"Step {leg + 1} cannot have 5000 more or fewer" in text


def test_the_second_sock_is_told_against_the_first(shop: Workshop, pair: Thing) -> None:
    leg = rounds_of_leg(shop, pair)
    shop.add_to_bench_log(pair.id, "first", [entry(1, "extra", by=2, at=leg)])
    shop.add_to_bench_log(pair.id, "second", [entry(2)])
    client = from_here(shop)
    assert "Compared with the first sock" not in page(client, f"/socks/{pair.id}")
    assert client.get(f"/data/socks/{pair.id}/bench").json()["apart"] == {}
    shop.add_to_bench_log(pair.id, "second", [entry(3, "extra", by=-1, at=leg)])
    text = words(page(client, f"/socks/{pair.id}")).replace(" .", ".")
    assert "Leg: 1 round fewer" in text
    assert client.get(f"/data/socks/{pair.id}/bench").json()["apart"] == {"leg": -1}


def test_the_data_tell_the_same_in_numbers(shop: Workshop, pair: Thing) -> None:
    leg = rounds_of_leg(shop, pair)
    shop.add_to_bench_log(pair.id, "first", [entry(1, by=7), entry(2, "extra", by=2, at=leg)])
    first, second = from_here(shop).get(f"/data/socks/{pair.id}/bench").json()["socks"]
    assert (first["done"], first["more"], first["proven"]) == (7, {"leg": 2}, True)
    assert first["begun"].startswith("2025-11-03T19:20")
    assert second["begun"] is None
    assert first["knitted"]["yarn_g"]["main"]["value"] > first["planned"]["yarn_g"]["main"]["value"]


def test_a_pair_without_a_proven_plan_has_no_bench(shop: Workshop, pair: Thing) -> None:
    gone = shop.delete(ItemKind.SOCK, pair.id, pair.version)
    assert 'id="machine"' not in page(from_here(shop), f"/socks/{gone.id}")


def test_the_first_page_leads_to_the_bench(shop: Workshop, pair: Thing) -> None:
    shop.add_to_bench_log(pair.id, "first", [entry(1)])
    assert f'href="/socks/{pair.id}/bench"' in page(from_here(shop), "/")


# Trust


def secured() -> Secured:
    authority = b"-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n"
    ends = datetime(2031, 11, 3, tzinfo=UTC)
    return Secured(
        Path("server.pem"), authority, ":".join(f"{n:02X}" for n in range(32)), ends, False
    )


def test_trust_can_be_read_before_one_has_entered(shop: Workshop) -> None:
    client = from_here(shop, Reach(FAR, secured()), LoginSessions(PHRASE))
    assert client.get("/").status_code == 303
    text = words(page(client, "/trust"))
    assert "00:01:02:03 04:05:06:07" in text
    assert text.endswith("View as data")
    for device in ("Android", "iPad and iPhone", "Windows", "macOS", "Linux"):
        assert device in text
    certificate = client.get("/trust/authority.crt")
    assert certificate.content == secured().authority
    assert "attachment" in certificate.headers["content-disposition"]
    assert client.get("/data/trust").json()["fingerprint"] == secured().fingerprint


def test_without_a_certificate_it_says_how_to_get_one(shop: Workshop) -> None:
    client = from_here(shop)
    assert "sockwright serve --network --tls" in words(page(client, "/trust"))
    assert client.get("/trust/authority.crt").status_code == 404
    assert client.get("/data/trust").json() == {
        "encrypted": False,
        "fingerprint": None,
        "authority": None,
    }


def test_behind_a_proxy_that_encrypts_it_does_not_ask_for_more(shop: Workshop) -> None:
    client = TestClient(make_site(shop, ("hut.local",)), base_url="https://hut.local")
    assert "--tls" not in words(page(client, "/trust"))


def test_a_page_makes_the_plan_once(
    shop: Workshop, pair: Thing, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number, which in enumerate(("first", "second"), 1):
        shop.add_to_bench_log(pair.id, which, [entry(number, by=3)])
    made, make_plan = [], planner.make_plan
    monkeypatch.setattr(planner, "make_plan", lambda order: (made.append(1), make_plan(order))[1])
    shop.plans = Plans()
    client = from_here(shop)
    for address in (
        f"/socks/{pair.id}",
        f"/socks/{pair.id}/bench",
        f"/socks/{pair.id}/bench/second",
        f"/data/socks/{pair.id}",
        f"/data/socks/{pair.id}/bench",
        f"/data/socks/{pair.id}/bench/second",
    ):
        assert client.get(address).status_code == 200
        assert len(made) == 1, address
