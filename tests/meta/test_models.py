"""The document of models tells of every model, with the numbers the engine reckons with."""

import ast
import re
from pathlib import Path

import pytest

from sockwright.facts import fact, table

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "sockwright"
TEXT = " ".join((ROOT / "docs" / "models.md").read_text("utf-8").split())
QUOTED = re.findall(r"`(\w+)\.(\w+) = (-?[\d.]+)` \(([a-z ]+)\)", TEXT)
ROOMS = ("measure", "sock", "fabric")
MODULES = sorted(
    path.relative_to(PACKAGE).as_posix()
    for room in ROOMS
    for path in (PACKAGE / room).glob("*.py")
    if path.stem != "__init__"
)


def facts_used(path: Path) -> set[tuple[str, str]]:
    """Every fact("table", "name") that a module asks for in so many words."""
    calls = (node for node in ast.walk(ast.parse(path.read_text("utf-8"))))
    return {
        (node.args[0].value, node.args[1].value)
        for node in calls
        if isinstance(node, ast.Call)
        and getattr(node.func, "id", "") == "fact"
        and all(isinstance(arg, ast.Constant) for arg in node.args)
    }


@pytest.mark.parametrize("module", [*MODULES, "plan/make.py", "estimates.py"])
def test_every_module_that_reckons_is_named(module: str) -> None:
    assert f"`{module}`" in TEXT


def test_every_module_named_is_there() -> None:
    named = set(re.findall(r"`([\w/]+\.py)`", TEXT))
    assert [name for name in sorted(named) if not (PACKAGE / name).is_file()] == []
    tables = set(re.findall(r"`(facts/\w+\.toml)`", TEXT))
    assert [name for name in sorted(tables) if not (PACKAGE / name).is_file()] == []


@pytest.mark.parametrize(("name", "row", "value", "standing"), QUOTED, ids=lambda text: str(text))
def test_a_quoted_number_is_the_one_in_use(name: str, row: str, value: str, standing: str) -> None:
    used = fact(name, row)
    assert used.number == float(value)
    assert used.standing == standing


def test_no_quoted_number_escapes_the_check() -> None:
    assert len(QUOTED) == len(re.findall(r"`\w+\.\w+ = ", TEXT))
    assert len(QUOTED) > 40


def test_every_fact_that_design_and_fit_use_is_quoted() -> None:
    quoted = {(name, row) for name, row, _, _ in QUOTED}
    rooms = [PACKAGE / module for module in MODULES if not module.startswith("measure/")]
    used = set().union(*(facts_used(path) for path in rooms))
    used |= {("pace", row) for row in table("pace")} | {("fit", row) for row in table("fit")}
    assert used - quoted == set()
