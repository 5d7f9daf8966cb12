"""Faults of the program: each gets a reference, by which its reader and the log speak of it."""

from __future__ import annotations

import logging
import secrets
from typing import Final

from starlette.types import Scope

_REFERENCE: Final = "sockwright.fault"

_log = logging.getLogger("sockwright.web")


def told(scope: Scope, error: BaseException) -> str:
    """Log the fault of a request, if that was not done before: its reference."""
    if _REFERENCE not in scope:
        scope[_REFERENCE] = new_reference()
        more = {"reference": scope[_REFERENCE]}
        _log.error("%s %s failed", scope["method"], scope["path"], exc_info=error, extra=more)
    return str(scope[_REFERENCE])


def new_reference() -> str:
    """Six signs to speak of a fault by."""
    return secrets.token_hex(3)


def told_gone(scope: Scope) -> None:
    """Log that whoever asked hung up before the end."""
    _log.info("%s %s: the client hung up", scope["method"], scope["path"])
