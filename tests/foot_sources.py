"""What the tests of feet measure by: printed values, and survey records where they are at hand."""

import csv
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

ROOT = Path(__file__).parents[1]
RECORDS = ROOT.parent / "shared" / "data"


@cache
def authority(name: str) -> dict[str, Any]:
    """The printed values in tests/truth/authorities/<name>.toml."""
    path = ROOT / "tests" / "truth" / "authorities" / f"{name}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def rows(kind: str) -> list[tuple[Any, dict[str, Any]]]:
    """Each row of `kind` in authorities/feet.toml with the block it stands in."""
    return [(row, block) for block in authority("feet")[kind] for row in block["rows"]]


@cache
def records(name: str) -> dict[str, np.ndarray]:
    """The columns of a file of survey records; empty numbers are nan. Skips where it is missing."""
    path = RECORDS / f"{name}.csv"
    if not path.exists():
        pytest.skip(f"{name}.csv lies beside the project, not in it, and is not here")
    with path.open(encoding="utf-8", newline="") as file:
        table = list(csv.DictReader(file))
    return {
        key: np.array([row[key] for row in table])
        if key == "sex"
        else np.array([float(row[key] or "nan") for row in table])
        for key in table[0]
    }


def least_squares(y: np.ndarray, *xs: np.ndarray) -> tuple[np.ndarray, float, np.ndarray]:
    """Coefficients (intercept first), residual sd and standard errors of y on xs."""
    design = np.column_stack([np.ones(len(y)), *xs])
    coefficients = np.linalg.lstsq(design, y, rcond=None)[0]
    residual = y - design @ coefficients
    sd = float(np.sqrt(residual @ residual / (len(y) - design.shape[1])))
    errors = sd * np.sqrt(np.diag(np.linalg.inv(design.T @ design)))
    return coefficients, sd, errors
