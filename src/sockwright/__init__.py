"""Sockwright: from a foot, a yarn and a circular sock machine to a proven crank program.

from sockwright import load_order, make_plan

plan = make_plan(load_order(Path("winch-operator.toml")))
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sockwright.order.file import load_order
    from sockwright.plan.make import PairPlan, make_plan

__version__ = "0.1.0"
__all__ = ["PairPlan", "__version__", "load_order", "make_plan"]

_HOMES = {
    "load_order": "sockwright.order.file",
    "make_plan": "sockwright.plan.make",
    "PairPlan": "sockwright.plan.make",
}


def __getattr__(name: str) -> Any:
    # The engine is imported when it is asked for, so that `--version` and `--help` stay quick.
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)
