"""What the bench asks of its device: sounds, speech, a screen that stays on."""

from __future__ import annotations

import json
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.benches import begins_with, boot_socks, menu, opened, to_step, walked
from browser.conftest import Visit
from sockwright.workshop.workshop import Workshop

LOUD = json.dumps({"debounce": 0, "sound": True, "speech": True})
STUBS = """
window.device = { said: [], tones: [], locks: [] };
window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
Object.defineProperty(window, "speechSynthesis", { value: {
  cancel() {},
  speak(one) { device.said.push([one.lang, one.text]); },
} });
const tone = AudioContext.prototype.createOscillator;
AudioContext.prototype.createOscillator = function () {
  const one = tone.call(this);
  const start = one.start;
  one.start = function (at) { device.tones.push(one.frequency.value); return start.call(one, at); };
  return one;
};
Object.defineProperty(navigator, "wakeLock", { value: {
  async request(what) {
    device.locks.push(`ask ${what}`);
    return { release() { device.locks.push("let go"); } };
  },
} });
"""


@pytest.fixture
def page(visit: Visit, shop: Workshop) -> Page:
    """A bench with sound and speech on a device that notes what is asked of it."""
    page = visit().page
    page.add_init_script(STUBS)
    begins_with(page, LOUD)
    opened(page, boot_socks(shop), quick=False)
    return page


def noted(page: Page, what: str) -> list[Any]:
    """What was asked since it was last looked at."""
    return list(page.evaluate(f"device.{what}.splice(0)"))


def undone(page: Page) -> None:
    """Taken back at last: an undo may wait for what other devices counted."""
    expect(page.locator("#told")).to_have_text("Undone: 1 count.")


def test_a_count_an_end_and_an_undo_sound_differently(page: Page) -> None:
    to_step(page, 10)
    noted(page, "tones")
    page.keyboard.press("PageDown")
    count = noted(page, "tones")
    page.keyboard.press("Backspace")
    undone(page)
    undo = noted(page, "tones")
    assert count
    assert undo
    to_step(page, 11)
    end = noted(page, "tones")[-2:]
    assert len({tuple(count), tuple(undo), tuple(end)}) == 3
    menu(page, "Sound, speech, screen")
    page.locator("#set-sound").uncheck()
    page.locator("#settings [data-close]").click()
    page.keyboard.press("PageDown")
    assert noted(page, "tones") == []


def test_the_next_step_is_said_aloud_and_then_the_count(page: Page) -> None:
    to_step(page, 10)
    assert noted(page, "said")[-1] == ["en", page.locator("#do").text_content()]
    for n in ("1", "2"):
        page.keyboard.press("PageDown")
        assert noted(page, "said") == [["en", n]]
    page.keyboard.press("Backspace")
    undone(page)
    assert noted(page, "said") == [["en", "Undone: 1 count."]]
    menu(page, "Sound, speech, screen")
    page.locator("#set-speech").uncheck()
    page.locator("#settings [data-close]").click()
    page.keyboard.press("PageDown")
    assert noted(page, "said") == []


def test_a_check_is_said_with_all_its_lines(page: Page) -> None:
    to_step(page, 11)
    lines = page.locator("#items li").all_text_contents()
    assert len(lines) > 3
    told = " ".join([str(page.locator("#do").text_content()), *lines])
    assert noted(page, "said")[-1] == ["en", told]


def test_a_row_is_said_with_its_needles(page: Page) -> None:
    walked(page, until="() => document.getElementById('do').textContent.includes('Raise 3;')")
    assert noted(page, "said")[-1] == ["en", page.locator("#do").text_content()]


def test_the_screen_is_kept_awake_while_it_is_wished_and_seen(page: Page) -> None:
    assert noted(page, "locks") == ["ask screen"]
    menu(page, "Sound, speech, screen")
    page.locator("#set-awake").uncheck()
    assert noted(page, "locks") == ["let go"]
    seen_again(page)
    assert noted(page, "locks") == []
    page.locator("#set-awake").check()
    assert noted(page, "locks") == ["ask screen"]
    seen_again(page)
    assert noted(page, "locks") == ["ask screen"]


def seen_again(page: Page) -> None:
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def test_it_is_said_where_the_device_refuses(page: Page) -> None:
    page.evaluate(
        "() => { navigator.wakeLock.request = () => Promise.reject(new Error('low battery')); }"
    )
    menu(page, "Sound, speech, screen")
    page.locator("#set-awake").uncheck()
    page.locator("#set-awake").check()
    expect(page.locator("#awake-refused")).to_be_visible()
