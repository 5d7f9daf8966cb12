"""Moments as they are kept: UTC, to the microsecond, in texts that sort as time does."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import String
from sqlalchemy.types import TypeDecorator

from sockwright.store.unreadable import Unreadable

LENGTH = len("2025-11-03T07:15:00.000000Z")


def moment_text(moment: datetime) -> str:
    """The moment as "2025-11-03T07:15:00.000000Z"; ValueError for one without a time zone."""
    if moment.tzinfo is None:
        raise ValueError("a moment needs its time zone")
    text = moment.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds")
    return f"{text}Z"


def moment_from(text: str) -> datetime:
    """The moment of such a text, in UTC; ValueError for any other text."""
    # Every row of every list has moments: this must be quick, and strptime is not.
    try:
        moment = datetime.fromisoformat(text)
        as_kept = moment_text(moment) == text
    except ValueError:
        as_kept = False
    if not as_kept:
        raise ValueError(f"{text!r} is not written as moments are")
    return moment


class Moment(TypeDecorator[datetime]):
    """A column of moments. A text, for SQLite keeps no time zones and every database sorts it."""

    impl = String(LENGTH)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Any) -> str | None:
        """The text that is kept."""
        return None if value is None else moment_text(value)

    def process_result_value(self, value: Any, dialect: Any) -> Any:
        """The moment again; Unreadable for a text that is none any more."""
        try:
            return None if value is None else moment_from(value)
        except (ValueError, TypeError):
            return Unreadable(value)
