"""Modules that find each other half loaded are seen before anybody imports the wrong one first."""

from __future__ import annotations

import ast
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from meta.loading import loads

SOUND = {
    "mill": "",
    "mill.yarn": "from mill.yarn.ply import ply",
    "mill.yarn.ply": "from mill.yarn.twist import twist\nply = twist",
    "mill.yarn.twist": "def twist():\n    from mill.sock import knit",
    "mill.sock": "from mill.yarn.twist import twist\nknit = twist",
}
"""A package whose first module imports what lies in it, and a call that imports late."""

BY_A_PACKAGE = {
    **SOUND,
    "mill.yarn.twist": "twist = 1",
    "mill.yarn.ply": "from mill.sock import knit\nply = knit",
}
"""mill.sock comes to its own end by way of the package of what it imports."""

BY_ITS_OWN_PACKAGE = {**SOUND, "mill.yarn.ply": "from mill.yarn import twist\nply = twist.twist"}
DIRECT = {**SOUND, "mill.yarn.twist": "import mill.sock\ntwist = mill.sock.knit"}


def is_sound(sources: dict[str, str]) -> bool:
    """What is read from the import statements."""
    trees = {name: ast.parse(source) for name, source in sources.items()}
    try:
        TopologicalSorter(loads(trees)).prepare()
    except CycleError:
        return False
    return True


def imports_alone(sources: dict[str, str], folder: Path) -> bool:
    """What Python itself says, with each module imported first in turn."""
    for name, source in sources.items():
        is_package = any(other.startswith(f"{name}.") for other in sources)
        file = folder.joinpath(*name.split("."), "__init__.py" if is_package else "")
        file = file if is_package else file.with_suffix(".py")
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(source, encoding="utf-8")
    runs = [
        subprocess.run(
            [
                sys.executable,
                "-I",
                "-c",
                f"import sys; sys.path[0:0] = [{str(folder)!r}]; import {name}",
            ],
            capture_output=True,
            check=False,
        )
        for name in sources
    ]
    return not any(run.returncode for run in runs)


@pytest.mark.parametrize(
    ("sources", "sound"),
    [(SOUND, True), (BY_A_PACKAGE, False), (BY_ITS_OWN_PACKAGE, True), (DIRECT, False)],
    ids=["sound", "by a package", "by its own package", "direct"],
)
def test_a_module_that_finds_another_half_loaded_is_seen(
    sources: dict[str, str], sound: bool, tmp_path: Path
) -> None:
    assert is_sound(sources) is sound
    assert imports_alone(sources, tmp_path) is sound
