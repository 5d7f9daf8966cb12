"""Long words get hidden places to break, and sheets with them keep everything on the page."""

from __future__ import annotations

import io
import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from sheets.layout import pages, text_faults
from sheets.pairs import CAPITALS, LONG, ONE_WORD, every_kind, one_paper_each, pair, renamed
from sockwright.sheets import SIZES, Paper
from sockwright.sheets.crank import crank_sheet
from sockwright.sheets.press import chart_sheet
from sockwright.sheets.record import record_sheet
from sockwright.sheets.typeset import breakable, with_breaks

HIDDEN = "\u00ad\u200b"


def pieces(text: str) -> list[str]:
    return re.split(f"[{HIDDEN}]", text)


def test_the_long_word_has_sixty_letters_and_no_blank() -> None:
    assert len(ONE_WORD) == 60
    assert ONE_WORD.isalpha()


def test_letters_part_at_a_hyphen_and_signs_without() -> None:
    assert with_breaks(ONE_WORD).count("\u00ad") == 4
    assert max(map(len, pieces(with_breaks(ONE_WORD)))) == 12
    assert "\u00ad" not in with_breaks("0123456789" * 3)
    assert "\u200b" in with_breaks("0123456789" * 3)


@pytest.mark.parametrize("text", [LONG, "", "Bergretterinnen", "lot 12-44/B, 75 % wool"])
def test_ordinary_words_stay_as_they_are(text: str) -> None:
    assert with_breaks(text) == text


def test_marks_stay_with_their_letters() -> None:
    flag, spaced = "\U0001f1e8\U0001f1ed", "q\u0323" * 15
    assert with_breaks(flag * 10) == flag * 10
    assert all(unicodedata.category(piece[0]) != "Mn" for piece in pieces(with_breaks(spaced)))


@given(st.text(st.characters(exclude_characters=HIDDEN), max_size=200))
def test_without_its_breaks_a_text_is_what_it_was(text: str) -> None:
    assert "".join(pieces(with_breaks(text))) == unicodedata.normalize("NFC", text)


@given(st.text("abcdefgÄÖŁжя-", min_size=17, max_size=200))
def test_no_piece_of_a_long_word_is_longer_than_its_share(word: str) -> None:
    assert max(map(len, pieces(with_breaks(word)))) <= 12


def test_names_of_drawings_are_left_alone() -> None:
    name = "cylinder-number-twelve"
    data = {"pictures": [{"name": name, "label": ONE_WORD}], "count": 3}
    told = breakable(data, {name})
    assert told["pictures"][0]["name"] == name
    assert told["pictures"][0]["label"] != ONE_WORD
    assert told["count"] == 3


@pytest.mark.parametrize(("kind", "paper"), one_paper_each(every_kind()))
@pytest.mark.parametrize("sheet", [crank_sheet, chart_sheet])
def test_whatever_the_names_words_stay_apart_inside(kind: str, paper: Paper, sheet) -> None:  # type: ignore[no-untyped-def]
    pdf = sheet(every_kind()[kind].first, paper)
    assert text_faults(pdf) == []
    for page in pages(pdf):
        assert page.width == pytest.approx(SIZES[paper].width_mm, abs=0.05)
        assert page.height == pytest.approx(SIZES[paper].height_mm, abs=0.05)


@pytest.mark.parametrize("word", [ONE_WORD, CAPITALS, ONE_WORD * 3])
def test_a_long_title_is_printed_to_its_last_letter(word: str) -> None:
    page = pages(crank_sheet(renamed(pair("winch-operator"), word).first, Paper.A4))[0]
    above = [box for box in page.words if box.bottom < 40.0]
    title = "".join(box.text for box in above).split("Wearer:")[0]
    assert re.sub(f"[{HIDDEN}]", "", title) == word
    assert min(box.top for box in above) >= 10.0


def test_breaks_are_not_read_out_of_the_pdf_within_other_words() -> None:
    named = renamed(pair("winch-operator"), ONE_WORD)
    reader = PdfReader(io.BytesIO(record_sheet(named, Paper.A4)))
    text = "".join(page.extract_text() for page in reader.pages)
    assert ONE_WORD in text
    assert not re.search(f"[{HIDDEN}](?!\\n)", text)
    assert reader.metadata is not None
    crank = PdfReader(io.BytesIO(crank_sheet(named.first, Paper.A4)))
    assert crank.metadata is not None
    assert crank.metadata.title == ONE_WORD
