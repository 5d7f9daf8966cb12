"""Puts real output into the documents: `python docs/refresh.py`, or `--check` to only compare.

A fenced block that follows a line `<!-- output: COMMAND -->` is replaced by what COMMAND prints
(from the project's folder); `<!-- output 12 lines: COMMAND -->` keeps the first twelve. The table
that follows a line `<!-- table: findings -->` is replaced by what the dry run can find.

The widths of letters that drawings reckon with are read out of the shipped faces the same way.
"""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGES = (ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")))
BLOCK = re.compile(
    r"(<!-- output(?: (?P<lines>\d+) lines)?: (?P<command>.+?) -->\n+```text\n).*?(?=^```$)",
    re.DOTALL | re.MULTILINE,
)


TABLE = re.compile(r"(<!-- table: findings -->\n\n(?:\|.*\n){2})(?:\|.*\n)*")


def findings_table() -> str:
    """A row for each code: its level, what is wrong and what mends it."""
    from sockwright.needlebed.findings import FINDINGS, Code

    rows = ((f"`{code.value}`", *FINDINGS[code]) for code in Code)
    return "".join(f"| {' | '.join(map(str, row))} |\n" for row in rows)


def output(command: str, lines: str | None) -> str:
    """What a command prints, cut to its first lines where asked."""
    arguments = shlex.split(command)
    if arguments[0] == "sockwright":
        arguments[0:1] = [sys.executable, "-m", "sockwright"]
    run = subprocess.run(arguments, cwd=ROOT, capture_output=True, text=True, check=False)
    text = "\n".join(line.rstrip() for line in (run.stdout or run.stderr).splitlines())
    if lines is not None:
        text = "\n".join(text.split("\n")[: int(lines)]) + "\n..."
    return text + "\n"


def fresh(page: str) -> str:
    """The page with every output block renewed."""
    page = BLOCK.sub(lambda m: m.group(1) + output(m["command"], m["lines"]), page)
    return TABLE.sub(lambda m: m.group(1) + findings_table(), page)


WIDTHS = ROOT / "src" / "sockwright" / "fonts" / "widths.json"


def letter_widths() -> str:
    """The widths of all letters of the shipped faces, as `sockwright.fonts` reads them."""
    from fontTools.ttLib import TTFont

    from sockwright.fonts import FACES

    tables = {}
    for face in FACES:
        font = TTFont(WIDTHS.with_name(f"{face}.ttf"))
        em, glyphs, runs = font["head"].unitsPerEm, font["hmtx"], []
        for point, glyph in sorted(font.getBestCmap().items()):
            if not runs or point != runs[-1][0] + len(runs[-1][1]):
                runs.append((point, []))
            runs[-1][1].append(round(1000 * glyphs[glyph][0] / em))
        tables[face] = runs
    lines = (
        f'"{face}": {json.dumps(runs, separators=(",", ":"))}' for face, runs in tables.items()
    )
    return "{\n" + ",\n".join(lines) + "\n}\n"


def main() -> int:
    """Renew, or with --check tell what is stale."""
    stale = []
    for path in (*PAGES, WIDTHS):
        page = path.read_text(encoding="utf-8") if path.exists() else ""
        renewed = letter_widths() if path == WIDTHS else fresh(page)
        if renewed != page:
            stale.append(path.relative_to(ROOT))
            if "--check" not in sys.argv:
                path.write_text(renewed, encoding="utf-8")
    for path in stale:
        print(f"{'stale' if '--check' in sys.argv else 'renewed'}: {path}")
    return 1 if stale and "--check" in sys.argv else 0


if __name__ == "__main__":
    sys.exit(main())
