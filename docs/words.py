"""Brings the catalogues of words up to date with the texts of the program.

`python docs/words.py` renews every `src/sockwright/words/*.po`: new texts come in untranslated,
translations are kept, and those of texts that are gone stay as comments until `--clean`. With
`--check` nothing is written, and stale catalogues are named. The result depends on the texts alone.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterable, Iterator
from enum import StrEnum
from io import BytesIO
from pathlib import Path
from types import ModuleType

from babel.messages.catalog import Catalog, Message  # noqa: TID253
from babel.messages.pofile import read_po, write_po  # noqa: TID253

from sockwright.facts import table
from sockwright.machine import model as machine_model
from sockwright.measure.foot_measures import MEASURES
from sockwright.order import model as order_model
from sockwright.order.reader import Table
from sockwright.order.reference import declared_keys
from sockwright.sheets.template_words import template_names, words_of
from sockwright.steps import Section
from sockwright.store.items import ItemKind
from sockwright.web.forms.labels import declared
from sockwright.words import LANGUAGES, Said
from sockwright.workshop.fields import STATUSES
from sockwright.workshop.kinds import TYPES

SOURCE = Path(__file__).parent.parent / "src" / "sockwright"
WORDS = SOURCE / "words"
TEMPLATES = SOURCE / "web" / "templates"
ONE = {"said", "phrase", "tell", "sentence", "_", "gettext"}
"""Functions whose first argument is a text of the catalogue."""
MANY = {"said_of", "tell_of", "ngettext"}
"""Functions whose first two arguments are a text for one and one for many."""
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

Text = str | tuple[str, str]
"""A text of the catalogue, or one for one and one for many."""


def texts() -> list[Text]:
    """Every text of the program, sorted; a text that also has a plural stands once, with it."""
    found = {
        *in_modules(SOURCE.rglob("*.py")),
        *in_pages(TEMPLATES.rglob("*.html")),
        *in_the_order(),
        *in_the_facts(),
        *(name.replace("_", " ") for name in MEASURES),
        *(section.value for section in Section),
        *(kind.value for kind in ItemKind),
        *STATUSES,
        *(text for name in template_names() for text in words_of(name)),
    }
    plural = {text[0] for text in found if isinstance(text, tuple)}
    kept = [text for text in found if isinstance(text, tuple) or text not in plural]
    return sorted((text for text in kept if _has_words(text)), key=_all)


def _has_words(text: Text) -> bool:
    """Whether there is anything to translate besides the fields."""
    return any(map(str.isalpha, re.sub(r"\{\w[^}]*\}", "", _all(text))))


def in_modules(paths: Iterable[Path]) -> Iterator[Text]:
    """What Python modules say."""
    for path in paths:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                yield from _in_call(node)


def _in_call(call: ast.Call) -> Iterator[Text]:
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    if name in ONE and call.args:
        yield from _literals(call.args[0])
    elif name in MANY:
        yield from zip(*map(_literals, call.args[:2]), strict=True)


def _literals(arg: ast.expr) -> list[str]:
    """The texts that an argument may be, as far as they stand there."""
    if isinstance(arg, ast.IfExp):
        return [*_literals(arg.body), *_literals(arg.orelse)]
    return [arg.value] if isinstance(arg, ast.Constant) and isinstance(arg.value, str) else []


def in_pages(paths: Iterable[Path]) -> Iterator[Text]:
    """What the templates of pages say."""
    from jinja2 import Environment

    environment = Environment(extensions=["jinja2.ext.i18n"])
    for path in paths:
        found = environment.extract_translations(path.read_text(encoding="utf-8"))
        for _, function, said in found:
            if function == "ngettext" and isinstance(said, tuple):
                yield str(said[0]), str(said[1])
            elif isinstance(said, str):
                yield said
            elif said[0] is not None:
                yield said[0]


def in_the_order() -> Iterator[Text]:
    """What the keys of an order mean and take, and the words to choose from."""
    for key in declared_keys():
        for words in (key.meaning, key.default, key.kind.expects):
            yield from _parts(words)
    for kind, item in TYPES.items():
        if kind is not ItemKind.SOCK:  # A pair has no form of this kind.
            yield from _in_a_form(item.grammar)
    for module in (order_model, machine_model):
        yield from _choices(module)
    yield from order_model.YARN_ROLES


def _in_a_form(table: Table) -> Iterator[Text]:
    """What a form calls the keys of a table and its rows."""
    for _, one in declared(table):
        yield from (str(one.label), str(one.more))


TOLD_FACTS = ("constants", "fibres", "fit", "gauge", "measuring", "pace")
"""Tables of facts whose sources explanations tell."""
NAMED_FACTS = ("colours", "fibres")
"""Tables of facts whose names people type and read."""


def in_the_facts() -> Iterator[str]:
    """The sources that explanations tell, and the names of fibres and colours."""
    for name in TOLD_FACTS:
        yield from (each.source for each in table(name).values())
    for name in NAMED_FACTS:
        yield from table(name)


def _choices(module: ModuleType) -> Iterator[str]:
    for thing in vars(module).values():
        if isinstance(thing, type) and issubclass(thing, StrEnum) and thing is not StrEnum:
            yield from (str(member) for member in thing)


def _parts(words: str) -> Iterator[str]:
    """The template of what is said and those of its parts; a plain text as it is."""
    if not isinstance(words, Said):
        yield words
        return
    yield words.template
    for value in words.values.values():
        if isinstance(value, Said):
            yield from _parts(value)


def renewed(language: str, found: Iterable[Text], *, clean: bool = False) -> str:
    """The catalogue of a language, brought up to date."""
    old = catalogue(language)
    new = Catalog(locale=language, header_comment="")
    for text in found:
        known = old.get(text if isinstance(text, str) else text[0])
        new[text if isinstance(text, str) else text[0]] = Message(text, _kept(text, known))
    gone = {} if clean else {**old.obsolete, **{_first(one): one for one in old if one.id}}
    for id, message in sorted(gone.items()):
        if id not in new and any(_strings(message)):
            new.obsolete[id] = Message(message.id, message.string)
    for message in (*new, *new.obsolete.values()):
        message.flags.clear()
    written = BytesIO()
    write_po(written, new, width=100, omit_header=True, sort_output=True)
    return HEADER.format(language=language) + written.getvalue().decode("utf-8").lstrip()


def catalogue(language: str) -> Catalog:
    """The catalogue as it is."""
    with (WORDS / f"{language}.po").open("rb") as file:
        return read_po(file, locale=language)


def _kept(text: Text, known: Message | None) -> str | tuple[str, str]:
    strings = () if known is None else _strings(known)
    if isinstance(text, str):
        return strings[0] if strings else ""
    return (strings[0], strings[-1]) if strings else ("", "")


def _strings(message: Message) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string,)


def _first(message: Message) -> str:
    return message.id if isinstance(message.id, str) else message.id[0]


def _all(text: Text) -> str:
    return text if isinstance(text, str) else "\0".join(text)


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
