"""Small files that once ate the machine, and what reading each of them takes.

`python hostile_files.py` reads all of them in one process and prints a line of JSON for each:
what became of it, and the memory at its peak so far.
"""

from __future__ import annotations

import json
import re
import resource
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from itertools import chain
from pathlib import Path
from unittest.mock import patch

from sockwright.errors import OrderError
from sockwright.grammar.bounds import TOO_MANY, beyond, most
from sockwright.i18n import Message
from sockwright.order.file import parse_order
from sockwright.workshop import backup as whole_file
from sockwright.workshop.answers import Problems
from sockwright.workshop.whole_stream import MOST_BYTES, Items, NotJson, TooMuch, outline

ORDER = """
[foot]
length = "24 cm"
[yarn.main]
fineness = "100 g / 360 m"
FIBRES
[machine]
turns = "carrier"
cylinders = CYLINDERS
"""
SWATCH = """
[[swatch]]
state = "washed"
needles = 60
wales = "30 in 10 cm"
"""
MB = 1_000_000
NOT_JSON = "not JSON"


def orders() -> dict[str, tuple[str, str]]:
    """Texts of orders by name, each with the limit, or the path of the list, that refuses it."""
    return {
        "a dotted key": ("a." * 20_000 + "a = 1", "key_parts"),
        "a dotted heading": ("[" + "a." * 20_000 + "a]", "key_parts"),
        "a dotted key with blanks": ("a . " * 20_000 + "a = 1", "key_parts"),
        "a dotted key of quoted parts": ('"a".' * 20_000 + "a = 1", "key_parts"),
        "a dotted key within": ("x = { " + "a." * 20_000 + "a = 1 }", "key_parts"),
        "one after strings": ('x = """\n"" \\""" """\n' + "a." * 20_000 + "a = 1", "key_parts"),
        "a long key": ("a" * 100_000 + " = 1", "word_characters"),
        "a long number": ("age = " + "9" * 100_000, "word_characters"),
        "a long number in sixteens": ("age = 0x" + "f" * 100_000, "word_characters"),
        "arrays within arrays": ("a = " + "[" * 20_000, "nesting"),
        "tables within tables": ("a = " + "{a=" * 12_000, "nesting"),
        "arrays beside arrays": ("a = [" + "[]," * 60_000 + "]", "values"),
        "tables beside tables": ("a = [" + "{}," * 60_000 + "]", "values"),
        "headings": ("[[a]]\n" * 30_000, "values"),
        "wrong keys": ("".join(f"k{n}=1\n" for n in range(16_000)), "problems_told"),
        "too long a text": ("#" * 200_001, "order_bytes"),
        "swatches": (order() + SWATCH * 2_000, "swatch"),
        "cylinders": (order(cylinders=str(list(range(12_000)))), "machine.cylinders"),
        "fibres": (with_fibres(10_000), "yarn.main.fibres"),
        "landmarks": (with_landmarks(9_000), "machine.landmarks"),
        "readings": (order() + SWATCH + many_courses(10_000), "swatch.courses"),
    }


def order(cylinders: str = "60", fibres: str = "") -> str:
    """A small order with a machine of its own."""
    return ORDER.replace("CYLINDERS", cylinders).replace("FIBRES", fibres)


def with_fibres(count: int) -> str:
    """An order with so many fibres."""
    return order(fibres=f"fibres = {{ {', '.join(f'f{n} = 0.1' for n in range(count))} }}")


def with_landmarks(count: int) -> str:
    """An order with so many landmarks."""
    return order() + "[machine.landmarks]\n" + "".join(f"m{n} = 3\n" for n in range(count))


def many_courses(count: int) -> str:
    """A line with so many counts."""
    return "courses = [" + '"39 in 10 cm",' * count + "]\n"


