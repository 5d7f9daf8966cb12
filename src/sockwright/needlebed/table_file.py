"""The loop table as a file: CSV for reading, NPZ for numpy."""

from __future__ import annotations

from pathlib import Path
from typing import IO

import numpy as np

from sockwright.errors import SockwrightError
from sockwright.needlebed.loops import Bed, Kind, LoopTable
from sockwright.spreadsheet import cell
from sockwright.words import said

COLUMNS = ("loop", "course", "section", "needle", "bed", "yarn", "kind", "parents", "yarn_at_mm")
SUFFIXES = (".csv", ".npz")


def check_table_path(path: Path) -> None:
    """Raise SockwrightError unless `path` ends in .csv or .npz and its folder is there."""
    if path.suffix.lower() not in SUFFIXES:
        raise SockwrightError(
            said(
                "{path}: a loop table is written as .csv or .npz; give the file such an ending",
                path=path,
            )
        )
    if not path.parent.is_dir():
        raise SockwrightError(
            said(
                "{path}: there is no folder {parent}; make it first", path=path, parent=path.parent
            )
        )


def write_table(table: LoopTable, path: Path) -> None:
    """Write `table` whole to `path`, or nothing: the file appears when it is complete.

    CSV: one line a loop, parents joined by "+". NPZ: the arrays of `LoopTable` by their names.
    """
    check_table_path(path)
    part = path.with_name(path.name + ".part")
    try:
        with part.open("wb") as file:
            (_write_npz if path.suffix.lower() == ".npz" else _write_csv)(table, file)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _write_npz(table: LoopTable, file: IO[bytes]) -> None:
    np.savez_compressed(
        file,
        course=table.course,
        needle=table.needle,
        bed=table.bed,
        yarn=table.yarn,
        kind=table.kind,
        parent=table.parent,
        yarn_at=table.yarn_at,
        more_parents=table.more_parents,
        yarns=np.array(table.yarns),
        removable=np.array(table.removable),
        grafts=table.grafts,
        closed=table.closed,
        section=np.array(table.course_sections()),
    )


def _write_csv(table: LoopTable, file: IO[bytes]) -> None:
    more: dict[int, list[int]] = {}
    for child, parent in table.more_parents.tolist():
        more.setdefault(child, []).append(parent)
    beds = [bed.name.lower() for bed in Bed]
    kinds = [kind.name.lower() for kind in Kind]
    sections = [cell(section) for section in table.course_sections()]
    yarns = [cell(yarn) for yarn in table.yarns]
    lines = [",".join(COLUMNS)]
    rows = zip(
        table.course.tolist(),
        table.needle.tolist(),
        table.bed.tolist(),
        table.yarn.tolist(),
        table.kind.tolist(),
        table.parent.tolist(),
        table.yarn_at.tolist(),
        strict=True,
    )
    for loop, (course, needle, bed, yarn, kind, parent, at) in enumerate(rows):
        parents = [parent] if parent >= 0 else []
        joined = "+".join(map(str, parents + more.get(loop, [])))
        lines.append(
            f"{loop},{course},{sections[course]},{needle},{beds[bed]},{yarns[yarn]},"
            f"{kinds[kind]},{joined},{at:.1f}"
        )
    file.write(("\n".join(lines) + "\n").encode())
