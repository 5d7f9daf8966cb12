"""Tells how many modules the program has, and which is the longest: a part of `make check`."""

from __future__ import annotations

from pathlib import Path

SOURCE = Path(__file__).resolve().parent.parent / "src" / "sockwright"

modules = {
    path.relative_to(SOURCE): len(path.read_text(encoding="utf-8").splitlines())
    for path in SOURCE.rglob("*.py")
}
longest = max(modules, key=modules.__getitem__)
print(
    f"{len(modules)} modules, {sum(modules.values()):,} lines; "
    f"the longest, {longest.as_posix()}, has {modules[longest]}"
)
