"""How much an order may hold of a thing, from `facts/order_sizes.toml`."""

from __future__ import annotations

from sockwright.facts import fact
from sockwright.words import phrase

TOO_MANY = phrase("has {count} entries")
"""What is wrong with a list that is longer than its limit; a template."""

AT_MOST = phrase("{most} are the most")
"""What would be right; a template."""


def most(name: str) -> int:
    """The most of `name`; KeyError if the facts have none."""
    return int(fact("order_sizes", name).number)
