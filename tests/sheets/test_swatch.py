"""The swatch sheet, read back from its PDF."""

from __future__ import annotations

import pytest

from sheets.layout import Page, has_check_bars, pages, text_faults
from sheets.pairs import CYRILLIC, GREEK, every_kind, one_paper_each, pair, renamed
from sockwright.order.model import State
from sockwright.sheets import Paper
from sockwright.sheets.measuring import swatch_sheet

KINDS = list(every_kind())


@pytest.mark.parametrize(("kind", "paper"), one_paper_each(["no plan", *KINDS]))
def test_it_is_two_pages_with_clear_words_and_true_bars(paper: Paper, kind: str) -> None:
    pdf = swatch_sheet(paper, every_kind()[kind].first if kind in KINDS else None)
    how, form = pages(pdf)
    assert text_faults(pdf) == []
    assert has_check_bars(form)
    assert "unstretched" in how.text


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("paper", Paper)
def test_the_ruler_is_true(paper: Paper, units: str) -> None:
    _, form = pages(swatch_sheet(paper, units=units))
    edge = max(word.right for word in form.words)
    for step, columns in ((10.0, (edge - 16, edge - 8)), (25.4, (edge - 4, edge + 1))):
        scale = _numbers(form, *columns)
        assert len(scale) >= 8
        low, high = min(scale), max(scale)
        assert scale[high] - scale[low] == pytest.approx((high - low) * step, abs=0.1)


def _numbers(page: Page, left: float, right: float) -> dict[int, float]:
    """Numbers standing between two x, each with the y of its lower edge."""
    inside = (word for word in page.words if left < word.left and word.right < right)
    return {int(word.text): word.bottom for word in inside if word.text.isdecimal()}


def test_it_asks_for_every_reading_of_the_order_and_its_state() -> None:
    _, form = pages(swatch_sheet(Paper.A4))
    asked = ("wales", "courses", "flat width", "40 rounds", "weighed", "stretch", "unravelled")
    tools = ("Ruler", "Scale", "Needles", "Stitch cam", "date", "Yarn", "Name of the swatch")
    assert [word for word in (*asked, *tools, *State) if word not in form.text] == []


def test_a_plan_fills_in_what_is_known() -> None:
    plan = pair("winch-operator").first
    how, form = pages(swatch_sheet(Paper.A4, plan))
    assert "grey boot-sock wool, 278 tex" in form.text  # 100 g / 360 m
    assert f" {plan.sizing.needles} " in form.text
    assert "Stitch cam, clicks" in form.text
    best = plan.next_reading.best
    assert f"{best.phrase!s}: ± {best.sd_after_mm:.1f} mm" in how.text.replace(
        "\N{NO-BREAK SPACE}", " "
    )


def test_needles_alone_are_filled_in_without_a_plan() -> None:
    with_needles, without = (pages(swatch_sheet(Paper.A4, needles=n))[1] for n in (84, None))
    assert "84" in with_needles.text.split()
    assert "84" not in without.text.split()


@pytest.mark.parametrize("name", [GREEK, CYRILLIC])
def test_names_in_other_letters_are_set(name: str) -> None:
    _, form = pages(swatch_sheet(Paper.A4, renamed(pair("winch-operator"), name).first))
    assert name.split()[0] in form.text


@pytest.mark.parametrize("paper", Paper)
def test_there_is_room_to_write(paper: Paper) -> None:
    _, form = pages(swatch_sheet(paper))
    boxes = [box for box in form.strokes if box.width > 20 and box.height > 4]
    assert len([box for box in boxes if box.height >= 7]) >= 14


def test_the_same_sheet_is_the_same_bytes() -> None:
    plan = pair("winch-operator").first
    assert swatch_sheet(Paper.LETTER, plan) == swatch_sheet(Paper.LETTER, plan)
