"""Which signs a text may hold, the same everywhere; and no cell of our tables is a formula."""

from __future__ import annotations

import csv
import sys
from io import StringIO
from itertools import product
from unicodedata import category

from sockwright.bench.log import Action, Entry
from sockwright.i18n.printable import (
    alike,
    cell,
    has_ink,
    normal_lines,
    shown_safely,
    uncelled,
    unprintable,
)
from sockwright.workshop.bench import log_as_csv

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


FORMULA = ("=", "+", "-", "@", "\t", "\r")
BEFORE = ("", ",", ";", "\t", "\n", ' ;" ', "two rounds; ", "a,b;c\t")
TEXTS = [f"{before}{sign}1+1" for before, sign in product(BEFORE, FORMULA)]


def fields_as_read(table: str) -> list[str]:
    """Every field that some program may find: parted at any sign, quotes heeded or not."""
    found: list[str] = []
    for parted in ",;\t":
        for quoting in (csv.QUOTE_MINIMAL, csv.QUOTE_NONE):
            lines = StringIO(table, newline="")
            for row in csv.reader(lines, delimiter=parted, quoting=quoting):
                found += row
    return found


def is_formula(field: str) -> bool:
    """Whether a program may reckon it: it begins so, blanks and quotes aside."""
    return field.startswith(FORMULA) or field.lstrip(' "\t\r\n').startswith(FORMULA)


def entry(text: str) -> Entry:
    """A note."""
    return Entry("n1", 1, "phone", "2025-11-03T19:20:00.000Z", Action.NOTE, text=text)


def test_no_text_of_a_log_is_a_formula_in_any_program() -> None:
    for text in TEXTS:
        found = fields_as_read(log_as_csv([entry(text)]))
        assert [field for field in found if is_formula(field)] == [], repr(text)


def test_a_log_as_a_table_reads_back_as_it_was_noted() -> None:
    notes = [*TEXTS, "'=1", "it's 2 - 1", "''+", "plain; all well", "'"]
    rows = csv.DictReader(StringIO(log_as_csv([entry(text) for text in notes]), newline=""))
    assert [uncelled(row["text"]) for row in rows] == notes


def test_any_text_comes_out_of_its_cell_as_it_went_in() -> None:
    for length in range(6):
        for signs in product("=\t;'\"a ", repeat=length):
            text = "".join(signs)
            assert uncelled(cell(text)) == text


def test_numbers_stay_numbers() -> None:
    assert [cell(-1), cell(2.5)] == ["-1", "2.5"]
