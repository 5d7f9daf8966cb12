"""The texts of the crank program: told in any language, and all of them said."""

import re
from dataclasses import replace
from gettext import NullTranslations
from importlib.resources import files
from itertools import cycle

import pytest
from babel.messages.pofile import read_po

from programs_to_word import every_construction
from sockwright.i18n import Locale, UnknownLanguage
from sockwright.machine import (
    DEFAULT_MARKS,
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
from sockwright.wording import write
from sockwright.wording.conventions import cautions, conventions
from sockwright.wording.nouns import HOURS
from sockwright.wording.printed import AsBefore, Rows, printed
from sockwright.wording.write import write_instructions
from words_tool import tool


class Greek(NullTranslations):
    """A language of Greek letters for every text of the German catalogue, and of none for others;
    remembers which texts were asked for."""

    def __init__(self) -> None:
        super().__init__()
        with files("sockwright.i18n").joinpath("de.po").open("rb") as file:
            self.known = {one.id for one in read_po(file, locale="de")}
        self.asked: set[str] = set()

    def gettext(self, message: str) -> str:
        """Every letter outside a field becomes a Greek one."""
        self.asked.add(message)
        parts = re.split(r"(\{\w+\})", message)
        greek = (
            re.sub("[A-Za-z]", "λ", part) if n % 2 == 0 else part for n, part in enumerate(parts)
        )
        return "".join(greek) if message in self.known else message


@pytest.fixture
def greek(monkeypatch: pytest.MonkeyPatch) -> Greek:
    """The only language there is."""
    known = Greek()
    for module in (write, conventions_module):
        monkeypatch.setattr(module, "locale_of", lambda language: Locale("de", known))
    return known


@pytest.mark.parametrize("turning", Turning)
def test_no_english_is_left_in_another_language(turning: Turning, greek: Greek) -> None:
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


def test_an_unknown_language_names_those_there_are() -> None:
    with pytest.raises(UnknownLanguage, match=r"'tlh'.*en, de"):
        cautions(language="tlh")


def varied_machines(cylinder: Cylinder) -> list[Machine]:
    """Machines that between them need every word for places and counters."""
    here, mast = Landmark("carrier", 4.0), Landmark("mast", 9.0)
    painted = replace(DEFAULT_MARKS[1], colour="red")
    return [
        Machine("a", Turning.CARRIER, (cylinder,), landmarks=(mast,)),
        Machine("b", Turning.CYLINDER, (cylinder,), landmarks=(here,), marks=(painted,)),
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


RARE = (
    "Crank in reverse, but only past {needle}, and stop",
    "Crank 1 round, and stop past",
    "Crank {count} rounds, and stop past",
    "Hang the hem askew",
    "Move these loops: {pairs}.",
    "Narrowing",
    "Narrowing ends: {needles} stay in work, {count} in number, between {limits}.",
    "Raise {needles}, at the far end.",
    "Read the tables of rows across",
    "Take out what is empty, and keep it in order: {needles}.",
    "Take {needles} out: empty needles would catch the yarn.",
    "To {last}: as {like} to {like_last} of the first sock.",
    "Widening",
    "between {first} and {last} o'clock",
    "reverse only past {needle}, and stop",
    "the last before the {name}",
    "the yarn",
    "{needles} far",
)
"""Said only of programs that the builders of this package do not write, or on sheets; their
beginnings."""


def test_every_text_is_said(greek: Greek) -> None:
    """A text that nothing says would be translated for nothing."""
    units, there = cycle(("cm", "in")), Locale("de", greek)
    for program, dial in every_construction().values():
        for machine in varied_machines(Cylinder(program.needles, 110.0, dial)):
            run = execute(program)
            said = write_instructions(run, machine, next(units))
            for part in printed(said):
                for block in part.blocks:
                    if isinstance(block, Rows):
                        list(block.lines(there))
                        block.weights_told(there)
                        for half in block.halves:
                            half.table(there)
                    elif isinstance(block, AsBefore):
                        list(block.lines(there))
            cautions(program, machine)
            conventions(run, machine)
    texts = {each.id for each in tool().texts(tool().SOURCE / "wording")}
    unsaid = texts - greek.asked - {""} - set(HOURS)
    assert [text for text in unsaid if not text.startswith(RARE)] == []
    assert len(unsaid) == len(RARE)
