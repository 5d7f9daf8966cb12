"""The reference of every key of the order file, made from the declarations that read it.

`python -m sockwright.order.reference docs/order.md` renews the tables between the two marks.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from sockwright.facts import table
from sockwright.order.machine_part import FILE, MACHINE, MachinePart
from sockwright.order.reader import Either, Key, Kind, Many, Names, Table
from sockwright.order.sizes import most
from sockwright.order.toml_file import order_table

BEGIN, END = "<!-- keys -->", "<!-- end of keys -->"
BEGIN_SIZES, END_SIZES = "<!-- sizes -->", "<!-- end of sizes -->"

SIZES = {
    "order_bytes": "bytes of the file",
    "values": "values, tables and arrays in the file",
    "nesting": "brackets within brackets",
    "key_parts": "parts of a dotted key",
    "word_characters": "characters of a key or number without quotes",
    "problems_told": "problems told at once",
    "swatches": "swatches of an order, or of a pair in the workshop",
    "readings": "readings of one kind of a swatch",
    "cylinders": "cylinders of a machine",
    "fibres": "fibres of a yarn",
    "landmarks": "landmarks of a machine",
    "log_entries": "entries of what happened to a pair, in the workshop",
}
"""What each limit of `facts/order_sizes.toml` is the most of."""


def known_keys() -> tuple[str, ...]:
    """Every key by its path, such as "foot.left.length"; "*" is a name of the maker's own."""
    return tuple(path for path, _ in _walk("", order_table(())))


def declared_keys() -> tuple[Key, ...]:
    """Every key's declaration, in the same order."""
    return tuple(key for _, key in _walk("", order_table(())))


def key_tables() -> str:
    """The reference in Markdown: one heading and one table of keys for each table of the file."""
    rows: dict[str, list[str]] = {}
    for path, key in _walk("", order_table(())):
        heading, _, name = path.rpartition(".")
        rows.setdefault(heading, []).append(_row(name, key))
    # Tables with the same keys, such as those of the yarns, share one section.
    headings: dict[str, list[str]] = {}
    for heading, lines in rows.items():
        headings.setdefault("\n".join(lines), []).append(heading)
    return "\n".join(_section(titles, lines) for lines, titles in headings.items())


def size_table() -> str:
    """How much an order may hold of each thing, in Markdown; KeyError for a limit without words."""
    rows = [f"| {SIZES[name]} | {most(name)} |" for name in table("order_sizes")]
    return "\n".join(["| what | at most |", "| --- | --- |", *rows, ""])


def renewed(page: str) -> str:
    """The page with the tables between its marks made anew; ValueError if it has no marks."""
    page = _between(page, BEGIN_SIZES, size_table(), END_SIZES)
    return _between(page, BEGIN, key_tables(), END)


def _between(page: str, begin: str, tables: str, end: str) -> str:
    before, begins, rest = page.partition(begin)
    _, ends, after = rest.partition(end)
    if not begins or not ends:
        raise ValueError(f"the page has no {begin} and {end}")
    return f"{before}{begin}\n\n{tables}\n{end}{after}"


def _walk(prefix: str, table: Table) -> Iterator[tuple[str, Key]]:
    for key in table.keys:
        path = f"{prefix}.{key.name}" if prefix else key.name
        yield path, key
        yield from _below(path, key.kind)


def _below(path: str, kind: Kind) -> Iterator[tuple[str, Key]]:
    if isinstance(kind, Many):
        yield from _below(path, kind.one)
    elif isinstance(kind, Either):
        yield from _walk(path, kind.table)
    elif isinstance(kind, Table):
        yield from _walk(path, kind)
    elif isinstance(kind, MachinePart):
        yield f"{path}.{FILE.name}", FILE
        yield from _walk(path, MACHINE)
    elif isinstance(kind, Names):
        yield f"{path}.*", Key("*", kind.one, "a name of your own", "none")


def _section(headings: list[str], rows: str) -> str:
    title = ", ".join(f"`[{heading}]`" if heading else "The order itself" for heading in headings)
    head = "| key | meaning | what to write | without it |\n| --- | --- | --- | --- |"
    return f"### {title}\n\n{head}\n{rows}\n"


def _row(name: str, key: Key) -> str:
    default = "must be given" if key.needed else key.default
    cells = (f"`{name}`", key.meaning, key.kind.expects, default)
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def main(path: str) -> None:
    """Renew the tables in the page at `path`."""
    page = Path(path)
    page.write_text(renewed(page.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
