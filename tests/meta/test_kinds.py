"""A kind of kept things is described once: the guide names every file that knows all of them."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import sockwright
from sockwright.store.items import ItemKind
from sockwright.store.models import ABOUT, TABLES, Note, fields_of, kinds_referred
from sockwright.web.kept.kinds import KINDS, PAGES
from sockwright.workshop.kinds import TYPES

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "sockwright"
GUIDE = (ROOT / "CONTRIBUTING.md").read_text(encoding="utf-8")
SECTION = GUIDE.split("## How to keep something more")[1].split("\n## ")[0]
NAMED = set(re.findall(r"^\d\. `([^`]+)`", SECTION, re.MULTILINE))


def _kind_of(node: ast.AST) -> str:
    """The kind that an expression names, "" if it names none."""
    plain = isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name)
    return node.attr if plain and node.value.id == "ItemKind" else ""


def listings(tree: ast.AST) -> Iterator[set[str]]:
    """The kinds named in each listing of a module: a table by kind, or a row of them."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Dict):
            parts = [key for key in node.keys if key is not None]
        elif isinstance(node, ast.Tuple | ast.List | ast.Set):
            parts = [
                one.args[0] if isinstance(one, ast.Call) and one.args else one for one in node.elts
            ]
        else:
            continue
        yield {name for part in parts if (name := _kind_of(part))}


def test_every_kind_has_a_table_a_type_and_pages() -> None:
    assert TABLES.keys() == TYPES.keys() == PAGES.keys() == set(ItemKind)
    assert len({one.plural for one in TYPES.values()}) == len(ItemKind)


def test_a_kind_comes_after_those_it_refers_to() -> None:
    order = list(ItemKind)
    for kind in ItemKind:
        assert all(order.index(of) < order.index(kind) for of in kinds_referred(kind)), kind


def test_notes_may_be_about_every_other_kind() -> None:
    assert {*kinds_referred(ItemKind.NOTE)} == {*ItemKind} - {ItemKind.NOTE}
    assert {f"{kind}_id" for kind in kinds_referred(ItemKind.NOTE)} <= {
        column.name for column in Note.__table__.columns
    }
    assert fields_of(ItemKind.NOTE) == ABOUT


def test_the_form_says_every_field_of_its_kind() -> None:
    for kind in KINDS:
        said = {name for extra in PAGES[kind].extras for name in extra.said("")}
        assert said == {*fields_of(kind)}, kind


def test_the_guide_names_every_file_that_knows_all_kinds() -> None:
    everywhere = {kind.name for kind in KINDS}
    knowing = {
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*.py")
        if any(
            everywhere <= named for named in listings(ast.parse(path.read_text(encoding="utf-8")))
        )
    }
    assert knowing == {"workshop/kinds.py", "web/kept/kinds.py"}
    assert knowing <= NAMED
    assert all((PACKAGE / name).exists() for name in NAMED)
    assert Path(sockwright.__file__).parent == PACKAGE
