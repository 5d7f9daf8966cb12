"""Writing a plan's files, each whole or not at all."""

from __future__ import annotations

import json
from pathlib import Path

from sockwright.cli.console import plain_text
from sockwright.cli.plan import plan_text
from sockwright.errors import SockwrightError
from sockwright.needlebed.loops import write_table
from sockwright.plan.data import plan_data
from sockwright.plan.make import PairPlan


def save_loops(pair: PairPlan, path: Path) -> list[Path]:
    """Write the loop table; where the feet differ, one file a sock, named by its side."""
    if pair.second is None:
        write_table(pair.first.dry_run.loops, path)
        return [path]
    written = []
    for sock in pair.socks:
        named = path.with_name(f"{path.stem}-{sock.side}{path.suffix}")
        write_table(sock.dry_run.loops, named)
        written.append(named)
    return written


def save_plan(pair: PairPlan, folder: Path) -> list[Path]:
    """Write plan.txt, plan.json and the loop table into `folder`, made if it is not there."""
    if folder.exists() and not folder.is_dir():
        raise SockwrightError(f"{folder}: is a file; name a folder to save into")
    folder.mkdir(parents=True, exist_ok=True)
    text = folder / "plan.txt"
    data = folder / "plan.json"
    _write(text, plain_text(plan_text(pair)))
    _write(data, json.dumps(plan_data(pair), ensure_ascii=False, indent=1) + "\n")
    return [text, data, *save_loops(pair, folder / "loops.csv")]


def _write(path: Path, text: str) -> None:
    part = path.with_name(path.name + ".part")
    try:
        part.write_text(text, encoding="utf-8")
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
