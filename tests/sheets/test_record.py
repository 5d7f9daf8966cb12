"""The record sheet, read back from its PDF."""

from __future__ import annotations

import numpy as np
import pytest

from sheets.layout import pages, text_faults
from sheets.pairs import CYRILLIC, GREEK, NAMES, every_kind, one_paper_each, pair, recorded, renamed
from sockwright import steps as op
from sockwright.quantities import format_pm
from sockwright.sheets import Paper
from sockwright.sheets.record import record_sheet


def text(pdf: bytes) -> str:
    return " ".join(page.text for page in pages(pdf)).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(("kind", "paper"), one_paper_each(every_kind()))
def test_it_is_two_pages_of_clear_words(paper: Paper, kind: str) -> None:
    pdf = record_sheet(every_kind()[kind], paper)
    assert len(pages(pdf)) == 2
    assert text_faults(pdf) == []


def test_planned_measures_stand_beside_room_for_every_state() -> None:
    plan = pair("winch-operator").first
    said = text(recorded("winch-operator"))
    assert said.count(format_pm(plan.fabric.foot_length, "cm")) == 2
    assert said.count(format_pm(plan.fabric.leg_length, "cm")) == 2
    assert said.count("on the machine") >= 1
    assert said.count("washed") >= 2


def test_unlike_feet_have_each_their_own_column() -> None:
    said = text(recorded("avalanche-forecaster", Paper.LETTER))
    for sock in pair("avalanche-forecaster").socks:
        assert format_pm(sock.fabric.foot_length, "in") in said
        assert f"{sock.side.capitalize()} sock" in said


def test_rounds_and_rows_are_those_the_sock_keeps() -> None:
    """Counted here on the loop table, where the sheet counts the program's steps."""
    plan = pair("winch-operator").first
    table, said = plan.dry_run.loops, text(recorded("winch-operator"))
    staying = set(np.unique(table.course[table.stays]))
    starts = np.cumsum([0] + [run.rounds for run in table.runs])
    parted = [run for run in table.runs if run.shape == "part"]
    for section in (op.Section.CUFF, op.Section.LEG, op.Section.FOOT):
        rounds = sum(
            run.rounds
            for run, first in zip(table.runs, starts, strict=False)
            if run.section == section and run.shape == "round" and first in staying
        )
        # Of a parted round the first part is knitted in the section that it belongs to.
        rounds += sum(run.section == section and run.slots[0] == 0 for run in parted)
        assert f"{rounds} rounds" in said, section
    rows = sum(
        run.shape == "row" and run.section == op.Section.HEEL and first in staying
        for run, first in zip(table.runs, starts, strict=False)
    )
    assert f"{rows} rows" in said


@pytest.mark.parametrize("name", NAMES)
def test_record_and_crank_sheet_count_alike(name: str) -> None:
    """The crank sheet prints what was sized, the record what the program does."""
    plan = pair(name).first
    said = text(recorded(name))
    for rounds in (plan.sizing.leg_rounds, plan.sizing.foot_rounds):
        assert f"{rounds} rounds" in said


def test_it_says_what_to_keep_for_the_second_sock() -> None:
    """Never less than the second sock is expected to take."""
    _, second = pair("avalanche-forecaster").both
    page = pages(recorded("avalanche-forecaster", Paper.LETTER))[0]
    for role, use in second.use.items():
        row = next((word for word in page.words if word.text == f"{role}:"), None)
        if row is None:
            assert role in ("waste", "cord")
            continue
        grams = [
            float(before.text)
            for before, word in zip(page.words, page.words[1:], strict=False)
            if word.text == "g" and abs(word.top - row.top) < 6 and before.text[0].isdecimal()
        ]
        assert max(grams[1:]) >= use.mass.value + use.mass.sd


def test_the_mate_card_names_what_makes_socks_differ() -> None:
    said = text(recorded("avalanche-forecaster"))
    for what in (
        "Main weight",
        "Heel weight",
        "spring",
        "Stitch cam",
        "inside or outside",
        "Ribber",
    ):
        assert what in said
    assert "Ribber" not in text(recorded("winch-operator"))


def test_it_has_room_for_what_a_finished_sock_teaches() -> None:
    said = text(recorded("winch-operator"))
    # The answers and sizes of a finished pair, as the workshop asks for them.
    for what in ("shallow", "with a tug", "stays up", "weighs", "Leg alone", "width laid flat"):
        assert what in said


@pytest.mark.parametrize("name", [GREEK, CYRILLIC])
def test_names_in_other_letters_are_set(name: str) -> None:
    said = text(record_sheet(renamed(pair("winch-operator"), name), Paper.A4))
    assert said.count(name.split()[-1]) >= 3


def test_the_same_record_is_the_same_bytes() -> None:
    plan = pair("winch-operator")
    assert record_sheet(plan, Paper.A4) == record_sheet(plan, Paper.A4)
