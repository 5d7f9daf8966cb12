"""Every table of facts can be read and every fact and expected value says where it is from."""

from pathlib import Path

import pytest

from sockwright import facts

ROOT = Path(__file__).parents[2]
TABLES = sorted(
    path.stem
    for path in Path(facts.__file__).parent.glob("*.toml")
    if path.stem != "foot_measures"  # which test_foot_measures reads
)
FITTED = sorted(Path(facts.__file__).parent.glob("*.json"))
AUTHORITIES = sorted(
    path
    for path in (ROOT / "tests" / "truth" / "authorities").rglob("*")
    if path.is_file() and path.suffix in {".toml", ".json", ".csv", ".txt", ".md"}
)


@pytest.mark.parametrize("name", TABLES)
def test_a_table_of_facts_is_whole(name: str) -> None:
    rows = facts.table(name)  # raises for a row without value, unit, source or standing
    assert rows, f"facts/{name}.toml is empty"
    assert [row.name for row in rows.values() if not row.source.strip()] == []


@pytest.mark.parametrize("path", AUTHORITIES + FITTED, ids=lambda path: path.name)
def test_a_file_of_data_is_cited(path: Path) -> None:
    assert "source" in path.read_text(encoding="utf-8").lower()
