"""The bench in a browser, for its tests: opened, counted on, and what it then must show."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from playwright.sync_api import Page, expect

from bench_texts import text_of
from browser.stage import SHORT_OF_TIME_MS
from sockwright.bench.counting import DO, ROW, Sock, sock_of
from sockwright.bench.log import FIRST, State, state_of
from sockwright.bench.page_data import bench_data
from sockwright.plan.make import SockPlan
from sockwright.store.items import ItemKind
from sockwright.workshop import PlannedSock
from sockwright.workshop.workshop import Workshop

SETTINGS = "sockwright:bench:settings"
QUICK = json.dumps({"debounce": 0, "sound": False})
"""Keys pressed by a program come faster than any hand's."""
PRESS = """async (keys) => {
  for (const key of keys) {
    const press = { key, bubbles: true, cancelable: true };
    document.body.dispatchEvent(new KeyboardEvent("keydown", press));
    await Promise.resolve();
  }
}"""
COUNT_STEPS: dict[str, int] = {}
"""How many counts first socks have, by their orders."""
LOOK_MS = 50
KEPT = "Object.keys(localStorage).filter((key) => key.includes(':log:')).length"
"""How many entries this device has of all its socks."""


def boot_socks(shop: Workshop) -> str:
    """The id of the example's boot socks."""
    return next(one.id for one in shop.things(ItemKind.SOCK) if one.name.startswith("Boot"))


def plan_of(shop: Workshop, pair: str, which: str = FIRST) -> SockPlan:
    return _planned(shop, pair, which).plan


def _planned(shop: Workshop, pair: str, which: str) -> PlannedSock:
    planned = shop.plan_at_bench(pair, which)
    assert isinstance(planned, PlannedSock)
    return planned


def count_steps_of(shop: Workshop, pair: str, which: str = FIRST) -> int:
    """How many counts a sock has; of a first one they hang on its order alone."""
    planned = _planned(shop, pair, which)
    if which != FIRST:
        return len(sock_of(planned.plan).count_steps)
    if planned.composed.toml not in COUNT_STEPS:
        COUNT_STEPS[planned.composed.toml] = len(sock_of(planned.plan).count_steps)
    return COUNT_STEPS[planned.composed.toml]


def state(shop: Workshop, pair: str, which: str = FIRST) -> State:
    """What the workshop has of a sock."""
    return state_of(shop.bench_log(pair, which), count_steps_of(shop, pair, which))


def begins_with(page: Page, settings: str = QUICK) -> None:
    """What a device has of settings where it has none; after `forgotten` it has nothing at all."""
    page.add_init_script(
        "if (window.name === 'forgotten') { window.name = ''; localStorage.clear(); }"
        f" if (!localStorage.getItem({SETTINGS!r}))"
        f" localStorage.setItem({SETTINGS!r}, {settings!r})"
    )


def forgotten(page: Page) -> None:
    """The page opened next finds a device that has nothing: of the page before, nothing runs any
    more that could still keep something."""
    page.evaluate("window.name = 'forgotten'")


def opened(page: Page, pair: str, which: str = FIRST, *, quick: bool = True) -> None:
    """The bench of a sock, ready to count; `quick` ones ignore no press that follows another."""
    if quick:
        begins_with(page)
    page.goto(f"/socks/{pair}/bench/{which}")
    expect(page.locator("html")).to_have_class("ready")
    is_kept(page)


def is_kept(page: Page) -> None:
    """The page says that the workshop has all that was counted."""
    expect(page.locator("#kept")).to_have_attribute("data-kept", "done")


KEPT_OFFLINE = """async () => {
  const parts = performance.getEntriesByType("resource").map((one) => new URL(one.name).pathname);
  for (const path of [location.pathname, ...parts.filter((one) => /\\.(js|css)$/.test(one))]) {
    while (!await caches.match(path, { ignoreVary: true })) {
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }
}"""


def kept_offline(page: Page) -> None:
    """The page is kept for the time without a network, with all that it is made of."""
    expect(page.locator("html")).to_have_attribute("data-offline", "ready")
    page.evaluate(KEPT_OFFLINE)


