"""Brings the catalogues of words up to date with the texts of the program.

`python docs/words.py` renews every `src/sockwright/i18n/*.po`: new texts come in untranslated,
translations are kept, and those of texts that are gone stay as comments until `--clean`. With
`--check` nothing is written, and stale catalogues are named. The result depends on the texts alone.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from enum import StrEnum
from io import BytesIO
from pathlib import Path
from types import ModuleType
from typing import Any, BinaryIO

from babel.messages.catalog import Catalog  # noqa: TID253
from babel.messages.extract import extract_from_dir  # noqa: TID253
from babel.messages.pofile import read_po, write_po  # noqa: TID253

from sockwright import machine
from sockwright.facts import table
from sockwright.facts.feet import Measure, foot_measures
from sockwright.grammar.declare import Table
from sockwright.i18n import LANGUAGES, Message
from sockwright.order import model as order_model
from sockwright.order.reference import declared_keys
from sockwright.sheets.typeset import words_of
from sockwright.steps import Section
from sockwright.store.items import ItemKind
from sockwright.web.forms.texts import declared
from sockwright.workshop.example import example_texts
from sockwright.workshop.kinds import TYPES

SOURCE = Path(__file__).parent.parent / "src" / "sockwright"
WORDS = SOURCE / "i18n"
ONE = dict.fromkeys(("_", "N_", "render", "sentence", "gettext"), (1,))
MANY = dict.fromkeys(("ngettext",), (1, 2))
IN_CONTEXT = dict.fromkeys(("pgettext",), ((1, "c"), 2))
KEYWORDS: dict[str, Any] = {**ONE, **MANY, **IN_CONTEXT}
"""The functions that say something, and which of their arguments are texts, many or a context."""
HEADER = """\
# Every text of Sockwright in another language. Keep the names in braces.
msgid ""
msgstr ""
"Language: {language}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

"""

Found = tuple[int, str, tuple[str | None, ...], list[str]]
"""A call as Babel takes it: its line, the function, its arguments, and comments."""


def texts(folder: Path = SOURCE) -> Catalog:
    """Every text of the program; for a room, what its modules and templates say."""
    methods = (("**.py", in_module), ("**.html", "jinja2.ext:babel_extract"), ("**.typ", in_sheet))
    found = Catalog()
    for __, __, text, __, context in extract_from_dir(folder, methods, keywords=KEYWORDS):
        if _has_words(text):
            found.add(text, context=context)
    for text in written_down() if folder == SOURCE else ():
        if _has_words(text):
            found.add(text)
    return found


def _has_words(text: str | tuple[str, ...]) -> bool:
    """Whether there is anything to translate besides the fields."""
    whole = text if isinstance(text, str) else "".join(text)
    return any(map(str.isalpha, re.sub(r"\{\w[^}]*\}", "", whole)))


def in_module(file: BinaryIO, keywords: Any, tags: Any, options: Any) -> Iterator[Found]:
    """What a Python module says; ValueError for a text that is put together where it is said."""
    for node in ast.walk(ast.parse(file.read())):
        if not isinstance(node, ast.Call) or not node.args:
            continue
        name = getattr(node.func, "attr", getattr(node.func, "id", ""))
        if name in KEYWORDS:
            first, *others = node.args[: len(KEYWORDS[name])]
            for one in _either(first):
                yield node.lineno, name, tuple(map(_literal, (one, *others))), []


def _either(arg: ast.expr) -> list[ast.expr]:
    """What an argument may be."""
    return [*_either(arg.body), *_either(arg.orelse)] if isinstance(arg, ast.IfExp) else [arg]


def _literal(arg: ast.expr) -> str | None:
    if isinstance(arg, ast.JoinedStr | ast.BinOp):
        raise ValueError(f"{ast.unparse(arg)}: a catalogue knows no text that is put together")
    return arg.value if isinstance(arg, ast.Constant) and isinstance(arg.value, str) else None


def in_sheet(file: BinaryIO, keywords: Any, tags: Any, options: Any) -> Iterator[Found]:
    """What a template of a sheet says."""
    for text in words_of(file.read().decode()):
        yield 1, "_", (text,), []


def written_down() -> Iterator[str]:
    """The words of the order, of tables of facts, and of names that are told as they are."""
    for key in declared_keys():
        for words in (key.meaning, key.default, key.kind.expects):
            yield from _parts(words)
    for kind, item in TYPES.items():
        if kind is not ItemKind.SOCK:  # A pair has no form of this kind.
            yield from _in_a_form(item.grammar)
    for module in (order_model, machine):
        yield from _choices(module)
    yield from order_model.YARN_ROLES
    for name in TOLD_FACTS:
        yield from (each.source for each in table(name).values())
    for name in NAMED_FACTS:
        yield from table(name)
    for measure in foot_measures().values():
        yield from _of_a_foot(measure)
    yield from (*Section, *ItemKind, *example_texts())


def _of_a_foot(measure: Measure) -> Iterator[str]:
    """What a measure is called, in the drawings too, and where it comes from."""
    yield from (measure.label, measure.short, *(one.name for one in measure.drawn.values()))
    yield from (one.source for one in measure.swells.values())
    if measure.adults is not None:
        yield from (measure.adults.survey, measure.adults.note)


def _in_a_form(table: Table) -> Iterator[str]:
    """What a form calls the keys of a table and its rows."""
    for __, one in declared(table):
        yield from (str(one.label), str(one.more))


TOLD_FACTS = ("constants", "fabrics", "fibres", "fit", "gauge", "measuring", "pace")
"""Tables of facts whose sources explanations tell."""
NAMED_FACTS = ("colours", "fibres")
"""Tables of facts whose names people type and read."""


def _choices(module: ModuleType) -> Iterator[str]:
    for thing in vars(module).values():
        if isinstance(thing, type) and issubclass(thing, StrEnum) and thing is not StrEnum:
            yield from thing


def _parts(words: str) -> Iterator[str]:
    """The template of what is said and those of its parts; a plain text as it is."""
    if not isinstance(words, Message):
        yield words
        return
    yield words.template
    for value in words.values.values():
        if isinstance(value, Message):
            yield from _parts(value)


def renewed(language: str, found: Catalog, *, clean: bool = False) -> str:
    """The catalogue of a language, brought up to date."""
    new = catalogue(language)
    new.update(found, no_fuzzy_matching=True)
    if clean:
        new.obsolete.clear()
    for message in (*new, *new.obsolete.values()):
        message.flags.clear()
    written = BytesIO()
    write_po(written, new, width=100, omit_header=True, sort_output=True)
    return HEADER.format(language=language) + written.getvalue().decode("utf-8").lstrip()


def catalogue(language: str) -> Catalog:
    """The catalogue as it is."""
    with (WORDS / f"{language}.po").open("rb") as file:
        return read_po(file, locale=language)


def main(arguments: list[str]) -> int:
    """Renew the catalogues, or check them."""
    found, stale = texts(), []
    for language in LANGUAGES:
        path = WORDS / f"{language}.po"
        if language == "en":
            continue
        text = renewed(language, found, clean="--clean" in arguments)
        if text != path.read_text(encoding="utf-8"):
            stale.append(path.name)
            if "--check" not in arguments:
                path.write_text(text, encoding="utf-8")
    for name in stale if "--check" in arguments else ():
        print(f"{name} is stale: make words")
    return 1 if stale and "--check" in arguments else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
