"""Every page, looked at in Chromium: access by axe-core, width, targets; none is left out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from browser.conftest import Visit
from browser.pages import FILES, PAGES, SENT_ON, FullSite, PageOf
from browser.stage import (
    DARK,
    DESKTOP,
    PHONE,
    SHORT_OF_TIME_MS,
    Devices,
    Watch,
    go_to,
    watched,
)
from sockwright.web.app import PAGE_ROUTERS
from web.weights import HEAVIEST, HEAVIEST_BENCH, fetched, weight

AXE = Path(__file__).parent / "axe" / "axe.min.js"

TAGS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice")
"""The rules of axe-core that count: WCAG 2.2 up to AA, and its own advice."""

COLOURS = ("color-contrast", "link-in-text-block")
SIZES = ("target-size", "scrollable-region-focusable")
"""The rules that hang on how a page looks; all others hang on what it says, in any view of it."""

LOOK = r"""async ([tags, colours, sizes]) => {
  const looked = window.looked ??= { parts: new WeakSet(), inks: new Set(), sizes: new Set() };
  const first = !looked.sizes.size, grounds = new Map(), parts = new Set(), inked = new Set();
  const inks = new Map(), colour = new Map();
  const written = (one) => one.matches("input, select, textarea")
    || [...one.childNodes].some((part) => part.nodeType === 3 && part.data.trim());
  for (const one of document.querySelectorAll("html, body, body *")) {
    const style = getComputedStyle(one), image = style.backgroundImage;
    const solid = image === "none" && style.backgroundColor.startsWith("rgb(");
    const below = solid ? "" : grounds.get(one.parentElement);
    grounds.set(one, [below, style.backgroundColor, image, style.opacity].join());
    if (!one.checkVisibility()) continue;
    if (!looked.parts.has(one)) parts.add(one);
    const large = parseFloat(style.fontSize) >= (style.fontWeight >= 700 ? 18.66 : 24);
    const around = colour.set(one, style.color).get(one.parentElement);
    const ink = [style.color, around, large, style.fontWeight, style.textDecorationLine,
      grounds.get(one)].join();
    if (looked.inks.has(ink) || !written(one)) continue;
    inks.set(ink, 1 + (inks.get(ink) ?? 0));
    if (inks.get(ink) <= 2) inked.add(one);
  }
  const size = `${innerWidth} ${innerHeight}`, resized = !looked.sizes.has(size);
  looked.sizes.add(size);
  for (const one of parts) looked.parts.add(one);
  for (const ink of inks.keys()) looked.inks.add(ink);
  const tops = (some) => [...some].filter((one) => !some.has(one.parentElement));
  const found = [];
  const run = async (where, type, values) => {
    const options = { runOnly: { type, values }, resultTypes: ["violations"] };
    found.push(...(await axe.run(where, options)).violations);
  };
  if (first) await run(document, "tag", tags);
  else {
    if (parts.size) await run({ include: tops(parts) }, "tag", tags);
    if (inked.size) await run({ include: tops(inked) }, "rule", colours);
    if (resized) await run(document, "rule", sizes);
  }
  return found.map(({ id, help, nodes }) => [id, help, nodes.map(
    ({ target, html, failureSummary }) => [target.join(" "), html, failureSummary])]);
}"""
"""What axe-core finds wrong, in a page that is looked at again only where that can be new: all in
parts that were not seen, colours in two parts of each new ink on its ground, sizes in another
window."""

LARGEST: Any = {"width": 3840, "height": 2160}

LOOK_MS = 50

Window = tuple[Page, Watch]

every_page = pytest.mark.parametrize("one", PAGES, ids=lambda one: one.name)


def page_routes() -> Iterator[str]:
    """The paths of all routes of the site's pages that answer a GET."""
    for router in PAGE_ROUTERS:
        for route in router.routes:
            if "GET" in getattr(route, "methods", ()):
                yield route.path  # type: ignore[attr-defined]


