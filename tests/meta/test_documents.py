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


def test_the_readme_names_every_command() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    names = [command.name or command.callback.__name__ for command in app.registered_commands]
    names += [f"order {command.name}" for command in order_app.registered_commands]
    assert len(names) >= 5
    for name in names:
        assert f"sockwright {name}" in readme, name


def test_every_link_in_the_documents_leads_somewhere() -> None:
    for page in (ROOT / "README.md", ROOT / "CONTRIBUTING.md", *(ROOT / "docs").glob("*.md")):
        for target in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"
