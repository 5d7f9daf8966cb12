"""The words that open a workshop to others: made up so that they are easily typed, or given."""

from __future__ import annotations

import secrets
import unicodedata
from hmac import compare_digest
from pathlib import Path
from typing import Final

from sockwright.errors import SockwrightError

CONSONANTS: Final = "bdfghjklnprstv"
"""Letters in the same place on German and English keyboards, all heard and read apart."""

VOWELS: Final = "aeiou"
GROUPS: Final = 4
SYLLABLES: Final = 2
"""In a group."""

FEWEST_SIGNS: Final = 12
"""Letters and signs of a given one, without what does not count."""

MOST_SIGNS: Final = 200


class BadPassPhrase(SockwrightError):
    """A pass-phrase that cannot be used."""


def make_pass_phrase() -> str:
    """A new one, such as "baru-tike-fosu-lado", from the system's source of chance."""
    return "-".join("".join(_syllable() for _ in range(SYLLABLES)) for _ in range(GROUPS))


def read_pass_phrase(file: Path) -> str:
    """The one line of a file; BadPassPhrase where it will not do."""
    try:
        lines = file.read_text(encoding="utf-8-sig").strip().splitlines()
    except UnicodeDecodeError:
        raise BadPassPhrase(f"{file}: is no text in UTF-8") from None
    except OSError as error:
        raise BadPassPhrase(f"{file}: cannot be read ({error.strerror})") from None
    if len(lines) != 1:
        raise BadPassPhrase(f"{file}: write the pass-phrase on one line, and nothing else")
    signs = len(_what_counts(lines[0]))
    if signs < FEWEST_SIGNS or len(lines[0]) > MOST_SIGNS:
        raise BadPassPhrase(
            f"{file}: the pass-phrase has {signs} letters and signs (blanks, hyphens and capitals "
            f"do not count); it needs {FEWEST_SIGNS} at least and may be {MOST_SIGNS} long"
        )
    return lines[0].strip()


def is_the_same(one: str, other: str) -> bool:
    """Whether both are the same to us, found out in a time that tells nothing."""
    return compare_digest(_what_counts(one).encode(), _what_counts(other).encode())


def _syllable() -> str:
    return secrets.choice(CONSONANTS) + secrets.choice(VOWELS)


def _what_counts(phrase: str) -> str:
    """Without capitals, blanks and hyphens, which tablets put in by themselves."""
    plain = unicodedata.normalize("NFKC", phrase).casefold()
    return "".join(
        sign for sign in plain if not (sign.isspace() or unicodedata.category(sign) == "Pd")
    )
