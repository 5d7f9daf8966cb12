"""A sock at the machine as files for any device.

Its bench is one page with style, faces, scripts and data inside it; its log is what such a page
saves, and comes back.
"""

from __future__ import annotations

import json
import re
from base64 import b64encode
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from sockwright.bench.log import Entry
from sockwright.errors import Problem
from sockwright.i18n.messages import _, ngettext
from sockwright.web.context import RequestContext, static_folder
from sockwright.workshop.answers import Problems
from sockwright.workshop.bench import MOST_IN_FILE, RefusedEntry
from sockwright.workshop.workshop import Workshop

_IMPORT: Final = re.compile(r'^import\s*\{([^}]*)\}\s*from\s*"\./([\w.-]+)";[ \t]*$', re.MULTILINE)
_EXPORT: Final = re.compile(
    r"^export ((?:async )?function\*?|class|const) +([A-Za-z_$][\w$]*)", re.MULTILINE
)
_NOTE: Final = re.compile(r"^[ \t]*/\*\*.*?\*/[ \t]*\n", re.MULTILINE | re.DOTALL)
"""A comment over some lines: types and remarks, which no device needs."""
_LEFT: Final = re.compile(r"^\s*(import|export)\b(?!\s*[:,)=])", re.MULTILINE)

STYLES: Final = ("style.css", "bench/bench.css")
SCRIPTS: Final = "bench"
ENTRY: Final = "bench.js"

_FACE: Final = re.compile(r'url\("([\w-]+\.woff2)"\)')

WHERE: Final = _("the log")
"""The path of a problem with a whole saved log."""

WHAT: Final = "sockwright bench log"
VERSION: Final = 1

USUAL: Final = {"by": 0, "of": "", "at": 0, "text": ""}
"""What an entry of a saved log may leave out."""


class CannotBundle(ValueError):
    """Modules that are written in a way this does not understand."""


def bundled(modules: Mapping[str, str], entry: str) -> str:
    """One script out of the module `entry` and all it imports; `modules` are sources by file name.

    Each module has a scope of its own, and comes after those it imports. CannotBundle, naming the
    module, for what is not understood.
    """
    order: list[str] = []
    _visit(modules, entry, order, ())
    places = {name: f"m{place}" for place, name in enumerate(order)}
    script = "\n".join(_scoped(name, modules[name], places) for name in order)
    if "</script" in script.lower() or "<!--" in script:
        raise CannotBundle(f"{entry}: what would end a script in a page stands in it")
    return f'"use strict";\n{script}'


def _visit(modules: Mapping[str, str], name: str, order: list[str], above: tuple[str, ...]) -> None:
    if name in order:
        return
    if name in above:
        raise CannotBundle(f"{name} imports itself, by way of {' and '.join(above)}")
    if name not in modules:
        raise CannotBundle(f"{above[-1] if above else 'the page'} imports {name}, which is missing")
    for __, needed in _IMPORT.findall(modules[name]):
        _visit(modules, needed, order, (*above, name))
    order.append(name)


def _scoped(name: str, source: str, places: Mapping[str, str]) -> str:
    """A module as a function's body, whose value is what it exports."""
    exports = [found for _, found in _EXPORT.findall(source)]

    def taken(match: re.Match[str]) -> str:
        names = ", ".join(map(_renamed, filter(None, re.split(r"\s*,\s*", match[1].strip()))))
        return f"const {{ {names} }} = {places[match[2]]};"

    body = _EXPORT.sub(r"\1 \2", _IMPORT.sub(taken, _NOTE.sub("", source)))
    left = _LEFT.search(body)
    if left is not None:
        line = body[left.start() :].strip().partition("\n")[0]
        raise CannotBundle(f"{name}: {line!r} is not understood")
    return f"const {places[name]} = (() => {{\n{body}\nreturn {{ {', '.join(exports)} }};\n}})();"


def _renamed(name: str) -> str:
    """`a as b` as a pattern has it."""
    return ": ".join(re.split(r"\s+as\s+", name))


