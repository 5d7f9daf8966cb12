"""The one family of errors that Sockwright raises.

Every message says what was given, what is wrong and what would be right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sockwright.i18n import Message, _, joined


class SockwrightError(Exception):
    """Base of all errors a user can cause and mend."""

    @property
    def message(self) -> str:
        """What is told of it; unlike `str`, still to be told in other languages."""
        return self.args[0] if self.args and isinstance(self.args[0], str) else str(self)


@dataclass(frozen=True)
class Problem:
    """One thing wrong with what the user gave.

    `path` is the key's place in the order file ("foot.left.length"), `wrong` what is wrong
    with the value given, `right` what would be right.
    """

    path: str
    wrong: str
    right: str

    @property
    def message(self) -> Message:
        """All of it in a line."""
        return _("{path}: {wrong}; {right}", path=self.path, wrong=self.wrong, right=self.right)

    def __str__(self) -> str:
        return str(self.message)


class QuantityError(SockwrightError, ValueError):
    """A text that should be a quantity with its unit and is not.

    `wrong` and `right` are the two halves of the message, for use in a `Problem`.
    """

    def __init__(self, wrong: str, right: str) -> None:
        super().__init__(joined("; ", (wrong, right)))
        self.wrong = wrong
        self.right = right


class OrderError(SockwrightError, ValueError):
    """An order file with problems; all of them are in `problems`."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__(joined("\n", (problem.message for problem in problems)))
        self.problems = problems


@dataclass(frozen=True)
class Offer:
    """A plan near the refused one that can be made: what to change, and what else that changes.

    `what` has the keys of the order's [sock] that make the change, with their values as the file
    has them: {"needles": 60}, {"leg.height": "24 cm"}. It is empty where no key alone does it: for
    another yarn, say.
    """

    change: str
    effect: str
    what: Mapping[str, str | int] = field(default_factory=dict, hash=False)

    @property
    def message(self) -> Message:
        """Change and effect, as a line below the refusal."""
        return _("  instead: {change} ({effect})", change=self.change, effect=self.effect)


def keys_words(what: Mapping[str, str | int]) -> Message:
    """What to write in the order file: as "height = "24 cm" in [sock.leg]"."""
    tables: dict[str, list[str]] = {}
    for path, value in what.items():
        *names, key = ("sock", *path.split("."))
        written = f'"{value}"' if isinstance(value, str) else f"{value}"
        tables.setdefault(".".join(names), []).append(f"{key} = {written}")
    lines = (
        _("{lines} in [{table}]", lines=", ".join(lines), table=name)
        for name, lines in tables.items()
    )
    return joined(", ", lines)


class NotProven(SockwrightError):
    """A plan whose dry run failed, where a proven one is needed."""


class CannotMake(SockwrightError):
    """A sock that cannot be made as asked, with the nearest plans that can."""

    def __init__(self, reason: str, offers: tuple[Offer, ...] = ()) -> None:
        super().__init__(joined("\n", (reason, *(offer.message for offer in offers))))
        self.reason = reason
        self.offers = offers
