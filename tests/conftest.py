"""How Hypothesis runs: never timed, and with the same examples each time in CI; how many run at
once."""

import os

from hypothesis import settings

from amounts import LONG

FEW = 30
"""Examples of a law that does not say how many: what breaks it most often breaks it early."""

settings.register_profile("desk", deadline=None, max_examples=FEW)
settings.register_profile("ci", deadline=None, max_examples=FEW, derandomize=True, print_blob=True)
settings.register_profile("long", deadline=None, print_blob=True, max_examples=1_000)
settings.load_profile("long" if LONG else "ci" if os.environ.get("CI") else "desk")


def pytest_xdist_auto_num_workers() -> int:
    """Three for two processors: a test that waits for a browser or a server leaves its own free."""
    return (os.cpu_count() or 1) * 3 // 2 or 1
