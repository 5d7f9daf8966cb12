"""What a page cannot do, as errors that become clear pages or data."""

from __future__ import annotations

from sockwright.errors import SockwrightError


class Unproven(SockwrightError):
    """A form that did not come from one of our pages in this browser, with what it said."""

    def __init__(self, fields: list[tuple[str, str]]) -> None:
        super().__init__("this form is older than the running program")
        self.fields = fields


class NoPage(SockwrightError):
    """There is nothing at that address."""