def arrived(check: Callable[[], bool], page: Page) -> None:
    """Wait until something is so in the workshop."""
    for _ in range(SHORT_OF_TIME_MS // LOOK_MS):
        if check():
            return
        page.wait_for_timeout(LOOK_MS)
    raise AssertionError("it never came to the workshop")


def press(page: Page, keys: list[str]) -> None:
    """Press all these keys, and have none left."""
    page.evaluate(PRESS, keys)
    keys.clear()


def kept(page: Page) -> int:
    """Entries on this device."""
    return int(page.evaluate(KEPT))


def menu(page: Page, name: str) -> None:
    """Open a panel by a finger."""
    page.locator("header [data-open=menu]").click()
    page.locator("#menu").get_by_role("button", name=name, exact=True).click()


WALK = """async () => {
  const look = LOOK, until = UNTIL, seen = [];
  for (let pressed = 0; pressed <= MOST; pressed += 1) {
    seen.push(look());
    if (until(pressed)) return seen;
    const press = { key: "KEY", bubbles: true, cancelable: true }, kept = localStorage.length;
    document.body.dispatchEvent(new KeyboardEvent("keydown", press));
    await Promise.resolve();
    for (let looked = 0; localStorage.length === kept && looked < 300; looked += 1) {
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  }
  return null;
}"""
"""Presses a key until something is so, each after the one before was kept, which may wait for
other devices; what was seen before each press, null if it never is."""

AT_THE_END = "() => document.getElementById('one').disabled"


def walked(
    page: Page, look: str = "() => 0", until: str = AT_THE_END, key: str = "PageDown"
) -> list[Any]:
    """What a script sees at each count from here on, counted on in the page, which takes a tenth
    of the time that keys pressed from outside take."""
    script = WALK.replace("MOST", "2000").replace("KEY", key)
    seen = page.evaluate(script.replace("LOOK", look).replace("UNTIL", until))
    assert seen is not None, "it never came so far"
    return list(seen)


def counted(page: Page, count_steps: int, key: str = "PageDown") -> None:
    """Press a key of the count so many times."""
    walked(page, until=f"(pressed) => pressed === {count_steps}", key=key)


def to_step(page: Page, number: int, key: str = "PageDown") -> None:
    """Press a key of the count until a step is at hand."""
    there = f"document.getElementById('where').textContent.includes('step {number} of')"
    walked(page, until=f"() => {there}", key=key)


class Told:
    """What the page must show when so many counts are done, told from plan and sock."""

    def __init__(self, plan: SockPlan) -> None:
        self.sock: Sock = sock_of(plan)
        self.carrier = plan.order.machine.turns.value == "carrier"
        data = bench_data(plan, FIRST)
        places = [
            dict(zip(data["instruction_columns"], row, strict=True)) for row in data["instructions"]
        ]
        self.heads = [text_of(data, one["head"]) or text_of(data, one["text"]) for one in places]
        self.names = dict(zip(data["sections"], data["section_names"], strict=True))

    @cache  # noqa: B019
    def at(self, done: int) -> dict[str, str]:
        """By the id of the part of the page; "" for what is not shown."""
        if done == len(self.sock.count_steps):
            return {"where": "", "place": "", "count": ""}
        count_step = self.sock.count_steps[done]
        number = count_step.instruction
        last = number == len(self.heads)
        following = "" if last else self.heads[number]
        short = following if len(following) <= 90 else _words_within(following, 89) + "…"
        return {
            "where": f"{self.names[count_step.section]} · step {number} of {len(self.heads)}",
            "do": self.heads[number - 1],
            "place": "" if done >= self.sock.off else self._place(done),
            "count": self._count(done),
            "next": "This is the last step." if last else f"Next: {short}",
        }

    def _place(self, done: int) -> str:
        here, there = self.sock.passed(done), self.sock.passed(done + 1)
        gap = self.sock.count_steps[done - 1].gap if done else self.sock.count_steps[0].gap_before
        if self.carrier:
            told = f"Carrier {'' if gap else 'at the home gap, '}past needle {here}."
            return told if here == there else f"{told} Then past needle {there}."
        told = f"Needle {here} has passed the carrier."
        if not gap:
            told = f"The home gap is at the carrier: needle {here} has passed it."
        return told if here == there else f"{told} Then needle {there} passes it."

    def _count(self, done: int) -> str:
        count_step = self.sock.count_steps[done]
        if count_step.kind == DO or (not count_step.of and count_step.count_steps == 1):
            return ""
        figure, of = (
            (count_step.count - 1, count_step.of)
            if count_step.of
            else (count_step.nth - 1, count_step.count_steps)
        )
        return f"{figure} of {of} {'rows' if count_step.kind == ROW else 'rounds'} done"


def _words_within(text: str, most: int) -> str:
    """The whole words that so many characters hold."""
    words = text.split(" ")
    while len(" ".join(words)) >= most:
        words.pop()
    return " ".join(words).rstrip(",;:")


SHOWN = """() => {
  const text = (id) => {
    const part = document.getElementById(id);
    return part.closest("[hidden]") ? "" : part.textContent;
  };
  const count = text("count") && `${text("count")} ${text("of")} ${text("unit")}`;
  return { where: text("where"), do: text("do"), place: text("place"), count, next: text("next") };
}"""


def shown(page: Page) -> dict[str, str]:
    """What stands on the page, as Told has it."""
    return dict(page.evaluate(SHOWN))


def agree(stands: Mapping[str, str], told: Mapping[str, str]) -> None:
    """What stands on the page is all that is told."""
    assert {key: stands[key] for key in told} == told


def shows(page: Page, told: Mapping[str, str]) -> None:
    """The page comes to show all that is told: what was pressed may wait for other devices."""
    for _ in range(SHORT_OF_TIME_MS // LOOK_MS):
        stands = shown(page)
        if all(stands[key] == told[key] for key in told):
            return
        page.wait_for_timeout(LOOK_MS)
    agree(stands, told)
