"""Two cylinders side by side: drawings next to each other where they fit, numbers in columns."""

from __future__ import annotations

from browser.conftest import Visit
from browser.pages import FullSite
from browser.stage import DESKTOP, PHONE

PLACES = """(what) => [...document.querySelectorAll(what)].map((one) => {
  const box = one.getBoundingClientRect();
  return { left: Math.round(box.left), right: Math.round(box.right), top: Math.round(box.top) };
})"""

NARROWEST_DRAWING_PX = 330
"""Where the letters of a drawing are still as large as those of a sheet."""


def test_on_a_desk_they_stand_beside_each_other(visit: Visit, full_site: FullSite) -> None:
    page = visit(DESKTOP, full_site.open).page
    page.goto(f"/plan?{full_site.ids['choice']}&beside=54")
    for drawing in ("figure.profile", "figure.cylinder"):
        first, second = page.evaluate(PLACES, f"#result {drawing}")
        assert first["top"] == second["top"]
        assert first["right"] <= second["left"]
        assert first["right"] - first["left"] >= NARROWEST_DRAWING_PX
    for column in (2, 3):
        heads = page.evaluate(PLACES, f"#result table.of-2 thead th:nth-child({column})")
        assert len(heads) == 4
        assert len({head["left"] for head in heads}) == 1


def test_on_a_telephone_the_drawings_are_stacked_and_both_numbers_seen(
    visit: Visit, full_site: FullSite
) -> None:
    page = visit(PHONE, full_site.open).page
    page.goto(f"/plan?{full_site.ids['choice']}&beside=54")
    first, second = page.evaluate(PLACES, "#result figure.profile")
    assert first["left"] == second["left"]
    assert first["top"] < second["top"]
    captions = page.evaluate(PLACES, "#result table.of-2 caption")
    heads = page.evaluate(PLACES, "#result table.of-2 thead")
    for caption, head in zip(captions, heads, strict=True):
        assert caption["top"] < head["top"]
    cells = page.evaluate(PLACES, "#result table.of-2 tbody td")
    assert max(cell["right"] for cell in cells) <= PHONE["viewport"]["width"]
