"""The tool behind `make words`, as a module."""

from __future__ import annotations

import importlib.util
from functools import cache
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).parents[1]


@cache
def tool() -> ModuleType:
    """The tool behind `make words`."""
    spec = importlib.util.spec_from_file_location("words_tool", ROOT / "docs" / "words.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
