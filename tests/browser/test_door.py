"""A workshop with a pass-phrase, visited from another device."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Error, expect

from browser.benches import kept_offline
from browser.conftest import Visit
from browser.pages import PASS_PHRASE, FullSite
from browser.stage import PHONE


def test_nobody_sees_anything_before_the_pass_phrase(visit: Visit, full_site: FullSite) -> None:
    visitor = visit(PHONE, full_site.behind_door)
    page = visitor.page
    page.goto("/people")
    expect(page).to_have_url(re.compile("/enter"))
    assert "winch operator" not in page.content()

    visitor.watch.allow(403)
    field = page.get_by_label("Passphrase")
    field.fill("seven wet pairs of socks")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_be_visible()

    field.fill(PASS_PHRASE)
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/people$"))
    page.goto("/")
    expect(page.get_by_role("link", name="Plan a pair").first).to_be_visible()


def test_who_has_left_leaves_nothing_of_the_workshop_but_unsent_counts(
    visit: Visit, full_site: FullSite
) -> None:
    """The pages beside the machine open without a network: not for who takes the tablet next."""
    visitor = visit(PHONE, full_site.behind_door, worker=True)
    page, bench = visitor.page, f"/socks/{full_site.ids['begun']}/bench/first"
    page.goto(bench)
    page.get_by_label("Passphrase").fill(PASS_PHRASE)
    page.keyboard.press("Enter")
    kept_offline(page)
    page.evaluate(KEEP)
    visitor.context.set_offline(True)
    page.reload()
    expect(page.locator("html")).to_have_class("ready")
    visitor.context.set_offline(False)

    page.goto("/settings")
    page.get_by_role("button", name="Sign out").click()
    expect(page.locator("html")).to_have_attribute("data-left", "done")
    kept = page.evaluate(KEPT)
    assert "log:x:first:unsent" in kept
    assert "log:x:first:sent" not in kept
    visitor.context.set_offline(True)
    with pytest.raises(Error, match="ERR_"):
        page.goto(bench)


def test_a_link_from_elsewhere_takes_nothing_from_a_device(
    visit: Visit, full_site: FullSite
) -> None:
    visitor = visit(PHONE, full_site.behind_door)
    headers = {"sec-fetch-site": "cross-site"}
    answer = visitor.context.request.get("/enter?left=yes", headers=headers)
    assert "left.js" not in answer.text()
    assert "left.js" in visitor.context.request.get("/enter?left=yes").text()


KEEP = """() => {
  for (const sent of [0, 1]) {
    const id = sent ? "sent" : "unsent";
    localStorage.setItem(`sockwright:bench:log:x:first:${id}`, JSON.stringify([sent, { id }]));
  }
}"""
KEPT = """() => Object.keys(localStorage).map((key) => key.replace("sockwright:bench:", ""))"""
