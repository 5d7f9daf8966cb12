"""How Hypothesis runs: never timed, and with the same examples each time in CI."""

import os

from hypothesis import settings

from amounts import LONG

FEW = 30
"""Examples of a law that does not say how many: what breaks it most often breaks it early."""

settings.register_profile("desk", deadline=None, max_examples=FEW)
settings.register_profile("ci", deadline=None, max_examples=FEW, derandomize=True, print_blob=True)
settings.register_profile("long", deadline=None, print_blob=True, max_examples=1_000)
settings.load_profile("long" if LONG else "ci" if os.environ.get("CI") else "desk")
