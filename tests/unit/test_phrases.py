"""The phrases of the crank program: told in any language, and all of them used."""

import re
from collections.abc import Mapping
from itertools import cycle

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
from sockwright.needlebed.execute import execute
from sockwright.wording import conventions as conventions_module
from sockwright.wording import phrases, write
from sockwright.wording.conventions import cautions, conventions
from sockwright.wording.phrases import PhraseError, load_phrases
from sockwright.wording.printed import AsBefore, Rows, printed
from sockwright.wording.write import write_instructions
from sockwright.words import ENGLISH, UnknownTongue, tongue


def pseudo(phrase: str) -> str:
    """Every letter outside a field becomes a Greek one."""
    parts = re.split(r"(\{\w+\})", phrase)
    return "".join(
        part if part.startswith("{") else re.sub("[A-Za-z]", "λ", part) for part in parts
    )


@pytest.mark.parametrize("turning", Turning)
def test_no_english_is_left_in_another_language(
    turning: Turning, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = {key: pseudo(text) for key, text in load_phrases().table.items()}
    loaded = phrases.Phrases(tongue("de"), table)
    for module in (write, conventions_module):
        monkeypatch.setattr(module, "load_phrases", lambda language: loaded)
    names = dict.fromkeys(("main", "cuff", "heel", "toe"), "ωω")
    for program, dial in every_construction().values():
        machine = Machine("b", turning, (Cylinder(program.needles, 110.0, dial),))
        said = [i.text for i in write_instructions(execute(program), machine, yarn_names=names)]
        said += [*cautions(program, machine), *conventions(execute(program), machine)]
        assert not [text for text in said if re.search("[A-Za-z]", text)]


def test_german_instructions_are_german() -> None:
    program, dial = next(iter(every_construction().values()))
    machine = Machine("b", Turning.CARRIER, (Cylinder(program.needles, 110.0, dial),))
    english, german = (
        write_instructions(execute(program), machine, language=code) for code in ("en", "de")
    )
    assert [each.steps for each in german] == [each.steps for each in english]
    assert not {each.text for each in german} & {each.text for each in english}
    assert any("Nadel" in each.text for each in german)


def test_a_number_in_german_has_a_decimal_comma() -> None:
    program, dial = next(iter(every_construction().values()))
    machine = Machine("b", Turning.CARRIER, (Cylinder(program.needles, 110.0, dial),))
    weighed = " ".join(
        each.text for each in write_instructions(execute(program), machine, language="de")
    )
    assert re.search(r"[0-9],[0-9]+ kg", weighed)


def test_a_phrase_that_is_not_there_is_named() -> None:
    with pytest.raises(PhraseError, match=r"words/en\.toml: no phrase 'step\.fly'"):
        load_phrases().say("step.fly")


def test_an_unknown_language_names_those_there_are() -> None:
    with pytest.raises(UnknownTongue, match=r"'tlh'.*en, de"):
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
    "brief.reverse_stop",
    "clock.between",
    "mark.last_before",
    "step.row_reverse_stop",
    "printed.as_first",
    "printed.far",
    "printed.narrowing",
    "printed.rule",
    "printed.step",
    "printed.widening",
    "section.closing",
    "section.set-up",
    "step.hang_hem_moved",
    "step.kept",
    "step.move",
    "step.raise_far",
    "step.rehang_others",
    "step.remove",
    "yarn.none",
}
"""Said only of programs that the builders of this package do not write, or on sheets
and by the command line."""


def test_every_phrase_is_used(monkeypatch: pytest.MonkeyPatch) -> None:
    """A phrase that nothing asks for would be translated for nothing."""
    table = Asked(load_phrases().table)
    loaded = phrases.Phrases(ENGLISH, table)
    for module in (write, conventions_module):
        monkeypatch.setattr(module, "load_phrases", lambda language: loaded)
    units = cycle(("cm", "in"))
    for program, dial in every_construction().values():
        for machine in varied_machines(Cylinder(program.needles, 110.0, dial)):
            run = execute(program)
            said = write_instructions(run, machine, next(units))
            for part in printed(said):
                for block in part.blocks:
                    if isinstance(block, Rows):
                        list(block.lines(loaded))
                        block.weights_told(loaded)
                        for half in block.halves:
                            half.table(loaded)
                    elif isinstance(block, AsBefore):
                        list(block.lines(loaded))
            cautions(program, machine)
            conventions(run, machine)
    unasked = set(table) - table.asked
    assert {key for key in unasked if key.split(".")[0] not in ("nth", "hour")} == RARE
