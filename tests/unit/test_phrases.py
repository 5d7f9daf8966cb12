"""Languages: one file of phrases each, whole and used."""

import json
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path

import pytest

from programs_to_word import every_construction
from sockwright.machine.model import (
    CamNaming,
    Counter,
    Counting,
    Cylinder,
    Direction,
    HeelHalf,
    Landmark,
    Machine,
    Mark,
    Turning,
)
from sockwright.program import phrases, preliminaries, wording
from sockwright.program.phrases import PhraseError, load_phrases
from sockwright.program.preliminaries import cautions, conventions
from sockwright.program.wording import write_instructions


def drop_in(folder: Path, monkeypatch: pytest.MonkeyPatch, **files: str) -> None:
    for language, text in files.items():
        (folder / f"{language}.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr(phrases, "FOLDER", folder)


ENGLISH = (phrases.FOLDER / "en.toml").read_text(encoding="utf-8")


def pseudo(phrase: str) -> str:
    """Every letter outside a field becomes a Greek one."""
    parts = re.split(r"(\{\w+\})", phrase)
    return "".join(
        part if part.startswith("{") else re.sub("[A-Za-z]", "λ", part) for part in parts
    )


def pseudo_language() -> str:
    lines = []
    for table, rows in tomllib.loads(ENGLISH).items():
        lines.append(f"[{table}]")
        lines += [
            f"{json.dumps(key)} = {json.dumps(pseudo(text), ensure_ascii=False)}"
            for key, text in rows.items()
        ]
    return "\n".join(lines)


@pytest.mark.parametrize("turning", Turning)
def test_another_language_is_another_file(
    turning: Turning, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    drop_in(tmp_path, monkeypatch, en=ENGLISH, xx=pseudo_language())
    names = dict.fromkeys(("main", "cuff", "heel", "toe"), "ωω")
    for program, dial in every_construction().values():
        machine = Machine("b", turning, (Cylinder(program.needles, 110.0, dial),))
        said = [
            i.text for i in write_instructions(program, machine, language="xx", yarn_names=names)
        ]
        said += [*cautions(program, machine, "xx"), *conventions(program, machine, "xx")]
        assert not [text for text in said if re.search("[A-Za-z]", text)]


def test_a_missing_phrase_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    short = re.sub(r"(?m)^spring_on = .*\n", "", ENGLISH)
    drop_in(tmp_path, monkeypatch, en=ENGLISH, short=short)
    with pytest.raises(PhraseError, match=r"words/short\.toml: no phrase 'step\.spring_on'"):
        load_phrases("short")


def test_a_strange_field_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    strange = ENGLISH.replace('one = "needle {n}"', 'one = "needle {number}"')
    drop_in(tmp_path, monkeypatch, en=ENGLISH, strange=strange)
    with pytest.raises(PhraseError, match=r"'needle\.one' asks for \{number\}"):
        load_phrases("strange")


def test_an_unknown_language_names_those_there_are() -> None:
    with pytest.raises(PhraseError, match="no language 'tlh'; there is en"):
        load_phrases("tlh")


class Asked(dict[str, str]):
    """A table of phrases that remembers which were asked for."""

    def __init__(self, table: Mapping[str, str]) -> None:
        super().__init__(table)
        self.asked: set[str] = set()

    def __getitem__(self, key: str) -> str:
        self.asked.add(key)
        return super().__getitem__(key)


def varied_machines(cylinder: Cylinder) -> list[Machine]:
    """Machines that between them need every word for places and counters."""
    here, mast = Landmark("carrier", 4.0), Landmark("mast", 9.0)
    return [
        Machine("a", Turning.CARRIER, (cylinder,), landmarks=(mast,)),
        Machine("b", Turning.CYLINDER, (cylinder,), landmarks=(here,)),
        Machine(
            "c", Turning.CARRIER, (cylinder,), Direction.CLOCKWISE, counter=Counter(Counting.PASSES)
        ),
        Machine(
            "d",
            Turning.CYLINDER,
            (cylinder,),
            Direction.CLOCKWISE,
            HeelHalf.FAR,
            Counter(Counting.HANDLE_TURNS, 2.0, restarts=False),
            CamNaming("lines", False),
            marks=(Mark("home", "dot", "red"),),
        ),
    ]


RARE = {
    "brief.counted",
    "brief.rule",
    "brief.total",
    "count.first_part",
    "section.closing",
    "section.set-up",
    "section.toe",
    "step.hang_hem_moved",
    "step.kept",
    "step.move",
    "step.raise_far",
    "step.remove",
    "yarn.none",
}
"""Said only of programs that the builders of this package do not write, or on sheets
and by the command line."""


def test_every_phrase_is_used(monkeypatch: pytest.MonkeyPatch) -> None:
    """A phrase that nothing asks for would be translated for nothing."""
    table = Asked(load_phrases().table)
    loaded = phrases.Phrases("en", table)
    for module in (wording, preliminaries):
        monkeypatch.setattr(module, "load_phrases", lambda language: loaded)
    for program, dial in every_construction().values():
        for machine in varied_machines(Cylinder(program.needles, 110.0, dial)):
            for units in ("cm", "in"):
                write_instructions(program, machine, units)
            cautions(program, machine)
            conventions(program, machine)
    unasked = set(table) - table.asked
    assert {key for key in unasked if key.split(".")[0] not in ("nth", "hour")} == RARE
