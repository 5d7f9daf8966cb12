"""Where the page of a damaged thing lies: at its own address, as if it were sound."""

from __future__ import annotations

from sockwright.store.damage import Damage
from sockwright.web.pairs import FOLDERS


def damage_address(damage: Damage) -> str:
    """The page that says how a damaged thing comes back, "" for one without an id that reads."""
    return f"/{FOLDERS[damage.kind]}/{damage.id}" if damage.id else ""