def test_every_page_is_looked_at() -> None:
    listed = {one.route for one in PAGES if one.route} | {*FILES, *SENT_ON}
    assert set(page_routes()) == listed


@cache
def axe_source() -> str:
    return AXE.read_text(encoding="utf-8")


def violations(page: Page) -> list[str]:
    """What axe-core finds wrong with a page as it stands, with where and why; of a page that was
    looked at before, what is wrong now alone."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(axe_source())
    return [
        f"{rule} ({help}): {target}\n    {html[:200]}\n    {summary}"
        for rule, help, nodes in page.evaluate(LOOK, [TAGS, COLOURS, SIZES])
        for target, html, summary in nodes
    ]


@pytest.fixture(scope="module")
def windows(browser: Browser, full_site: FullSite) -> Iterator[dict[str, Window]]:
    """A window at each address of the site, by address, for all tests here: it only looks."""
    with (
        watched(browser, full_site.open, PHONE) as at_home,
        watched(browser, full_site.behind_door, PHONE) as outside,
    ):
        yield {
            full_site.open: (at_home[0].new_page(), at_home[1]),
            full_site.behind_door: (outside[0].new_page(), outside[1]),
        }


OPEN_ALL = """() => {
  const folded = [...document.querySelectorAll("main details:not([open])")];
  for (const one of folded) { one.removeAttribute("name"); one.open = true; }
  return folded.length;
}"""
"""Opens all that is folded on a page; how much that was."""

FOLDED = (
    "plan",
    "plan-short-of-yarn",
    "plan-two-feet",
    "people-one",
    "pair-planned",
    "pair-begun",
    "pair-made",
)
"""Pages that keep something folded."""


@every_page
def test_it_is_open_to_everybody(
    windows: dict[str, Window], full_site: FullSite, one: PageOf
) -> None:
    page, watch = windows[full_site.origin(one)]
    watch.allow(one.status)
    page.set_viewport_size(PHONE["viewport"])
    page.emulate_media(color_scheme="light")
    go_to(page, full_site.path(one), one)
    found = {
        "wider than a telephone": wider_than_the_screen(page),
        "small targets": small_targets(page),
        "on a telephone": violations(page),
    }
    page.set_viewport_size(DESKTOP["viewport"])
    found["light"] = violations(page)
    page.emulate_media(color_scheme="dark")
    found["dark"] = violations(page)
    page.set_viewport_size(PHONE["viewport"])
    found["dark on a telephone"] = violations(page)
    page.set_viewport_size(LARGEST)
    found["wider than the largest screen"] = wider_than_the_screen(page)
    page.set_viewport_size(PHONE["viewport"])
    if one.name in FOLDED:
        assert page.evaluate(OPEN_ALL)
        found["unfolded"] = violations(page) + wider_than_the_screen(page) + small_targets(page)
    assert {view: faults for view, faults in found.items() if faults} == {}
    watch.check()


@pytest.mark.parametrize("one", [one for one in PAGES if not one.pressed], ids=lambda one: one.name)
def test_it_is_light(full_site: FullSite, one: PageOf) -> None:
    most = HEAVIEST_BENCH if one.name.startswith("bench") else HEAVIEST
    assert weight(full_site.origin(one), full_site.path(one), fetched_once) < most


@cache
def fetched_once(address: str) -> bytes:
    """An answer as it is sent to a browser: files of the site are asked for by every page."""
    return fetched(address)


def wider_than_the_screen(page: Page) -> list[str]:
    """What sticks out at the side, if the page can be pushed sideways."""
    return page.evaluate(  # type: ignore[no-any-return]
        """() => {
          const root = document.documentElement;
          if (root.scrollWidth <= root.clientWidth) return [];
          const out = [...document.querySelectorAll("body *")].filter(
            (one) => one.getBoundingClientRect().right > root.clientWidth + 0.5);
          return [`${root.scrollWidth} px wide`, ...out.slice(0, 8).map(
            (one) => `${one.tagName} .${one.className} ${one.textContent.trim().slice(0, 40)}`)];
        }"""
    )


def small_targets(page: Page) -> list[str]:
    """Buttons and fields less than 44 px high or wide, and links in menus less than 24 px.

    Links within a sentence are as high as its lines; a tick or a choice is hit on its label.
    """
    return page.evaluate(  # type: ignore[no-any-return]
        """() => {
          const least = (one) => one.matches("a:not(.button)") ? 24 : 44;
          const inline = (one) => one.matches("p a, li a, td a, dd a, th a")
            && getComputedStyle(one).display === "inline";
          return [...document.querySelectorAll(
            "button, a, select, summary, textarea, input:not([type=hidden])")]
            .filter((one) => one.checkVisibility() && !one.matches(".skip") && !inline(one))
            .map((one) => [one, (one.matches("[type=checkbox], [type=radio]")
              ? one.closest("label") ?? one : one).getBoundingClientRect(), least(one)])
            .filter(([one, box, size]) => box.width < size - 0.5 || box.height < size - 0.5)
            .map(([one, box]) => `${one.tagName} ${one.name ?? ""} ${one.textContent.trim()
              .slice(0, 40)}: ${box.width.toFixed(0)} x ${box.height.toFixed(0)}`);
        }"""
    )


FAULTY = """<!doctype html><html lang="en"><title>Faulty</title>
<meta name="viewport" content="width=device-width, initial-scale=1"><main><h1>Faulty</h1>
<p style="color: #bbb; background: #fff">Too pale.</p><button style="width: 20px">x</button>
<div style="width: 900px">Too wide.</div></main></html>"""


def test_faults_of_a_page_are_seen(visit: Visit, full_site: FullSite) -> None:
    page = visit(PHONE, full_site.open).page
    page.set_content(FAULTY)
    assert any(fault.startswith("color-contrast") for fault in violations(page))
    assert wider_than_the_screen(page)[0].startswith("9")
    assert [fault[:8] for fault in small_targets(page)] == ["BUTTON  "]


@pytest.mark.parametrize(
    ("does", "said"),
    [
        ("() => { setTimeout(() => { throw new Error('torn yarn') }) }", "page error: torn yarn"),
        ("() => console.error('torn yarn')", "console error: torn yarn"),
        ("() => document.body.setAttribute('style', 'color: red')", "Content Security Policy"),
        ("() => { new Image().src = 'http://192.0.2.1/wool.png' }", "Content Security Policy"),
        ("() => { location.href = 'http://192.0.2.1/' }", "leaves the workshop: http://192.0.2.1/"),
        ("() => fetch('/nowhere')", "404 from GET"),
    ],
)
def test_what_a_page_must_not_do_is_seen(
    devices: Devices, full_site: FullSite, does: str, said: str
) -> None:
    with pytest.raises(AssertionError, match=re.escape(said)):
        misbehave(devices, full_site.open, does, said)


def misbehave(devices: Devices, site: str, does: str, said: str) -> None:
    """Have a page of the site do something, watched until it is told of."""
    with devices.lent(site, DESKTOP) as (_, watch, page):
        page.goto("/settings")
        page.evaluate(does)
        for _ in range(SHORT_OF_TIME_MS // LOOK_MS):
            if any(said in told for told in watch.problems):
                break
            page.wait_for_timeout(LOOK_MS)


def test_the_device_chooses_light_or_dark(visit: Visit, full_site: FullSite) -> None:
    paper = "() => getComputedStyle(document.body).backgroundColor"
    seen = []
    for view in (DESKTOP, DARK):
        page = visit(view, full_site.open).page
        page.goto("/")
        seen.append(sum(map(int, re.findall(r"\d+", page.evaluate(paper)))))
    assert seen[0] > 600
    assert seen[1] < 200
