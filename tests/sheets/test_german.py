"""The sheets in German: every word of ours told, and everything in its place."""

import re
from functools import cache
from importlib.resources import files

import pytest

from sheets.layout import text_faults, text_of
from sheets.pairs import pair
from sockwright.sheets import Paper
from sockwright.sheets.press import print_sheets
from sockwright.sheets.typeset import words_of

ORDERS = ("winch-operator", "avalanche-forecaster", "night-dispatcher")


@cache
def german(name: str) -> dict[str, bytes]:
    files = print_sheets(pair(name), Paper.A4, language="de")
    return {file: pdf for file, pdf in files.items() if file.endswith(".pdf")}


def plain(text: str) -> str:
    return " ".join(re.sub(r"[*_~\u00ad\u200b\u00a0]", " ", text).split())


def text(pdf: bytes) -> str:
    return plain(text_of(pdf))


@pytest.mark.parametrize("name", ORDERS)
def test_no_english_sentence_is_left(name: str) -> None:
    english = {
        piece
        for template in (files("sockwright.sheets") / "templates").iterdir()
        for said in words_of(template.read_text("utf-8"))
        for piece in (plain(part) for part in re.split(r"\{\w+\}", said))
        if len(piece) > 12
    }
    told = {file: text(pdf) for file, pdf in german(name).items()}
    left = {(file, piece) for file, words in told.items() for piece in english if piece in words}
    assert left == set()


@pytest.mark.parametrize("name", ORDERS)
def test_texts_stay_on_the_page_and_apart(name: str) -> None:
    assert {
        file: faults for file, pdf in german(name).items() if (faults := text_faults(pdf))
    } == {}


def test_what_stands_on_the_crank_sheet() -> None:
    words = text(german("winch-operator")["crank.pdf"])
    for said in ("Auf einen Blick", "Vorsicht", "22,8 ± 0,2 cm", "Prüfen, bevor", "Ferse beginnt"):
        assert said in words
    assert "grey boot-sock wool" in words
