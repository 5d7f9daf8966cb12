"""Names for files that are put beside another: never one that is taken."""

from __future__ import annotations

from pathlib import Path

BESIDE = ("-wal", "-shm")
"""How the files end that SQLite writes beside a database and that are a part of it."""


def free_name(path: Path) -> Path:
    """The path, or with a number where it is taken: no copy is ever written over."""
    number, free = 2, path
    while any(Path(f"{free}{end}").exists() for end in ("", *BESIDE)):
        free = path.with_name(f"{path.name}-{number}")
        number += 1
    return free
