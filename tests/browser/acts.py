"""What people do on the planning page, in the words that stand on it."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

STATION_PAIR = {
    "Who it is for": "winch operator (example)",
    "Yarn": "grey boot-sock wool (example)",
    "Machine": "the station's bench machine (example)",
    "Design": "plain boot sock (example)",
}
"""What is chosen for a pair that the example station can make, by the labels of the fields."""


def choose(page: Page, pair: dict[str, str]) -> None:
    """Choose the parts of a pair one after the other; after each the page shows the new choice."""
    for label, option in pair.items():
        field = page.get_by_label(label, exact=True)
        field.select_option(label=option)
        value = field.input_value()
        page.wait_for_function(SETTLED)
        expect(page.get_by_label(label, exact=True)).to_have_value(value)


SETTLED = (
    "() => !document.querySelector("
    "'.htmx-request, .htmx-swapping, .htmx-settling, #drawings[aria-busy]')"
)
"""Nothing is awaited any more, drawings neither."""


def number(page: Page, row: str) -> str:
    """What the table of the sock says in a row."""
    line = page.locator("#result table.numbers tr").filter(
        has=page.get_by_role("rowheader", name=re.compile(f"^{re.escape(row)}$"))
    )
    return line.first.get_by_role("cell").first.inner_text()


def drag(page: Page, slider: str, value: str) -> None:
    """Move a what-if slider, as a hand does; the result follows."""
    with page.expect_response(re.compile("/plan/result")):
        page.get_by_label(slider, exact=True).fill(value)
    page.wait_for_function(SETTLED)
