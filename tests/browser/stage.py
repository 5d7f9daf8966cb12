"""A browser on a stage: the views a page is seen in, and a watch over everything that goes wrong.

What a page must never do, whatever it is tested for: raise an error, write one to the console,
break its own security policy, or ask another computer for anything.
"""

from __future__ import annotations

from asyncio import wait_for
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    Request,
    Response,
    WebError,
)
from playwright.sync_api import TimeoutError as PlaywrightTimeout

from browser.pages import PageOf

ELSEWHERE = "192.0.2.2"
"""An address kept for examples: this computer's, yet to the browser as insecure as any other's."""

ARGUMENTS = (
    "--no-sandbox",
    f"--host-resolver-rules=MAP {ELSEWHERE} 127.0.0.1",
    "--disable-gpu",
    "--in-process-gpu",  # what is drawn by no card needs no process of its own
    "--process-per-site",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)

SHORT_OF_TIME_MS = 30_000
"""How long anything is waited for: a busy machine may take long, and only a fault takes longer."""

DESKTOP: Mapping[str, Any] = {"viewport": {"width": 1280, "height": 900}, "locale": "en-GB"}
PHONE: Mapping[str, Any] = {
    "viewport": {"width": 360, "height": 740},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 2,
    "locale": "en-GB",
}
DARK: Mapping[str, Any] = {**DESKTOP, "color_scheme": "dark"}
GERMAN: Mapping[str, Any] = {**DESKTOP, "locale": "de-DE"}
WITHOUT_SCRIPT: Mapping[str, Any] = {**DESKTOP, "java_script_enabled": False}

NO_WORKER = "delete Navigator.prototype.serviceWorker"
FORGET = """async () => {
  localStorage.clear();
  const gone = (name) => new Promise((resolve, reject) => {
    Object.assign(indexedDB.deleteDatabase(name), { onsuccess: resolve, onerror: reject });
  });
  for (const { name } of await indexedDB.databases()) await gone(name);
  return true;
}"""

VIEWS: Mapping[str, Mapping[str, Any]] = {"light": DESKTOP, "dark": DARK, "phone": PHONE}


TOLD_ELSEWHERE = (
    "the server responded with a status of",  # an answer is judged where it comes in
    "net::ERR_INTERNET_DISCONNECTED",  # only a test takes the network away,
    "net::ERR_CONNECTION_REFUSED",  # or the workshop
)
"""What Chromium repeats on the console."""


class Watch:
    """Notes what goes wrong in a context; `allow` names the refusals a test asks for itself."""

    def __init__(self, context: BrowserContext, origin: str) -> None:
        self.problems: list[str] = []
        self._allowed: set[int] = set()
        self._origin = origin
        self._context = context
        self._heard = {
            "console": self._console,
            "weberror": self._error,
            "request": self._request,
            "response": self._response,
        }
        for event, hear in self._heard.items():
            context.on(event, hear)  # type: ignore[call-overload]

    def end(self) -> None:
        """Watch no longer."""
        for event, hear in self._heard.items():
            self._context.remove_listener(event, hear)

    def allow(self, *statuses: int) -> None:
        """From now on, answers of these statuses are what the test wants."""
        self._allowed.update(statuses)

    def check(self) -> None:
        """Nothing went wrong since the last check."""
        found, self.problems, self._allowed = self.problems, [], set()
        assert found == [], "\n".join(found)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error" and any(told in message.text for told in TOLD_ELSEWHERE):
            return
        if message.type in ("error", "warning"):
            self.problems.append(f"console {message.type}: {message.text}")

    def _error(self, error: WebError) -> None:
        self.problems.append(f"page error: {error.error}")

    def _request(self, request: Request) -> None:
        if not request.url.startswith((f"{self._origin}/", "data:", "blob:", "chrome-extension:")):
            self.problems.append(f"a request leaves the workshop: {request.url}")

    def _response(self, response: Response) -> None:
        if response.status >= 400 and response.status not in self._allowed:
            self.problems.append(f"{response.status} from {response.request.method} {response.url}")