@dataclass(frozen=True)
class Inside:
    """What stands within the page itself; `policy` lets it use that, and ask nobody for more."""

    style: str
    script: str
    policy: str


def bench_file(context: RequestContext, values: Mapping[str, Any]) -> str:
    """The page that the context makes, with nothing left outside it."""
    return context.text("bench.html", inside=inside(static_folder()), **values)


def inside(folder: Path) -> Inside:
    """Style, scripts and policy of the page out of the static files in `folder`."""
    style = "\n".join((folder / name).read_text(encoding="utf-8") for name in STYLES)
    style = _FACE.sub(lambda found: f'url("{_data(folder / found[1])}")', style)
    modules = {path.name: path.read_text(encoding="utf-8") for path in _modules(folder)}
    script = bundled(modules, ENTRY)
    policy = "; ".join(
        (
            "default-src 'none'",
            f"script-src {_hash(script)}",
            f"style-src {_hash(style)}",
            "font-src data:",
            "img-src data:",
            "form-action 'none'",
            "base-uri 'none'",
        )
    )
    return Inside(style, script, policy)


def _modules(folder: Path) -> list[Path]:
    return sorted((folder / SCRIPTS).glob("*.js"))


def _data(file: Path) -> str:
    return f"data:font/woff2;base64,{b64encode(file.read_bytes()).decode()}"


def _hash(text: str) -> str:
    """What a policy calls the text of an element by."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


def log_file(entries: Iterable[Entry], id: str, which: str) -> bytes:
    """The log of one sock of a pair, an entry a line."""
    lines = ",\n".join(json.dumps(_short(one), ensure_ascii=False) for one in entries)
    head = json.dumps({"what": WHAT, "version": VERSION, "sock": id, "which": which})
    return f'{head[:-1]}, "entries": [\n{lines}\n]}}\n'.encode()


def _short(entry: Entry) -> dict[str, Any]:
    return {name: value for name, value in asdict(entry).items() if USUAL.get(name) != value}


@dataclass(frozen=True)
class TakenLog:
    """What became of a saved log, in words, and the entries that were left out of it."""

    told: str
    refused: tuple[RefusedEntry, ...] = ()
    any: bool = True


def take_log(shop: Workshop, id: str, which: str, text: str) -> TakenLog | Problems:
    """Add what a saved log holds to that of the sock, all but the entries that cannot be kept.

    Problems, with nothing taken, for what is no log of this sock.
    """
    entries = _entries(text, id, which)
    if isinstance(entries, Problem):
        return Problems((entries,))
    known = len(shop.bench_log(id, which))
    added = shop.add_to_bench_log(id, which, entries, MOST_IN_FILE)
    if isinstance(added, Problems):
        return added
    return TakenLog(_told(len(added.log) - known), added.refused, added.taken > 0)


def _told(new: int) -> str:
    if not new:
        return _("This log was imported before.")
    return ngettext("Log imported: {n} new entry.", "Log imported: {n} new entries.", new)


def _entries(text: str, id: str, which: str) -> list[Any] | Problem:
    try:
        given = json.loads(text)
    except (ValueError, RecursionError):
        return _problem(_("is not a saved log"), _("give all of it, as the counting page wrote it"))
    log = given if isinstance(given, dict) else {"entries": given}
    if log.get("what", WHAT) != WHAT or not isinstance(log.get("entries"), list):
        return _problem(_("is not a log"), _("give the log of a sock"))
    if log.get("version", VERSION) != VERSION:
        return _problem(_("was written by a newer Sockwright"), _("update Sockwright first"))
    if log.get("sock", id) != id:
        return _problem(_("is of another pair"), _("import it on that pair's page"))
    if log.get("which", which) != which:
        return _problem(_("is of the other sock of this pair"), _("import it on that sock's page"))
    entries: list[Any] = log["entries"]
    return entries


def _problem(wrong: str, right: str) -> Problem:
    return Problem(WHERE, wrong, right)
