"""What each module of a package has Python load before it, read from its import statements."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping


def loads(modules: Mapping[str, ast.Module]) -> dict[str, set[str]]:
    """For each module those of `modules` that its import has Python load, by dotted names.

    What a function imports when it is called does not count, nor what types alone need. A module
    comes with the packages it lies in, but for those that the importing one lies in too: they are
    being loaded already. So where nothing leads back to itself, no module ever finds another half
    loaded, and each can be the first to be imported.
    """
    return {name: set(_loaded_by(name, tree, modules)) for name, tree in modules.items()}


def _loaded_by(name: str, tree: ast.Module, modules: Mapping[str, ast.Module]) -> Iterator[str]:
    for target in _named(tree.body):
        # A name taken from a module is in it, where it is no module itself.
        imported = target if target in modules else target.rpartition(".")[0]
        if imported in modules and imported != name:
            yield imported
            yield from {*_packages_of(imported)} - {name, *_packages_of(name)}


def _named(body: list[ast.stmt]) -> Iterator[str]:
    """The modules that statements import when they are run, and the names they take from them."""
    for node in body:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, "an import by dots"
            for alias in node.names:
                yield f"{node.module}.{alias.name}"
        elif isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            yield from _named(node.orelse)
        elif not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            for within in ("body", "handlers", "orelse", "finalbody"):
                yield from _named(getattr(node, within, []))


def _packages_of(name: str) -> Iterator[str]:
    while "." in name:
        name = name.rpartition(".")[0]
        yield name
