"""The guard: every answer has its headers, and what does not come from here does nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from anyio.from_thread import start_blocking_portal
from starlette.types import ASGIApp

from sockwright.store.items import ItemKind
from sockwright.web.access.guard import (
    MOST_FORM_BYTES,
    MOST_UPLOAD_BYTES,
    Guard,
    TooLarge,
    host_name,
)
from sockwright.web.app import make_site
from sockwright.web.received import MOST_FIELDS
from sockwright.workshop.workshop import Workshop
from web.sites import HOST, Client, client

ADD = "/people/new"
"""Takes a form; it shows whether it was done."""


@pytest.fixture
def visitor(shop: Workshop) -> Client:
    """A browser of it."""
    return client(shop)


def nothing_done(shop: Workshop) -> bool:
    """Whether the workshop is as empty as it was."""
    return not shop.things(ItemKind.PERSON, None)


# Headers on every answer


def answers(visitor: Client) -> Iterator[Any]:
    """One answer of every kind there is."""
    yield visitor.get("/")
    yield visitor.get("/data/")
    yield visitor.get("/data/openapi.json")
    yield visitor.get("/nowhere")
    yield visitor.get("/data/nowhere")
    yield visitor.get("/static/nowhere")
    yield visitor.put("/settings")
    yield visitor.post("/settings")
    yield visitor.post_form("/settings", {"units": "in"})
    yield visitor.get("/", headers={"host": "evil.example"})
    yield visitor.post(ADD, headers={"sec-fetch-site": "cross-site"})
    yield visitor.post(ADD, headers={"content-length": str(MOST_FORM_BYTES + 1)})
    yield visitor.post(ADD, data={f"a{n}": "" for n in range(3000)})


def run(app: ASGIApp, *given: Any) -> None:
    """Have an app answer, on an event loop in another thread: a browser may use this one's."""
    with start_blocking_portal() as portal:
        portal.call(app, *given)


def test_every_answer_says_that_nothing_written_into_a_page_runs(visitor: Client) -> None:
    statuses = set()
    for answer in answers(visitor):
        statuses.add(answer.status_code)
        policy = answer.headers["content-security-policy"]
        rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
        assert rules["default-src"] == "'none'"
        assert rules["script-src"] == rules["style-src"] == rules["connect-src"] == "'self'"
        assert rules["form-action"] == "'self'"
        assert rules["frame-ancestors"] == rules["base-uri"] == "'none'"
        assert "unsafe" not in policy
        assert "http" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "same-origin"
        assert answer.headers["cache-control"] == "no-store", answer.url
    assert statuses >= {200, 303, 400, 403, 404, 405, 413}


def test_a_fault_in_the_program_has_the_headers_too(
    shop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fault(*given: object) -> None:
        raise RuntimeError("a fault at the bench")

    monkeypatch.setattr(shop, "everything", fault)
    visitor = Client(make_site(shop, (HOST,)), raise_server_exceptions=False)
    for path in ("/", "/data/"):
        answer = visitor.get(path)
        assert answer.status_code == 500
        assert "content-security-policy" in answer.headers
        assert "a fault at the bench" not in answer.text


# Names


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "testserver.evil.example",
        "evil.example:80",
        "127.0.0.1.evil.example",
        "testserver@evil.example",
        "evil.example#testserver",
        "",
        " ",
        "192.168.1.20",
        "testserver.",
        "[::1",
    ],
)
def test_a_name_that_was_bound_to_this_computer_from_outside_gets_nothing(
    visitor: Client, shop: Workshop, host: str
) -> None:
    for path in ("/", "/data/", "/settings"):
        answer = visitor.get(path, headers={"host": host})
        assert answer.status_code == 400
        assert "sockwright_" not in answer.headers.get("set-cookie", "")
        assert len(answer.text) < 100
    own = {"host": host, "origin": f"http://{host}", "sec-fetch-site": "same-origin"}
    assert visitor.post_form(ADD, {"wearer.name": "cook"}, headers=own).status_code == 400
    assert nothing_done(shop)


@pytest.mark.parametrize("host", ["testserver", "TestServer:8765", "testserver:1"])
def test_its_own_name_with_any_port_is_heard(visitor: Client, host: str) -> None:
    assert visitor.get("/settings", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("localhost:8765", "localhost"),
        ("[::1]:8765", "[::1]"),
        ("[::1]", "[::1]"),
        ("127.0.0.1", "127.0.0.1"),
        ("a:b:80", "a:b"),
    ],
)
def test_a_host_is_read_without_its_port(host: str, name: str) -> None:
    assert host_name(host) == name


def test_loopback_names_are_the_usual_ones(shop: Workshop) -> None:
    site = make_site(shop)
    for host in ("localhost", "127.0.0.1", "[::1]"):
        assert Client(site, base_url=f"http://{host}:8765").get("/settings").status_code == 200
    assert Client(site, base_url="http://testserver").get("/settings").status_code == 400


