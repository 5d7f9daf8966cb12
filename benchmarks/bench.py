"""How fast Sockwright is, as ratios against a named baseline measured in the same run, and what its
dry run finds.

`make bench` prints one table. Nothing here asserts; a target is printed beside each figure.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator

from benchmarks.bench_learning import bench_learning
from benchmarks.bench_load import bench_load
from benchmarks.bench_machine import bench_machine
from benchmarks.bench_mutants import bench_mutants
from benchmarks.bench_needlebed import bench_dry_run, bench_linear, bench_tube
from benchmarks.bench_web import bench_web
from benchmarks.figures import EXAMPLE, Line, median_of, process_seconds
from benchmarks.random_orders import run as run_orders
from rich.console import Console
from rich.table import Table


def plan_lines() -> Iterator[Line]:
    """A plan warm, and the command cold."""
    from sockwright.order.file import load_order
    from sockwright.plan.make import make_plan

    order = load_order(EXAMPLE)
    warm = median_of(lambda: make_plan(order), 50)
    yield Line("make_plan, warm", f"{warm * 1e3:.1f} ms", "-", "-", "<= 10 ms")
    numpy_alone = process_seconds("-c", "import numpy")
    cold = process_seconds("-m", "sockwright", "plan", str(EXAMPLE))
    yield Line(
        "sockwright plan, cold",
        f"{cold * 1e3:.0f} ms",
        f"import numpy, {numpy_alone * 1e3:.0f} ms",
        f"{cold / numpy_alone:.1f}",
        "<= 6",
    )


def sheet_lines() -> Iterator[Line]:
    """All sheets of one order, warm, and where the time goes, against one plan."""
    from sockwright.order.file import load_order
    from sockwright.plan.make import make_plan
    from sockwright.sheets import Paper
    from sockwright.sheets.press import SHEETS, print_sheets

    order = load_order(EXAMPLE)
    plan = make_plan(order)
    planning = median_of(lambda: make_plan(order), 10)
    baseline = f"make_plan, {planning * 1e3:.1f} ms"
    whole = median_of(lambda: print_sheets(plan, Paper.A4), 5)
    yield Line(
        "all sheets of one order, warm",
        f"{whole * 1e3:.0f} ms",
        baseline,
        f"{whole / planning:.0f}",
        "<= 1500 ms",
    )
    for name in SHEETS:
        one = median_of(lambda name=name: print_sheets(plan, Paper.A4, name), 5)  # type: ignore[misc]
        yield Line(f"  of it {name}", f"{one * 1e3:.0f} ms", baseline, f"{one / planning:.1f}", "-")


def memory_line() -> Line:
    """Peak memory of one planning process, against one that only imports numpy."""
    plan = (
        "from pathlib import Path; from sockwright import load_order, make_plan;"
        f"make_plan(load_order(Path({str(EXAMPLE)!r})))"
    )
    peak, alone = peak_mb(plan), peak_mb("import numpy")
    return Line(
        "peak memory of one plan",
        f"{peak:.0f} MB",
        f"import numpy, {alone:.0f} MB",
        f"{peak / alone:.1f}",
        "< 150 MB",
    )


def peak_mb(code: str) -> float:
    """Peak memory of a Python process that runs `code`, MB.

    Linux counts what this process held when it forked in a child's ru_maxrss, so its own status
    file is read there.
    """
    linux = "print(next(l for l in open('/proc/self/status') if l.startswith('VmHWM')).split()[1])"
    other = "import resource; print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)"
    peak = linux if sys.platform == "linux" else other
    run = subprocess.run(
        [sys.executable, "-c", f"{code}\n{peak}"], check=True, capture_output=True, text=True
    )
    return int(run.stdout) / 1024


def main() -> None:
    """Measure and print."""
    table = Table(title="Speed")
    for heading in ("what", "figure", "baseline", "ratio", "target"):
        table.add_column(heading)
    lines = [*bench_dry_run(), *bench_linear(), *bench_tube()]
    lines += [*plan_lines(), *sheet_lines(), memory_line()]
    lines += [*bench_web(), *bench_load(), *bench_machine()]
    lines += bench_mutants()
    lines += bench_learning()
    lines += run_orders(10_000, processes=2)
    for line in lines:
        table.add_row(line.what, line.figure, line.baseline, line.ratio, line.target)
    Console(width=110).print(table)


if __name__ == "__main__":
    main()
