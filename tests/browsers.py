"""A Chromium for the tests that need a browser: where it is, or what to do if there is none.

`python tests/browsers.py` prints its path; without one it says what to do and exits with 1.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

NAMED_IN = "SOCKWRIGHT_BROWSER"
COMMANDS = (
    "chromium-headless-shell",  # the same engine without windows, which costs a fifth less
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
)
FIXED = (
    "/usr/bin/chromium-headless-shell",
    "/usr/bin/chromium",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)
CACHES = (".cache/ms-playwright", "Library/Caches/ms-playwright")
"""Where Playwright puts what it installs, from the home folder, on Linux and on macOS."""

IN_CACHE = (
    "chromium*/chrome-*/chrome",
    "chromium*/chrome-*/*.app/Contents/MacOS/*",
    "chromium*/chrome-*/*headless*shell",
)
NONE_FOUND = (
    "There is no browser for the tests that need one. Install Chromium (on Debian and Ubuntu: "
    f'apt-get install chromium), or run "make browser", or name one you have in {NAMED_IN}.'
)


def find_browser(
    environ: Mapping[str, str] = os.environ, fixed: tuple[str, ...] = FIXED
) -> Path | None:
    """The browser to test with: the one that is named, if one is; else the first that is found."""
    if named := environ.get(NAMED_IN):
        return next(_runnable([shutil.which(named) or named]), None)
    on_path = (shutil.which(command, path=environ.get("PATH")) for command in COMMANDS)
    places: list[str | Path] = [
        *(path for path in on_path if path),
        *fixed,
        *_installed_by_playwright(environ),
    ]
    return next(_runnable(places), None)


def _installed_by_playwright(environ: Mapping[str, str]) -> Iterator[Path]:
    home = Path(environ.get("HOME", "/nowhere"))
    named = environ.get("PLAYWRIGHT_BROWSERS_PATH", "")
    for cache in [Path(named)] if named.startswith("/") else [home / place for place in CACHES]:
        for pattern in IN_CACHE:
            yield from sorted(cache.glob(pattern), reverse=True)


def _runnable(places: Iterable[str | Path]) -> Iterator[Path]:
    return (Path(one) for one in places if Path(one).is_file() and os.access(one, os.X_OK))


def main() -> int:
    """Say where the browser is, or what to do."""
    found = find_browser()
    if found is None:
        sys.stderr.write(f"{NONE_FOUND}\n")
        return 1
    sys.stdout.write(f"browser for the tests: {found}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
