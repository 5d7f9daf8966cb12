"""The letters said to be in the shipped faces are those that the typesetter finds in them."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from dataclasses import replace
from importlib.resources import as_file, files
from typing import Any

import pytest
import typst
from pypdf import PdfReader

from sheets.pairs import CYRILLIC, GREEK, LONG, ONE_WORD, VIETNAMESE, pair, renamed
from sockwright.drawing.base.svg import FONT, escape
from sockwright.fonts import FAMILIES, WEIGHTS, shipped_letters, widths
from sockwright.sheets import Paper
from sockwright.sheets.crank import crank_sheet
from sockwright.sheets.press import chart_sheet
from sockwright.sheets.typeset import lacking, missing_letters

STRANGE = "王さんعل⛑"
# Latin letters of living languages, and what sheets print besides: from memory.
WANTED = "ẽẹửỵđĐŁőžşğıİÆøåßñǎɓɛŋƴẞ ΆώЖщїґў ±×–½¼¾′″°µ²€₫"


PAGE = "#set document(title: [letters], date: datetime(year: 2000, month: 1, day: 1))\n"
TEXT = '#set text(font: ("Atkinson Hyperlegible Next", "Noto Sans"), weight: "{}", fallback: false)'


def printable(text: str, weight: str = "regular") -> bool:
    """Whether the shipped faces alone have every letter."""
    return archived({"main.typ": PAGE + TEXT.format(weight) + "\n#sys.inputs.text"}, text)


def drawable(text: str) -> bool:
    """Whether a drawing shows every letter."""
    words = f'<text y="9" font-size="6" font-family="{FONT}">{escape(text)}</text>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="180" height="20">{words}</svg>'
    return archived({"main.typ": PAGE + '#image("text.svg", alt: "text")', "text.svg": svg}, "")


def archived(parts: dict[str, str], text: str) -> bool:
    """Whether the page can be an archive PDF (PDF/A-2, ISO 19005-2): such a one may not show a
    letter that its typeface lacks, and typst refuses to write it."""
    with as_file(files("sockwright.fonts").joinpath("NotoSans-Regular.ttf")) as one:
        try:
            typst.compile(
                {name: part.encode() for name, part in parts.items()},
                font_paths=[str(one.parent)],
                ignore_system_fonts=True,
                sys_inputs={"text": text},
                pdf_standards="a-2b",
            )
        except typst.TypstError as error:
            if "could not be displayed with" not in str(error):
                raise
            return False
    return True


@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_every_letter_said_to_be_shipped_is_printable(weight: str) -> None:
    alone = [chr(p) for p in sorted(shipped_letters()) if unicodedata.category(chr(p))[0] in "LNPS"]
    assert len(alone) > 1500
    assert printable(" ".join(alone), weight)


@pytest.mark.parametrize(
    "block", [(0x21, 0x250), (0x370, 0x530), (0x1E00, 0x2000), (0x4E00, 0x4E04)]
)
def test_letters_said_to_be_lacking_are_not_printable(block: tuple[int, int]) -> None:
    others = [
        chr(point)
        for point in range(*block)
        if point not in shipped_letters() and unicodedata.category(chr(point))[0] in "LNPS"
    ]
    assert not any(map(printable, others))


@pytest.mark.parametrize("letter", STRANGE)
def test_strange_letters_are_told_and_truly_lacking(letter: str) -> None:
    assert lacking(f"the cook's {letter}") == letter
    assert not printable(letter)


@pytest.mark.parametrize("words", [GREEK, CYRILLIC, VIETNAMESE, LONG, ONE_WORD, WANTED])
def test_names_of_these_scripts_are_covered(words: str) -> None:
    assert lacking(words) == ""
    assert printable(words)


def test_letters_given_in_parts_count_as_composed_and_joiners_as_nothing() -> None:
    assert lacking(unicodedata.normalize("NFD", VIETNAMESE)) == ""
    assert lacking("a\u200db\ufe0f\u3000c\u00a0") == ""


@pytest.mark.parametrize("face", FAMILIES)
def test_both_weights_have_the_same_letters(face: str) -> None:
    regular, bold = (widths(f"{face}-{weight}").keys() for weight in WEIGHTS)
    assert regular == bold
    assert len(regular) > 300


def test_the_names_at_fault_are_told_once_and_wherever_they_stand() -> None:
    plan = pair("winch-operator")
    assert missing_letters(plan.order) == ()
    assert missing_letters(renamed(plan, VIETNAMESE).order) == ()
    assert missing_letters(renamed(plan, STRANGE).order) == (STRANGE,)
    machine = plan.order.machine
    marks = (replace(machine.marks[0], name="红点"), *machine.marks[1:])
    order = replace(plan.order, machine=replace(machine, marks=marks))
    assert missing_letters(order) == ("红点",)


@pytest.mark.parametrize("words", [VIETNAMESE, GREEK, CYRILLIC, "Ọláìyá ẹ́ ọ̀"])
@pytest.mark.parametrize("sheet", [chart_sheet, crank_sheet])
def test_names_are_set_in_the_shipped_faces_in_words_and_drawings(words: str, sheet) -> None:  # type: ignore[no-untyped-def]
    pdf = PdfReader(io.BytesIO(sheet(renamed(pair("avalanche-forecaster"), words).first, Paper.A4)))
    fonts = {str(font["/BaseFont"]) for page in pdf.pages for font in fonts_of(page)}
    assert fonts
    assert all(any(face in font for face in FAMILIES) for font in fonts)


def fonts_of(part: Any) -> Iterator[Any]:
    """The fonts of a page or of a drawing on it, and of the drawings in that."""
    resources = part.get("/Resources", {})
    for font in resources.get("/Font", {}).values():
        yield font.get_object()
    for drawing in resources.get("/XObject", {}).values():
        yield from fonts_of(drawing.get_object())


@pytest.mark.parametrize("words", [VIETNAMESE, GREEK, CYRILLIC, "Łukasz, Ọláìyá & ẹ́"])
def test_drawings_leave_no_letter_of_these_scripts_blank(words: str) -> None:
    assert drawable(words)
    assert not drawable(f"{words} 王")


def test_the_typefaces_stay_small() -> None:
    sizes = [
        len(path.read_bytes())
        for path in files("sockwright.fonts").iterdir()
        if path.name.endswith(".ttf")
    ]
    assert len(sizes) == 4
    assert sum(sizes) < 500_000
