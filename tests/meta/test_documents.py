"""The documents tell the truth: their output is real, and no command is left out."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from sockwright.cli.app import app, order_app

ROOT = Path(__file__).resolve().parent.parent.parent


def test_every_output_in_the_documents_is_what_the_command_prints() -> None:
    run = subprocess.run(
        [sys.executable, "docs/refresh.py", "--check"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.stdout == ""
    assert run.returncode == 0


def test_the_commands_page_names_every_command() -> None:
    page = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    names = [command.name or command.callback.__name__ for command in app.registered_commands]
    names += [f"order {command.name}" for command in order_app.registered_commands]
    assert len(names) >= 5
    for name in names:
        assert f"sockwright {name}" in page, name


def test_every_link_in_the_documents_leads_somewhere() -> None:
    for page in (ROOT / "README.md", ROOT / "CONTRIBUTING.md", *(ROOT / "docs").glob("*.md")):
        for target in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_the_readme_is_read_in_a_few_minutes() -> None:
    """Under 900 words, a plan of 25 lines at most, and two small pictures."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert len(readme.split()) < 900
    (plan,) = re.findall(r"```text\n(.*?)```", readme, re.DOTALL)
    assert 10 < len(plan.splitlines()) <= 25
    pictures = re.findall(r"!\[[^]]+\]\(([^)]+\.png)\)", readme)
    assert len(pictures) == 2
    for picture in pictures:
        assert 10_000 < (ROOT / picture).stat().st_size < 120_000, picture
