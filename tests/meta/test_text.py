"""The project's text carries nothing that only its writer can use, and no loose ends."""

import os
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NOT_OURS = {"build", "dist", "out", "node_modules", "__pycache__"}
"""Folders that tools fill, beside those whose name begins with a dot (.ci is ours)."""

# Written with brackets where they would otherwise find themselves.
UNWANTED = {
    "a path of one machine": r"(?<![\w.~-])/(?:w[o]rk|r[o]ot|h[o]me|U[s]ers)/\w",
    "the host of a package registry": (
        r"py[p]i\.org|python[h]osted\.org|npm[j]s\.(?:org|com)|crates\.[i]o|deb\.[d]ebian\.org"
    ),
    "a loose end": r"\b(?:TO[D]O|FIX[M]E|XX[X]|TB[D])\b",
    "a conflict left standing": r"(?m)^(?:<{7}|>{7}) ",
}


def walked() -> Iterator[Path]:
    """Every file under the root, where git cannot say which are ours."""
    for folder, below, names in os.walk(ROOT):
        below[:] = [
            name
            for name in below
            if name not in NOT_OURS and (name == ".ci" or not name.startswith("."))
        ]
        yield from (Path(folder) / name for name in names)


def our_files() -> list[Path]:
    """Every file that belongs to the project: what git keeps or would keep, else all."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return sorted(walked())
    return sorted(path for name in run.stdout.split("\0") if (path := ROOT / name).is_file())


def lines(path: Path) -> list[str]:
    """The lines of a text file; none of a picture or another file that is no text."""
    try:
        return path.read_text(encoding="utf-8").splitlines()
    except UnicodeDecodeError:
        return []


@pytest.mark.parametrize("what", UNWANTED)
def test_no_file_holds(what: str) -> None:
    pattern = re.compile(UNWANTED[what])
    found = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:80]}"
        for path in our_files()
        for number, line in enumerate(lines(path), start=1)
        if pattern.search(line)
    ]
    assert not found, f"{what} in\n" + "\n".join(found)


@pytest.mark.parametrize(
    ("what", "example"),
    [
        ("a path of one machine", "see /home" + "/operator/sock.toml"),
        ("the host of a package registry", "from https://py" + "pi.org/simple"),
        ("a loose end", "# TO" + "DO: the toe"),
        ("a conflict left standing", "<" * 7 + " HEAD"),
    ],
)
def test_each_pattern_finds_what_it_is_for(what: str, example: str) -> None:
    assert re.search(UNWANTED[what], example)


def test_the_project_finds_its_own_files() -> None:
    assert Path(__file__) in our_files()
