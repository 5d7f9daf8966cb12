"""The one family of errors that Sockwright raises.

Every message says what was given, what is wrong and what would be right.
"""

from __future__ import annotations

from dataclasses import dataclass


class SockwrightError(Exception):
    """Base of all errors a user can cause and mend."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong with what the user gave.

    `path` is the key's place in the order file ("foot.left.length"), `wrong` what is wrong
    with the value given, `right` what would be right.
    """

    path: str
    wrong: str
    right: str

    def __str__(self) -> str:
        return f"{self.path}: {self.wrong}; {self.right}"


class QuantityError(SockwrightError, ValueError):
    """A text that should be a quantity with its unit and is not.

    `wrong` and `right` are the two halves of the message, for use in a `Problem`.
    """

    def __init__(self, wrong: str, right: str) -> None:
        super().__init__(f"{wrong}; {right}")
        self.wrong = wrong
        self.right = right


class OrderError(SockwrightError, ValueError):
    """An order file with problems; all of them are in `problems`."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


@dataclass(frozen=True)
class Offer:
    """A plan near the refused one that can be made: what to change, and what else that changes."""

    change: str
    effect: str


class NotProven(SockwrightError):
    """A plan whose dry run failed, where a proven one is needed."""


class CannotMake(SockwrightError):
    """A sock that cannot be made as asked, with the nearest plans that can."""

    def __init__(self, reason: str, offers: tuple[Offer, ...] = ()) -> None:
        lines = [reason] + [f"  instead: {offer.change} ({offer.effect})" for offer in offers]
        super().__init__("\n".join(lines))
        self.reason = reason
        self.offers = offers
