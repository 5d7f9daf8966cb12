"""Small files that once took gigabytes and minutes: each is refused by the limit it goes beyond."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import hostile_files

TESTS = Path(__file__).parents[1]
MOST_MB = 200
"""Of the whole process, Python and libraries and all."""
MOST_CPU_S = 2


@cache
def read_all() -> dict[str, dict[str, Any]]:
    """What became of each file, all of them read in one process of its own."""
    done = subprocess.run(
        [sys.executable, str(TESTS / "hostile_files.py")],
        env={**os.environ, "PYTHONPATH": f"{TESTS.parent / 'src'}:{TESTS}"},
        capture_output=True,
        check=True,
        timeout=600,
    )
    lines = map(json.loads, done.stdout.splitlines())
    return {line["name"]: line for line in lines}


def test_each_hostile_file_is_refused_by_the_limit_it_goes_beyond() -> None:
    limits = {name: limit for name, (_, limit) in hostile_files.orders().items()}
    limits |= {name: limit for name, (_, limit) in hostile_files.wholes().items()}
    assert {name: line["limit"] for name, line in read_all().items()} == limits


def test_no_hostile_file_takes_more_memory_than_a_small_computer_has_to_spare() -> None:
    assert max(line["peak_mb"] for line in read_all().values()) < MOST_MB


@pytest.mark.long
def test_no_hostile_file_takes_more_of_the_processor_than_a_moment() -> None:
    """CPU seconds of the process, three times the bound: a busy machine shares its caches."""
    slow = {n: line["cpu_s"] for n, line in read_all().items() if line["cpu_s"] > 3 * MOST_CPU_S}
    assert slow == {}