# Sizes


def test_an_announced_body_that_is_too_large_is_not_read(visitor: Client, shop: Workshop) -> None:
    answer = visitor.post(ADD, headers={"content-length": str(MOST_FORM_BYTES + 1)})
    assert answer.status_code == 413
    for length in ("-1", "1e9", "0x10", "²", ""):
        refused = visitor.post(ADD, headers={"content-length": length.encode()})
        assert refused.status_code == 413
    assert nothing_done(shop)


def test_a_body_that_grows_too_large_on_its_way_is_stopped(visitor: Client, shop: Workshop) -> None:
    sent = 0

    def body() -> Iterator[bytes]:
        nonlocal sent
        yield b"wearer.name="
        for _ in range(50):
            sent += 100_000
            yield b"a" * 100_000

    headers = {"content-type": "application/x-www-form-urlencoded"}
    answer = visitor.post(ADD, content=body(), headers=headers)
    assert answer.status_code == 413
    assert nothing_done(shop)


def test_the_guard_itself_reads_no_more_than_is_allowed() -> None:
    read = 0

    async def app(scope: Any, receive: Any, send: Any) -> None:
        while (await receive())["more_body"]:
            pass

    async def receive() -> dict[str, Any]:
        nonlocal read
        read += 100_000
        return {"type": "http.request", "body": b"a" * 100_000, "more_body": True}

    async def send(message: Any) -> None:
        raise AssertionError(message)

    for path, most in (("/notes", MOST_FORM_BYTES), ("/exchange/workshop", MOST_UPLOAD_BYTES)):
        read = 0
        scope = {
            "type": "http",
            "method": "POST",
            "path": path,
            "headers": [(b"host", HOST.encode()), (b"sec-fetch-site", b"same-origin")],
        }
        with pytest.raises(TooLarge):
            run(Guard(app, (HOST,)), scope, receive, send)
        assert most < read <= most + 200_000


def test_too_many_fields_are_refused(visitor: Client, shop: Workshop) -> None:
    for many in (MOST_FIELDS + 1, 20_000):
        fields = {"wearer.name": "cook", **{f"a{n}": "" for n in range(many)}}
        answer = visitor.post(ADD, data=fields)
        assert answer.status_code == 400, many
        in_parts = [(name, (None, value)) for name, value in fields.items()]
        assert visitor.post(ADD, files=in_parts).status_code in (400, 413)
    assert nothing_done(shop)


def test_more_than_one_file_is_refused(visitor: Client, shop: Workshop) -> None:
    parts = [("file", (f"{n}.toml", b"")) for n in range(2)]
    assert visitor.post(ADD, files=parts).status_code == 400
    assert nothing_done(shop)


# Cookies


def test_every_cookie_is_out_of_reach_of_scripts_and_other_sites(shop: Workshop) -> None:
    for scheme in ("http", "https"):
        visitor = Client(
            make_site(shop, (HOST,)), base_url=f"{scheme}://{HOST}", follow_redirects=False
        )
        answers = [visitor.get("/settings"), visitor.post_form("/settings", {"units": "in"})]
        answers.append(visitor.get("/settings"))
        cookies = [one for answer in answers for one in answer.headers.get_list("set-cookie")]
        names = {one.partition("=")[0] for one in cookies}
        prefix = "__Host-" if scheme == "https" else ""
        ours = ("sockwright_flash", "sockwright_preferences")
        assert names == {f"{prefix}{name}" for name in ours}
        for cookie in cookies:
            flags = {flag.strip().lower() for flag in cookie.split(";")[1:]}
            assert {"httponly", "samesite=strict", "path=/"} <= flags
            assert ("secure" in flags) is (scheme == "https")
            assert not any(flag.startswith("domain") for flag in flags)


@pytest.mark.parametrize("name", ["sockwright_flash", "sockwright_preferences"])
@pytest.mark.parametrize(
    "value", ["", "x", "words=<script>alert(1)</script>&undo=//evil.example", "%00", "a=" * 900]
)
def test_a_forged_cookie_breaks_nothing(visitor: Client, name: str, value: str) -> None:
    answer = visitor.get("/settings", headers={"cookie": f'{name}="{value}"'})
    assert answer.status_code == 200
    assert "<script>alert" not in answer.text
    assert "evil.example" not in answer.text


def test_what_is_not_http_passes_by() -> None:
    seen: list[str] = []

    async def app(scope: Any, receive: Any, send: Any) -> None:
        seen.append(scope["type"])

    async def nothing(*given: Any) -> Any:
        raise AssertionError(given)

    run(Guard(app, (HOST,)), {"type": "lifespan"}, nothing, nothing)
    assert seen == ["lifespan"]
