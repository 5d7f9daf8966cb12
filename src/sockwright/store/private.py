"""Files and folders that only their owner reads: what is kept is nobody else's on a computer."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path


def make_private_folder(folder: Path) -> None:
    """Make a folder, and those above it as usual; one that is there stays as it is. OSError."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)


def make_private_file(path: Path) -> None:
    """Make an empty file; one that is there stays as it is. OSError."""
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
