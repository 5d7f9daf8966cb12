"""A workshop with a pass-phrase, visited from another device."""

from __future__ import annotations

import re

from playwright.sync_api import expect

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
    field = page.get_by_label("Pass-phrase")
    field.fill("seven wet pairs of socks")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_be_visible()

    field.fill(PASS_PHRASE)
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("/people$"))
    page.goto("/")
    expect(page.get_by_role("link", name="Plan a pair").first).to_be_visible()