def wholes() -> dict[str, tuple[Callable[[], bytes], str]]:
    """Makers of files given in as a workshop by name, each with the limit that refuses it."""
    head = b'{"format": "sockwright workshop", "version": 1, "bench": '
    size = MOST_BYTES - 1_000
    return {
        "60 MB of arrays": (lambda: b"[]," * 20_000_000, "MOST_BYTES"),
        "arrays": (lambda: b"[" + b"[]," * (size // 3), NOT_JSON),
        "arrays as a list of things": (
            lambda: b"".join((head, b"[", b"[]," * (size // 3), b"[]]}")),
            "MOST_ITEMS",
        ),
        "arrays as one thing": (
            lambda: b"".join((head, b"[[", b"[]," * (size // 3), b"[]]]}")),
            "MOST_BRACKETS",
        ),
        "texts as one thing": (
            lambda: b"".join((head, b"[[", b'"aa",' * 900_000, b"1]]}")),
            "MOST_ITEM_BYTES",
        ),
        "texts in a few things": (
            lambda: b"".join((head, b"[", (b"[" + b'"aa",' * 500_000 + b"1],") * 11, b"1]}")),
            "MOST_VALUES",
        ),
        "texts": (lambda: b"".join((head, b"[", b'"aa",' * (size // 5), b"1]}")), "MOST_ITEMS"),
        "one text": (lambda: b"".join((head, b'"', b"a" * (size - 100), b'"}')), "MOST_ITEM_BYTES"),
        "lists within lists": (lambda: b"".join((head, b"[" * (size // 2))), "MOST_NESTING"),
        "a text without its end": (
            lambda: b"".join((head, b'"', b'\\"' * (size // 2 - 100))),
            NOT_JSON,
        ),
        "blanks": (lambda: b" " * size, NOT_JSON),
        "an order's dotted key": (lambda: b"a." * 90_000 + b"a = 1", NOT_JSON),
    }


def read_orders() -> Iterator[tuple[str, str]]:
    """What refused each order."""
    for name, (text, __) in orders().items():
        found = beyond(text)
        try:
            parse_order(text)
        except OrderError as error:
            yield name, found.limit if found else _limit_of(error)
        else:
            yield name, ""


def _limit_of(error: OrderError) -> str:
    lists = [
        problem.path.replace("[1]", "")
        for problem in error.problems
        if isinstance(problem.wrong, Message) and problem.wrong.template == TOO_MANY
    ]
    if not lists and len(error.problems) == most("problems_told") + 1:
        return "problems_told"
    return lists[0] if lists else str(error)


def read_wholes() -> Iterator[tuple[str, str]]:
    """What refused each file given in as a workshop."""
    for name, (make, __) in wholes().items():
        limits: list[str] = []
        with patch.object(whole_file, "outline", partial(outlined, limits)):
            answer = whole_file.read_whole(make())
        assert isinstance(answer, Problems), name
        assert len(answer.problems) == 1, name
        yield name, "".join(limits)


def outlined(limits: list[str], data: bytes) -> dict[str, Items | bytes]:
    """What stands in a file; the limit that refuses it is added to `limits`."""
    try:
        return outline(data)
    except (TooMuch, NotJson) as error:
        limits.append(error.limit if isinstance(error, TooMuch) else NOT_JSON)
        raise


def main() -> None:
    """Read all, and tell of each."""
    began = time.process_time()
    for name, limit in chain(read_orders(), read_wholes()):
        now = time.process_time()
        told = {"name": name, "limit": limit, "cpu_s": now - began, "peak_mb": peak_mb()}
        print(json.dumps(told))
        began = now


def peak_mb() -> float:
    """The most memory this process had. What getrusage tells on Linux may be that of the process
    which started this one."""
    if sys.platform == "darwin":
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / MB
    status = Path("/proc/self/status").read_text("ascii")
    kb = re.search(r"VmHWM:\s+(\d+) kB", status)
    assert kb is not None
    return int(kb[1]) / 1_000


if __name__ == "__main__":
    main()