def launch(playwright: Playwright, browser: Path) -> Browser:
    """Start the browser at `browser`."""
    return playwright.chromium.launch(executable_path=browser, args=list(ARGUMENTS))


def go_to(page: Page, address: str, one: PageOf) -> None:
    """Open a page at its address, and do there what leads to it; it answers as it should."""
    answer = page.goto(address)
    if one.pressed:
        for field, text in one.filled:
            page.locator(field).fill(text)
        with page.expect_navigation() as navigation:
            page.locator(one.pressed).click()
        answer = navigation.value
    assert answer is not None
    assert answer.status == one.status, f"{one.name}: {answer.status}"
    page.evaluate("document.fonts.ready")


@contextmanager
def watched(
    browser: Browser, origin: str, view: Mapping[str, Any]
) -> Iterator[tuple[BrowserContext, Watch]]:
    """A fresh visitor of the site at `origin`; at the end nothing may have gone wrong."""
    context = browser.new_context(base_url=origin, **view)
    context.set_default_timeout(SHORT_OF_TIME_MS)
    watch = Watch(context, origin)
    try:
        yield context, watch
    finally:
        context.close()
    watch.check()


def _emptied(context: BrowserContext, within_ms: int) -> bool:
    """Whether a device has forgotten the visitor before. Once in some thousand times the browser
    never lets go of a database of a page that is closed; such a device is lent to nobody more."""
    try:
        context.pages[0].wait_for_function(FORGET, polling=100, timeout=within_ms)
    except PlaywrightTimeout:
        return False
    return True


def _closed(page: Page, within_ms: int) -> bool:
    """Whether a page has closed. Once in a blue moon the browser never says so, and the library's
    own call would wait for ever; such a device is lent to nobody more."""
    closing = wait_for(page._impl_obj.close(None, None), within_ms / 1000)
    try:
        page._sync(closing)
    except TimeoutError:
        return False
    return True


class Devices:
    """Devices that are lent to one visitor after the other, one for each view at a site.

    The files of the site stay on them, and one page that holds on to what runs them: a fresh device
    takes three times as long to open a page. Nothing else stays, and no page is kept by a worker.
    """

    def __init__(self, browser: Browser, emptied_within_ms: int = SHORT_OF_TIME_MS) -> None:
        self._browser = browser
        self._emptied_within_ms = emptied_within_ms
        self._free: dict[tuple[str, str], list[BrowserContext]] = {}

    @contextmanager
    def lent(
        self, origin: str, view: Mapping[str, Any]
    ) -> Iterator[tuple[BrowserContext, Watch, Page]]:
        """As `watched`, with a first page."""
        # What any window can be given makes no device of its own.
        lasting = {key: one for key, one in view.items() if key not in ("viewport", "color_scheme")}
        free = self._free.setdefault((origin, str(lasting)), [])
        context = self._taken(free) or self._new(origin, lasting)
        watch = Watch(context, origin)
        try:
            page = context.new_page()
            page.set_viewport_size(view["viewport"])
            page.emulate_media(color_scheme=view.get("color_scheme", "light"))
            yield context, watch, page
        finally:
            closed = [_closed(page, self._emptied_within_ms) for page in context.pages[1:]]
            watch.end()
            context.unroute_all()
            context.set_offline(False)
            context.clear_cookies()
        if all(closed):
            free.append(context)
        watch.check()

    def _taken(self, free: list[BrowserContext]) -> BrowserContext | None:
        while free:
            context = free.pop()
            if _emptied(context, self._emptied_within_ms):
                return context
        return None

    def _new(self, origin: str, view: Mapping[str, Any]) -> BrowserContext:
        context = self._browser.new_context(base_url=origin, **view)
        context.set_default_timeout(SHORT_OF_TIME_MS)
        context.add_init_script(NO_WORKER)
        context.new_page().goto("/settings")
        return context
