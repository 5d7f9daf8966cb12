"""What a user can do with the things kept: the only room that calls store and engine together."""

from sockwright.workshop.answers import (
    Choice,
    Composed,
    Planned,
    PlannedSock,
    Problems,
    Refused,
)
from sockwright.workshop.workshop import Workshop

__all__ = ["Choice", "Composed", "Planned", "PlannedSock", "Problems", "Refused", "Workshop"]
