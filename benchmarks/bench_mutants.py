"""How much the dry run misses: right programs with one slip each."""

from __future__ import annotations

import sys
from collections.abc import Iterator

from benchmarks.figures import ROOT, Line

sys.path.insert(0, str(ROOT / "tests"))


def bench_mutants() -> Iterator[Line]:
    """Every slip in some socks, by its kind: of those that do harm (the sock comes out otherwise or
    unfinished), how many are found, and how many as errors."""
    from mutants import judge, socks, total

    made = socks()
    tallies, _ = judge(made)
    rows = {f"mutants of {len(made)} socks": total(tallies.values())} | {
        f"  {slip}": tally for slip, tally in tallies.items()
    }
    for what, tally in rows.items():
        errors = tally.errors / tally.harmful
        yield Line(
            what,
            f"{tally.found / tally.harmful:.2%} found",
            f"{tally.harmful} that do harm, {tally.harmless} none",
            f"{errors:.1%} errors",
            ">= 99 %, 97 %" if tally is next(iter(rows.values())) else "-",
        )
