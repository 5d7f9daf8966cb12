"""What a test needs and the machine lacks: in CI that is a failure, elsewhere a reason to skip."""

from __future__ import annotations

import os
from typing import NoReturn

import pytest


def absent(sentence: str) -> NoReturn:
    """End the test with a sentence that says what is missing and how to get it."""
    if os.environ.get("CI"):
        pytest.fail(sentence, pytrace=False)
    pytest.skip(sentence)
