"""Every finding: a small program that provokes it, and the same program mended."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builders import bed_run, tube
from finding_cases import CASES as LOOPS
from finding_cases import LEG, ROUND, Case
from finding_cases_around import AROUND
from sockwright import steps as op
from sockwright.fabric.compare import COMPARED
from sockwright.needlebed.findings import FINDINGS, Code, Finding, Level

DOCS = Path(__file__).parents[2] / "docs" / "findings.md"
CASES = LOOPS + AROUND


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.finding.code.value)
def test_wrong_program_gives_the_finding(case: Case) -> None:
    found = bed_run(case.wrong, case.dial, supply_mm=case.supply).findings
    assert [each for each in found if each.code is case.finding.code] == [case.finding]
    assert case.finding.level is case.level


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.finding.code.value)
def test_mended_program_does_not(case: Case) -> None:
    found = bed_run(case.right, case.dial, supply_mm=case.right_supply).findings
    assert case.finding.code not in {each.code for each in found}


def test_every_code_is_provoked() -> None:
    assert {case.finding.code for case in CASES} | COMPARED == set(Code) == set(FINDINGS)


def test_many_needles_are_named_a_few_times_and_counted() -> None:
    found = bed_run(
        tube(
            op.Lower(LEG, (1, 2)),
            op.MoveLoops(LEG, tuple((k, k - 1) for k in range(2, 13, 2))),
            ROUND,
        )
    ).findings
    empty = [each for each in found if each.code is Code.EMPTY_NEEDLE]
    assert [(each.needle, each.count) for each in empty] == [(2, 1), (4, 1), (6, 4)]


def test_message_names_step_and_place() -> None:
    finding = Finding(Code.NO_LOOP, 7, 3, 2, on_dial=True)
    assert finding.message.startswith("step 7 at dial slot 3: ")
    assert finding.message.endswith("(2 in all)")
    assert Finding(Code.NO_LOOP, 7, 3).message.startswith("step 7 at needle 3: ")
    assert Finding(Code.NO_YARN, 7).message.startswith("step 7: ")


def test_the_page_has_every_code_its_level_and_its_words() -> None:
    rows = re.findall(
        r"^\| `([a-z-]+)` \| (\w+) \| (.+?) \| (.+?) \|$", DOCS.read_text("utf-8"), re.M
    )
    assert [row[0] for row in rows] == [code.value for code in Code]
    for name, level, meaning, mend in rows:
        assert (Level(level), meaning, mend) == FINDINGS[Code(name)]
