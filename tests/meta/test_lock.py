"""The lock pins what the project says it needs, by hash, and nothing loosely."""

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
LOCK = (ROOT / "requirements.lock").read_text("utf-8").replace("\\\n", " ").splitlines()


def name(requirement: str) -> str:
    """The package a requirement asks for, spelled as an index spells it."""
    found = re.match(r"[\w.-]+", requirement)
    assert found is not None, requirement
    return re.sub(r"[-_.]+", "-", found[0]).lower()


def test_everything_the_project_needs_is_locked() -> None:
    needed = (
        PROJECT["build-system"]["requires"]
        + PROJECT["project"]["dependencies"]
        + PROJECT["dependency-groups"]["dev"]
    )
    assert {name(text) for text in needed} - {name(line) for line in LOCK} == set()


def test_every_line_of_the_lock_is_one_version_with_hashes() -> None:
    loose = [line for line in LOCK if not re.search(r"^\S+==[^ ]+ .*--hash=sha256:", line)]
    assert loose == []
