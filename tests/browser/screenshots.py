"""Pictures of every page, light, dark and on a telephone: `make screenshots`."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import Browser, sync_playwright

from browser.pages import PAGES, FullSite, PageOf, full_site
from browser.stage import VIEWS, go_to, launch, watched
from browsers import NONE_FOUND, find_browser


def take_all(folder: Path, only: tuple[str, ...] = ()) -> Iterator[tuple[Path, str]]:
    """Write a picture of each page in each view into `folder`; `only` names pages.

    Gives each picture's path, and what went wrong on the page ("" if nothing did).
    """
    browser_path = find_browser()
    if browser_path is None:
        raise SystemExit(NONE_FOUND)
    folder.mkdir(parents=True, exist_ok=True)
    with (
        TemporaryDirectory() as home,
        full_site(Path(home)) as site,
        sync_playwright() as playwright,
    ):
        browser = launch(playwright, browser_path)
        for view, settings in VIEWS.items():
            for one in PAGES:
                if not only or one.name in only:
                    picture = folder / f"{one.name}-{view}.png"
                    yield picture, take(browser, site, one, settings, picture)
        browser.close()


def take(
    browser: Browser, site: FullSite, one: PageOf, view: Mapping[str, Any], picture: Path
) -> str:
    """Write the picture of a page; gives what went wrong on it."""
    try:
        with watched(browser, site.origin(one), view) as (context, watch):
            watch.allow(one.status)
            page = context.new_page()
            go_to(page, site.path(one), one)
            page.screenshot(path=picture, full_page=True)
    except AssertionError as wrong:
        return str(wrong)
    return ""


def main() -> int:
    """Take them all, and tell what went wrong."""
    where, *names = sys.argv[1:] or ["out/screenshots"]
    taken = list(take_all(Path(where), tuple(names)))
    faults = [f"{picture.name}: {wrong}" for picture, wrong in taken if wrong]
    sys.stdout.write("\n".join([*faults, f"{len(taken)} pictures in {where}", ""]))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
