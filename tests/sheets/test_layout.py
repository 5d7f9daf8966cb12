"""The reader of printed sheets sees what is wrong with a sheet."""

from __future__ import annotations

import typst

from sheets.layout import has_check_bars, markers_seen, pages, picture, text_faults

PAGE = "#set page(width: 210mm, height: 100mm, margin: 0mm)\n"


def printed(body: str) -> bytes:
    pdf = typst.compile(PAGE.encode() + body.encode())
    assert isinstance(pdf, bytes)
    return pdf


def test_a_word_in_the_margin_is_found() -> None:
    assert "edge" in text_faults(printed("#place(dx: 1mm, dy: 50mm)[cuff]"))[0]


def test_words_in_each_other_are_found() -> None:
    one, other = "#place(dx: 50mm, dy: 50mm)[cuff]", "#place(dx: 52mm, dy: 51mm)[heel]"
    assert "overlap" in text_faults(printed(one + other))[0]
    assert text_faults(printed(one)) == []


def test_upright_words_are_read_too() -> None:
    turned = "#place(dx: 50mm, dy: 30mm, rotate(-90deg, reflow: true)[ravel cord])"
    assert pages(printed(turned))[0].text == "ravel cord"


def test_bars_that_a_printer_shrank_are_not_true() -> None:
    bars = "".join(
        f"#place(dx: 9mm, dy: {d}mm, rect(width: {{}}mm, height: 2.4mm, fill: black))"
        for d in (20, 40)
    )
    assert has_check_bars(pages(printed(bars.format(100, 101.6)))[0])
    assert not has_check_bars(pages(printed(bars.format(97, 98.552)))[0])


def test_a_page_without_markers_shows_none() -> None:
    assert markers_seen(picture(printed("#place(dx: 50mm, dy: 50mm)[cuff]"), 0)) == {}
