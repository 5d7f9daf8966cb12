"""Makes the two pictures of README: the planner in the browser, and page one of a crank sheet.

`make pictures` draws them again into `docs/pictures`, from the example order and the example
station. They are looked at and kept when a page or a sheet has changed.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import pypdfium2
from PIL import Image
from playwright.sync_api import sync_playwright

from browser.pages import PAGES, full_site
from browser.stage import go_to, launch, watched
from browsers import NONE_FOUND, find_browser
from sockwright import load_order, make_plan
from sockwright.sheets import Paper
from sockwright.sheets.crank import crank_sheet

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "docs" / "pictures"
VIEW = {"viewport": {"width": 1280, "height": 1180}, "color_scheme": "light"}
WIDTH_PX = 1000
COLOURS = 96
"""Colours of a picture: enough for what is drawn in few, and a third of the bytes."""


def main() -> int:
    """Write both pictures."""
    FOLDER.mkdir(exist_ok=True)
    _kept(_planner(), FOLDER / "planner.png")
    _kept(_sheet(), FOLDER / "crank-sheet.png")
    return 0


def _kept(picture: Image.Image, path: Path) -> None:
    few = picture.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(path, optimize=True)


def _planner() -> Image.Image:
    """The planning page with an example planned, as it opens on a desk."""
    found = find_browser()
    if found is None:
        raise SystemExit(NONE_FOUND)
    page_of = next(one for one in PAGES if one.name == "plan")
    with (
        TemporaryDirectory() as home,
        full_site(Path(home)) as site,
        sync_playwright() as playwright,
    ):
        browser = launch(playwright, found)
        with watched(browser, site.origin(page_of), VIEW) as (context, _):
            page = context.new_page()
            go_to(page, site.path(page_of), page_of)
            shot = Path(home) / "planner.png"
            page.screenshot(path=shot)
        browser.close()
        with Image.open(shot) as picture:
            return picture.copy()


def _sheet() -> Image.Image:
    """The first page of the crank sheet of the example order."""
    plan = make_plan(load_order(ROOT / "examples" / "winch-operator.toml")).first
    page = pypdfium2.PdfDocument(crank_sheet(plan, Paper.A4))[0]
    return page.render(scale=WIDTH_PX / page.get_width()).to_pil()


if __name__ == "__main__":
    sys.exit(main())
