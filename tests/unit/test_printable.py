"""Which signs a text may hold: the same everywhere people write."""

from __future__ import annotations

import sys
from unicodedata import category

from sockwright.words.printable import (
    alike,
    has_ink,
    normal_lines,
    shown_safely,
    unprintable,
)

TYPED = (
    "12\u00a0g",
    "a\u202fb",
    "靴下\u3000青",
    "co\u00adoperate",
    "👩‍🔧",
    "👍🏽",
    "🏴\U000e0067\U000e0062\U000e0073\U000e0063\U000e0074\U000e007f",
    "می‌خواهم",
    "\u200fגרב",
    "sock\u200e!",
    "\ufeffpasted",
    "\uf8ff",
    "e\u0301",
    "\u2003wide",
)
"""What keyboards, telephones and other programs put into texts."""

TURNED = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


def test_what_people_type_is_taken() -> None:
    assert {text: unprintable(text) for text in TYPED} == dict.fromkeys(TYPED, "")


def test_what_cannot_be_shown_or_misleads_is_named() -> None:
    for sign in (
        "\0",
        "\a",
        "\x1b",
        "\x7f",
        "\x85",
        "\ud800",
        "\udfff",
        "\u0378",
        "\uffff",
        *TURNED,
    ):
        assert unprintable(f"a{sign}b") == f"U+{ord(sign):04X}"
        assert unprintable(f"a{sign}b", lines=True) == f"U+{ord(sign):04X}"
        assert shown_safely(f"a{sign}b") == "a?b"


def test_the_rule_is_that_of_the_categories() -> None:
    """Every sign there is, against Unicode's own table; pictures to come are waited for."""
    never = {"Cc", "Cs", "Cn", "Zl", "Zp"}
    pictures = range(0x1F000, 0x1FB00)
    every = [chr(code) for code in range(sys.maxunicode + 1)]
    refused = {sign for sign in every if category(sign) in never} | set(TURNED)
    refused -= {chr(code) for code in pictures if category(chr(code)) == "Cn"}
    taken = "".join(sign for sign in every if sign not in refused)
    assert unprintable(taken) == ""
    assert [sign for sign in refused if not unprintable(sign)] == []


def test_lines_end_our_way_whatever_ended_them() -> None:
    assert normal_lines("a\r\nb\rc\u2028d\u2029e\x85f\ng") == "a\nb\nc\nd\ne\nf\ng"
    assert unprintable("a\n\tb") == "U+000A"
    assert unprintable("a\n\tb", lines=True) == ""


def test_letters_and_their_marks_are_one_sign() -> None:
    assert normal_lines("Sto\u0308ckli\r\n") == "Stöckli\n"


def test_names_that_look_alike_are_known_to() -> None:
    assert alike("moss\u00adgreen\u00a0 2\u200f") == alike("mossgreen 2")
    assert alike("Söckli") == alike("So\u0308ckli")
    assert alike("moss") != alike("mass")


def test_a_text_without_ink_is_none() -> None:
    for text in ("", " ", "\u200b", "\u3000\u00ad", "\u200f\ufeff"):
        assert not has_ink(text)
    assert has_ink("\u200fא")
