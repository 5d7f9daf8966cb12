"""No program that opens our tables takes a text in them for a formula, whatever parts its lines."""

from __future__ import annotations

import csv
from io import StringIO
from itertools import product

from sockwright.bench.log import Deed, Entry
from sockwright.words.printable import cell, uncelled
from sockwright.workshop.bench import log_as_csv

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
    return Entry("n1", 1, "phone", "2025-11-03T19:20:00.000Z", Deed.NOTE, text=text)


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
