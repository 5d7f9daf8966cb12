"""The browser for the tests is found where a machine may have it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from browsers import NAMED_IN, NONE_FOUND, find_browser

ROOT = Path(__file__).parents[2]


def runnable(path: Path) -> Path:
    """A file that can be run."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch(mode=0o755)
    return path


def test_the_named_browser_goes_before_all_others(tmp_path: Path) -> None:
    named = runnable(tmp_path / "mine")
    runnable(tmp_path / "bin" / "chromium")
    environ = {NAMED_IN: str(named), "PATH": str(tmp_path / "bin")}
    assert find_browser(environ, ()) == named
    named.unlink()
    assert find_browser(environ, ()) is None


@pytest.mark.parametrize("command", ["chromium", "chromium-browser", "google-chrome"])
def test_a_browser_on_the_path_is_found(tmp_path: Path, command: str) -> None:
    browser = runnable(tmp_path / command)
    assert find_browser({"PATH": str(tmp_path)}, ()) == browser
    browser.chmod(0o644)
    assert find_browser({"PATH": str(tmp_path)}, ()) is None


def test_a_browser_at_a_fixed_place_is_found(tmp_path: Path) -> None:
    browser = runnable(tmp_path / "Chromium")
    assert find_browser({"PATH": ""}, (str(browser),)) == browser


@pytest.mark.parametrize(
    "place",
    [
        ".cache/ms-playwright/chromium-1200/chrome-linux64/chrome",
        ".cache/ms-playwright/chromium_headless_shell-1200/chrome-linux/headless_shell",
        "Library/Caches/ms-playwright/chromium-1200/chrome-mac/Chromium.app/Contents/MacOS/Chromium",
    ],
)
def test_a_browser_that_playwright_installed_is_found(tmp_path: Path, place: str) -> None:
    browser = runnable(tmp_path / place)
    assert find_browser({"PATH": "", "HOME": str(tmp_path)}, ()) == browser


def test_playwrights_own_folder_may_be_named(tmp_path: Path) -> None:
    browser = runnable(tmp_path / "chromium-1200/chrome-linux/chrome")
    environ = {"PATH": "", "PLAYWRIGHT_BROWSERS_PATH": str(tmp_path)}
    assert find_browser(environ, ()) == browser


def test_without_a_browser_it_is_said_what_to_do(tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "tests/browsers.py"],
        cwd=ROOT,
        env={**os.environ, NAMED_IN: str(tmp_path / "none")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (run.returncode, run.stderr) == (1, f"{NONE_FOUND}\n")
    assert "make browser" in NONE_FOUND
