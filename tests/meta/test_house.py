"""The house rules that a reader of the code would otherwise have to keep in mind."""

import ast
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from graphlib import TopologicalSorter
from itertools import pairwise
from pathlib import Path
from statistics import median

import sockwright
from meta.loading import loads

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "sockwright"
MODULES = sorted(PACKAGE.rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))
BENCHMARKS = sorted((ROOT / "benchmarks").rglob("*.py"))
EVERY_MODULE = MODULES + TESTS + BENCHMARKS

LONGEST_MODULE = 500
LONG_MODULES: dict[str, str] = {}
"""Modules that may be longer, each with its reason."""

LONGEST_FUNCTION = 60
LONGEST_USUAL_FUNCTION = 10

SLOW_LIBRARIES: dict[str, set[str]] = {
    "alembic": set(),
    "babel": set(),
    "fastapi": {"web"},
    "jinja2": {"web"},
    "jsonschema": set(),
    "rich": set(),
    "sqlalchemy": {"store", "workshop", "web"},
    "starlette": {"web"},
    "typer": set(),
    "uvicorn": {"web"},
}
"""The libraries that take a noticeable part of a second to load, each with the rooms whose import
may load it; anywhere else only what needs it does. The command line is looked at by itself."""

FOR_SERVING = ("alembic", "fastapi", "jinja2", "sqlalchemy", "starlette", "uvicorn")
"""Those that planning a sock has no use for."""

Function = ast.FunctionDef | ast.AsyncFunctionDef
Definition = Function | ast.ClassDef


def place(path: Path) -> str:
    """The path as a reader names it, from the root of the project."""
    return path.relative_to(ROOT).as_posix()


@cache
def tree(path: Path) -> ast.Module:
    """The syntax tree of a module."""
    return ast.parse(path.read_text(encoding="utf-8"))


def functions(path: Path) -> Iterator[Function]:
    """Every function of a module, nested ones and methods too."""
    return (node for node in ast.walk(tree(path)) if isinstance(node, Function))


def length(function: Function) -> int:
    """Lines of a function from its `def` on, without its docstring."""
    lines = (function.end_lineno or function.lineno) - function.lineno + 1
    first = function.body[0]
    if ast.get_docstring(function) is not None:
        lines -= (first.end_lineno or first.lineno) - first.lineno + 1
    return lines


def dotted(path: Path) -> str:
    """The name a module of the package is imported by."""
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def room_of(path: Path) -> str:
    """The room a module belongs to: a folder of the package, or the module itself."""
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def public_callables(body: list[ast.stmt], owner: str) -> Iterator[tuple[str, Definition]]:
    """Public functions and classes of a module, and the public methods of its public classes."""
    for node in body:
        if not isinstance(node, Definition) or node.name.startswith("_"):
            continue
        yield f"{owner}.{node.name}", node
        if isinstance(node, ast.ClassDef):
            yield from public_callables(node.body, f"{owner}.{node.name}")


def in_a_fresh_python(script: str, names: list[str]) -> str:
    """What `script` prints in a new process, with `names` as its arguments."""
    run = subprocess.run(
        [sys.executable, "-c", script, *names],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(PACKAGE.parent)},
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return run.stdout


def test_a_module_says_in_its_first_lines_what_idea_it_holds() -> None:
    bare = [place(path) for path in EVERY_MODULE if not ast.get_docstring(tree(path))]
    assert not bare, "these open with no docstring: " + ", ".join(bare)


def test_public_callables_of_the_package_have_docstrings() -> None:
    bare = [
        name
        for path in MODULES
        for name, node in public_callables(tree(path).body, dotted(path))
        if ast.get_docstring(node) is None
    ]
    assert not bare, "no docstring: " + ", ".join(bare)


def test_a_module_can_be_read_in_a_sitting() -> None:
    lines = {place(path): len(path.read_text("utf-8").splitlines()) for path in EVERY_MODULE}
    too_long = {name for name, count in lines.items() if count > LONGEST_MODULE}
    assert too_long == set(LONG_MODULES), "split these, or give the reason in LONG_MODULES"


