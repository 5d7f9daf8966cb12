"""How something is measured, and how the result is printed."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from time import perf_counter

ROOT = Path(__file__).resolve().parent.parent
EXAMPLE = ROOT / "examples" / "winch-operator.toml"


@dataclass(frozen=True)
class Line:
    """One measured thing: its figure, the baseline it is compared with, and the target."""

    what: str
    figure: str
    baseline: str = "-"
    ratio: str = "-"
    target: str = "-"


def median_of(function: Callable[[], object], times: int) -> float:
    """Median seconds of `times` calls after one to warm up."""
    function()
    seconds = []
    for _ in range(times):
        start = perf_counter()
        function()
        seconds.append(perf_counter() - start)
    return median(seconds)


def process_seconds(*arguments: str, times: int = 7) -> float:
    """Median wall seconds of a Python process, its bytecode kept from the run before as it is where
    Sockwright is installed."""
    kept = {name: text for name, text in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}

    def run() -> None:
        subprocess.run([sys.executable, *arguments], check=False, capture_output=True, env=kept)

    run()
    return median_of(run, times)
