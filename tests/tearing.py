"""Files of databases torn as a disk tears them: bytes on pages that are others now."""

from __future__ import annotations

import random
from pathlib import Path

HEADER = 100
"""Bytes at the beginning by which SQLite knows a file as its own."""


def tear(file: Path, chance: random.Random, bytes_torn: int = 400) -> None:
    """Change runs of bytes anywhere behind the header."""
    content = bytearray(file.read_bytes())
    for _ in range(bytes_torn // 40):
        at = chance.randrange(HEADER, len(content) - 40)
        content[at : at + 40] = chance.randbytes(40)
    file.write_bytes(content)


def tear_page(file: Path, number: int, page_size: int = 4096) -> None:
    """Overwrite one page, the first being 1."""
    content = bytearray(file.read_bytes())
    at = (number - 1) * page_size + (HEADER if number == 1 else 0)
    content[at : number * page_size] = b"\xa5" * (number * page_size - at)
    file.write_bytes(content)
