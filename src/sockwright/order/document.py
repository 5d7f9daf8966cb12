"""TOML text from a disk or a form: decoded, parsed, checked, its faults told in plain words."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from sockwright.errors import OrderError, Problem
from sockwright.grammar.bounds import beyond, most
from sockwright.grammar.declare import Fields
from sockwright.i18n import _, either
from sockwright.i18n.printable import shown_safely
from sockwright.machine import Machine
from sockwright.order.model import SockGiven

MOST_BYTES = most("order_bytes")
"""An order is a page or two; whatever is larger was picked by mistake."""

_POSITION = re.compile(r" *\(at (?:line (\d+), column (\d+)|(end of document))\)$")
_WRITTEN_SO = re.compile(r'^\s*(\[|[\w.\-"]+[ \t]*=)', re.MULTILINE)
"""A heading or a key with its sign: without any, a text is something else than an order."""
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_HINTS = (
    (
        "after a statement",
        _('one key a line; quantities stand in quotes, as in length = "25.1 cm"'),
    ),
    (
        "Invalid value",
        _(
            'quantities and words stand in quotes, as in length = "25.1 cm"; '
            "yes and no are written true and false"
        ),
    ),
    ("Cannot overwrite", _("give each key once")),
    ("Cannot declare", _("open each table once")),
    ("Cannot mutate", _("write everything about a table in one place")),
    ("Illegal character", _("close every quote on its own line")),
    ("Unterminated string", _("close every quote")),
    ("'='", _("write key = value")),
)


def read_document(path: Path, kind: str = "order") -> dict[str, Any]:
    """The TOML file at `path`, an order's or a machine's as `kind` says.

    OrderError, naming the path as it was given, if the file cannot be found, read, decoded or
    parsed.
    """
    name = _on_one_line(path)
    return parse_document(_decode(_read_bytes(path, kind), name, kind), name)


def parse_document(text: str, name: str) -> dict[str, Any]:
    """The TOML of `text`; OrderError with line and column, calling the text `name`.

    What goes beyond a limit of `facts/order_sizes.toml` is refused before it is parsed.
    """
    too_much = beyond(text)
    if too_much is not None:
        raise _refusal(name, too_much.wrong, too_much.right)
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except tomllib.TOMLDecodeError as error:
        if not _WRITTEN_SO.search(text):
            raise _refusal(name, *_something_else()) from error
        raise _refusal(name, _in_words(str(error)), _hint(str(error))) from error
    except RecursionError as error:
        raise _refusal(
            name, _("has arrays within arrays beyond all measure"), _("nest less")
        ) from error
    except ValueError as error:
        # tomllib lets through what a date or a very long number does to the types behind it.
        wrong = _("holds a date that is not in the calendar or a number of too many digits")
        raise _refusal(name, wrong, _("write dates as 2025-11-03")) from error


def _something_else() -> tuple[str, str]:
    """What is wrong with a text that is no order at all, and what one is."""
    return (
        _('has no heading such as [foot] and no line such as length = "25.1 cm"'),
        _(
            "give an order file: a text that names wearer, foot, yarn and machine so; the page of "
            "a pair gives one out, and so does 'sockwright order new'"
        ),
    )


def _read_bytes(path: Path, kind: str) -> bytes:
    name, right = _on_one_line(path), _("give the path of {file}", file=_a_file(kind))
    try:
        if path.is_dir():
            raise _refusal(name, _("is a folder"), right)
        if not path.exists():
            raise _refusal(name, _("is not there"), right)
        if not path.is_file():
            raise _refusal(name, _("is not a file"), right)
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise _refusal(
            name, _("cannot be read ({reason})", reason=error.strerror), right
        ) from error
    if len(data) > MOST_BYTES:
        raise _refusal(name, _("is far too large for {kind}", kind=_a(kind)), right)
    return data


def _decode(data: bytes, name: str, kind: str) -> str:
    as_utf_8 = _("save it as plain text in UTF-8")
    if data.startswith(_UTF_16):
        raise _refusal(name, _("is text in UTF-16"), as_utf_8)
    if b"\0" in data:
        raise _refusal(name, _("is not a text file"), _("give {file}", file=_a_file(kind)))
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        wrong = _("line {line} holds a character that is not in UTF-8", line=line)
        raise _refusal(name, wrong, as_utf_8) from error


def _a_file(kind: str) -> str:
    if kind == "order":
        return _("an order file, such as my-order.toml")
    return _("a machine file, such as my-machine.toml")


def _a(kind: str) -> str:
    return _("an order") if kind == "order" else _("a machine")


def _on_one_line(path: Path) -> str:
    return shown_safely(str(path))


def _refusal(name: str, wrong: str, right: str) -> OrderError:
    return OrderError((Problem(name or _("the order"), wrong, right),))


def _in_words(message: str) -> str:
    found = _POSITION.search(message)
    if found is None:
        return _("is not TOML ({message})", message=message)
    reason = message[: found.start()]
    if found[3]:
        return _("stops before it is complete ({reason})", reason=reason)
    return _(
        "line {line}, column {column} is not TOML ({reason})",
        line=found[1],
        column=found[2],
        reason=reason,
    )


def _hint(message: str) -> str:
    for part, hint in _HINTS:
        if part in message:
            return hint
    return _("see the reference of the order file for how it is written")


FEWEST_RAISED = 2
"""Needles a cup must raise to be one: one at each end."""


def check_together(fields: Fields) -> None:
    """Note what the sound parts of an order say against each other."""
    machine, sock = fields.get("machine"), fields.get("sock")
    _check_roles(fields)
    if machine is not None and sock is not None and machine.cylinders:
        _check_cylinder(machine, sock, fields)
        _check_kept(machine, sock, fields)


def _check_roles(fields: Fields) -> None:
    """Swatches and finished socks are of yarns that the order has."""
    roles = fields.said.get("yarn")
    if not isinstance(roles, Mapping):
        return
    # A yarn that is there but wrong has its own problem already.
    for part in ("swatch", "finished"):
        given: tuple[Any, ...] = fields.get(part, ())
        for i, one in enumerate(given, 1):
            if one is not None and one.yarn not in roles:
                fields.place.at(part).item(i).at("yarn").say(
                    _('is "{yarn}", but the order has no such yarn', yarn=one.yarn),
                    _("add [yarn.{yarn}], or name a yarn of the order", yarn=one.yarn),
                )


def _check_cylinder(machine: Machine, sock: SockGiven, fields: Fields) -> None:
    counts = [cylinder.needles for cylinder in machine.cylinders]
    if sock.needles is not None and sock.needles not in counts:
        fields.place.at("sock").at("needles").say(
            _("is {needles}, but the machine has no such cylinder", needles=sock.needles),
            _("give {counts}", counts=either([str(count) for count in counts])),
        )


def _check_kept(machine: Machine, sock: SockGiven, fields: Fields) -> None:
    needles = sock.needles or max(cylinder.needles for cylinder in machine.cylinders)
    most = needles // 2 - FEWEST_RAISED
    toe = sock.toe.cup.kept if sock.toe.cup else None
    asked = (
        ("heel", "kept", sock.heel.cup.kept),
        ("heel", "deep_kept", sock.heel.deep_kept),
        ("toe", "kept", toe),
    )
    for part, key, kept in asked:
        if kept is not None and kept > most:
            fields.place.at("sock").at(part).at(key).say(
                _(
                    "is {kept}, too many of the {needles} needles of the half",
                    kept=kept,
                    needles=needles // 2,
                ),
                _("give {most} at the most", most=most),
            )
