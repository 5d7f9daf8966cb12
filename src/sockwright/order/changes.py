"""Keys of [sock] that hold instead of a design's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from sockwright.errors import OrderError, Problem
from sockwright.grammar.declare import Place
from sockwright.order.file import sock_document
from sockwright.order.model import CuffKind, Order, SockGiven
from sockwright.order.sock_part import SOCK

_SAME_THING = {
    "cuff": (("depth", "rounds"),),
    "leg": (("height", "leg", "rounds"),),
}
"""Keys of a table of [sock] that say the same: one of them replaces the others."""


def merged(design: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """The keys of [sock] of a design, with those of `changes` instead of its own."""
    result = dict(design)
    for key, value in changes.items():
        own = result.get(key)
        if isinstance(value, Mapping) and isinstance(own, Mapping):
            result[key] = _table_merged(key, own, value)
        else:
            result[key] = value
    return result


OF_CUFFS = {
    str(CuffKind.TRUE_RIB): {"rib", "rib_to", "remainder"},
    str(CuffKind.MOCK_RIB_HEM): {"every", "remainder"},
}
"""Keys of a cuff that belong to one kind of it."""


def _table_merged(name: str, own: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    replaced = {
        key for keys in _SAME_THING.get(name, ()) if changes.keys() & set(keys) for key in keys
    }
    if name == "cuff" and "kind" in changes and changes["kind"] != own.get("kind"):
        # What belongs to one kind of cuff says nothing of another.
        replaced |= set().union(*OF_CUFFS.values())
    return {key: value for key, value in own.items() if key not in replaced} | dict(changes)


def as_tables(keys: Mapping[str, Any]) -> dict[str, Any]:
    """Dotted keys as tables: {"leg.height": "24 cm"} as {"leg": {"height": "24 cm"}}."""
    result: dict[str, Any] = {}
    for path, value in keys.items():
        *tables, key = path.split(".")
        here = result
        for name in tables:
            here = here.setdefault(name, {})
        here[key] = value
    return result


def changed(order: Order, keys: Mapping[str, Any]) -> Order:
    """The order with these dotted keys of [sock] instead of its own; OrderError if it cannot be."""
    problems: list[Problem] = []
    given = sock_document(order.sock, order.units)
    cuff = given.get("cuff", {})
    others = set().union(*OF_CUFFS.values()) - OF_CUFFS.get(cuff.get("kind", ""), set())
    # An order that was put together otherwise than by its reader may have more than belongs.
    given |= {"cuff": {key: value for key, value in cuff.items() if key not in others}}
    document = merged(given, as_tables(keys))
    sock = SOCK.read(document, Place("sock", problems))
    if problems or not isinstance(sock, SockGiven):
        raise OrderError(tuple(problems))
    return replace(order, sock=sock)
