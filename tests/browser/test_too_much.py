"""More than may be sent at once, in a real browser: it is told, and going back loses nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import Visit
from browser.stage import DESKTOP
from sockwright.web.access.guard import MOST_FORM_BYTES

TYPED = """(much) => {
  const text = document.querySelector("textarea[name=text]");
  text.removeAttribute("maxlength");
  // Few lines: a browser takes long to lay out many.
  text.value = ("a b c d e ".repeat(99) + "a b c d e\\n").repeat(much / 1000);
  text.form.requestSubmit();
}"""
MUCH = MOST_FORM_BYTES + 200_000


def told(page: Page) -> None:
    expect(page.get_by_role("heading", name="That is too large")).to_be_visible()
    expect(page.get_by_text("At most 1 MB")).to_be_visible()


@pytest.mark.parametrize("path", ["/notes/new", "/exchange"])
def test_going_back_has_the_text_still(visit: Visit, path: str) -> None:
    visitor = visit(DESKTOP)
    page = visitor.page
    visitor.watch.allow(413)
    page.goto(path)
    page.evaluate(TYPED, MUCH)
    told(page)
    page.go_back()
    held = page.locator("textarea[name=text]").evaluate("(text) => text.value.length")
    assert held == MUCH


@pytest.mark.parametrize("megabytes", [2, 30])
def test_a_file_that_is_too_large_is_told_of(visit: Visit, tmp_path: Path, megabytes: int) -> None:
    """The answer comes before the file is sent: no browser may take that for a broken line."""
    visitor = visit(DESKTOP)
    page = visitor.page
    visitor.watch.allow(413)
    file = tmp_path / "order.toml"
    file.write_bytes(b"# words\n" * (megabytes * 125_000))
    page.goto("/exchange")
    page.locator("#order-file").set_input_files(file)
    page.locator("form[action='/exchange/order'] button").click()
    told(page)
