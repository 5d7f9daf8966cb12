"""ES modules that import each other, put into one script that needs no file beside it.

Only what our own modules use is understood: named imports of files beside them, and exports of
declarations; anything else is refused, never passed on.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

_IMPORT: Final = re.compile(r'^import\s*\{([^}]*)\}\s*from\s*"\./([\w.-]+)";[ \t]*$', re.MULTILINE)
_EXPORT: Final = re.compile(
    r"^export ((?:async )?function\*?|class|const) +([A-Za-z_$][\w$]*)", re.MULTILINE
)
_LEFT: Final = re.compile(r"^\s*(import|export)\b(?!\s*[:,)=])", re.MULTILINE)


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
    for _, needed in _IMPORT.findall(modules[name]):
        _visit(modules, needed, order, (*above, name))
    order.append(name)


def _scoped(name: str, source: str, places: Mapping[str, str]) -> str:
    """A module as a function's body, whose value is what it exports."""
    exports = [found for _, found in _EXPORT.findall(source)]

    def taken(match: re.Match[str]) -> str:
        names = ", ".join(map(_renamed, filter(None, re.split(r"\s*,\s*", match[1].strip()))))
        return f"const {{ {names} }} = {places[match[2]]};"

    body = _EXPORT.sub(r"\1 \2", _IMPORT.sub(taken, source))
    left = _LEFT.search(body)
    if left is not None:
        line = body[left.start() :].strip().partition("\n")[0]
        raise CannotBundle(f"{name}: {line!r} is not understood")
    return f"const {places[name]} = (() => {{\n{body}\nreturn {{ {', '.join(exports)} }};\n}})();"


def _renamed(name: str) -> str:
    """`a as b` as a pattern has it."""
    return ": ".join(re.split(r"\s+as\s+", name))
