"""The lock pins what the project says it needs, by hash, and nothing loosely."""

import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))


def lines(file: str) -> list[str]:
    """The lines of a lock, each whole."""
    return (ROOT / file).read_text("utf-8").replace("\\\n", " ").splitlines()


LOCK, DEV_LOCK = lines("requirements.lock"), lines("requirements-dev.lock")


def name(requirement: str) -> str:
    """The package a requirement asks for, spelled as an index spells it."""
    found = re.match(r"[\w.-]+", requirement)
    assert found is not None, requirement
    return re.sub(r"[-_.]+", "-", found[0]).lower()


def pins(lock: list[str]) -> dict[str, str]:
    """The version of each package of a lock."""
    return {name(line): line.split("==")[1].split()[0] for line in lock}


def test_everything_that_runs_is_locked_and_nothing_that_only_develops() -> None:
    needed = {name(text) for text in PROJECT["project"]["dependencies"]}
    develops = {name(text) for text in PROJECT["dependency-groups"]["dev"]}
    assert needed <= pins(LOCK).keys()
    assert develops & pins(LOCK).keys() == set()


def test_everything_that_develops_is_locked() -> None:
    needed = PROJECT["build-system"]["requires"] + PROJECT["dependency-groups"]["dev"]
    assert {name(text) for text in needed} <= pins(DEV_LOCK).keys()


def test_both_locks_agree() -> None:
    runs, develops = pins(LOCK), pins(DEV_LOCK)
    both = runs.keys() & develops.keys()
    assert both
    assert {one: develops[one] for one in both} == {one: runs[one] for one in both}


def test_every_line_of_the_locks_is_one_version_with_hashes() -> None:
    loose = [
        line for line in LOCK + DEV_LOCK if not re.search(r"^\S+==[^ ]+ .*--hash=sha256:", line)
    ]
    assert loose == []


def test_the_bill_of_materials_names_what_runs_and_is_the_same_each_time(tmp_path: Path) -> None:
    bill = made_bill(tmp_path / "one.json", "--validate")
    assert bill == made_bill(tmp_path / "two.json", "--no-validate")
    document = json.loads(bill)
    assert document["bomFormat"] == "CycloneDX"
    named = {name(one["name"]): one.get("version") for one in document["components"]}
    assert named == pins(LOCK)


def made_bill(file: Path, validated: str) -> bytes:
    """The file that `make sbom` makes; whether the tool validates it before it writes."""
    tool = Path(sys.executable).with_name("cyclonedx-py")
    recipe = (ROOT / "Makefile").read_text("utf-8").replace("\\\n", " ")
    found = re.search(r"\$\(BIN\)/cyclonedx-py (.*) --output-file \S+", recipe)
    assert found is not None
    command = [str(tool), *found[1].split(), validated, "--output-file", str(file)]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    return file.read_bytes()