def test_no_function_is_longer_than_a_screen() -> None:
    too_long = [
        f"{place(path)}: {function.name} has {length(function)} lines"
        for path in EVERY_MODULE
        for function in functions(path)
        if length(function) > LONGEST_FUNCTION
    ]
    assert not too_long, "\n".join(too_long)


def test_the_usual_function_is_short() -> None:
    usual = median(length(function) for path in MODULES for function in functions(path))
    assert usual <= LONGEST_USUAL_FUNCTION


def test_every_module_imports_alone_and_loads_no_slow_library_but_its_own() -> None:
    """Each imports, and none needs one that waits for it: so any of them can be the first.

    Rooms that may load more libraries are imported later, the command line last.
    """
    names = {dotted(path): tree(path) for path in MODULES}
    in_order = TopologicalSorter(loads(names)).static_order()  # a CycleError names the cycle
    assert set(in_order) == set(names)
    stages: list[tuple[list[str], list[str]]] = []
    imported: set[str] = set()
    allowed = sorted(set(map(frozenset, SLOW_LIBRARIES.values())), key=len, reverse=True)
    assert all(after < before for before, after in pairwise(allowed))
    for rooms in allowed:
        here = {dotted(path) for path in MODULES if is_looked_at(path, rooms)} - imported
        imported |= here
        slow = [library for library, theirs in SLOW_LIBRARIES.items() if theirs <= rooms]
        stages.append((sorted(here), slow))
    rest = [name for name in names if name not in imported and not name.endswith("__main__")]
    script = """
import importlib, json, sys
stages, rest = json.loads(sys.argv[1])
for names, slow in stages:
    for name in names:
        importlib.import_module(name)
        for library in [one for one in slow if one in sys.modules]:
            print(f"{name} loads {library}")
            slow.remove(library)
for name in rest:
    importlib.import_module(name)
"""
    assert in_a_fresh_python(script, [json.dumps([stages, rest])]) == ""


def is_looked_at(path: Path, rooms: frozenset[str]) -> bool:
    """Whether a module is of none of the rooms, nor one that only the command line or Alembic
    imports."""
    apart = {"cli", *rooms}
    return room_of(path) not in apart and path.stem != "__main__" and "migrations" not in path.parts


def test_planning_a_sock_loads_nothing_that_serves_pages() -> None:
    script = """
import sys
from sockwright.cli import main
sys.argv = ["sockwright", "plan", sys.argv[1]]
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
print("LOADED", *(key for key in sys.modules if "." not in key))
"""
    order = ROOT / "examples" / "winch-operator.toml"
    *_, loaded = in_a_fresh_python(script, [str(order)]).splitlines()
    names = loaded.split()
    assert names[0] == "LOADED"
    assert {"numpy", "typer"} <= set(names)
    assert set(FOR_SERVING) & set(names) == set()


def test_a_command_is_found_before_anything_is_planned() -> None:
    """`--help` and what keeps a workshop need no engine."""
    loaded = in_a_fresh_python("import sys, sockwright.cli.app; print(*sys.modules)", [])
    assert "sockwright.cli.app" in loaded.split()
    assert {"numpy", "sockwright.plan", "sockwright.wording"} & set(loaded.split()) == set()


def test_the_version_is_the_top_of_the_changelog() -> None:
    heading = re.search(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.MULTILINE)
    assert heading is not None
    assert heading[1] == sockwright.__version__


def imports(path: Path) -> set[str]:
    """Modules that a module imports at any time, and names that it takes from them."""
    found = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found |= {node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def test_no_module_serves_tests_alone() -> None:
    used = {name for path in MODULES for name in imports(path) - {dotted(path)}}
    started = {"sockwright.__main__", "sockwright.store.migrations.env"}
    own = {
        dotted(path)
        for path in MODULES
        if path.name != "__init__.py" and "versions" not in path.parts
    }
    assert own - used - started == set()


def test_the_benchmarks_go_in_no_circle() -> None:
    """Not within their functions either."""
    names = {f"benchmarks.{path.stem}": path for path in BENCHMARKS}
    needs = {name: imports(path) & names.keys() for name, path in names.items()}
    in_order = TopologicalSorter(needs).static_order()  # a CycleError names the circle
    assert set(in_order) == set(names)
