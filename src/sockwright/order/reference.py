"""The reference of every key of the order file, and the text of a new order.

`python -m sockwright.order.reference docs/order.md` renews the tables between the two marks.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from sockwright.facts import table
from sockwright.grammar.bounds import most
from sockwright.grammar.declare import Either, FieldType, Key, Many, Names, Table
from sockwright.order.file import order_table
from sockwright.order.machine_part import FILE, MACHINE, MachinePart

BEGIN, END = "<!-- keys -->", "<!-- end of keys -->"
BEGIN_SIZES, END_SIZES = "<!-- sizes -->", "<!-- end of sizes -->"

SIZES = {
    "order_bytes": "bytes of the file",
    "values": "values, tables and arrays in the file",
    "nesting": "brackets within brackets",
    "key_parts": "parts of a dotted key",
    "word_characters": "characters of a key or number without quotes",
    "problems_told": "problems listed at once",
    "swatches": "swatches of an order, or of a pair in the workshop",
    "readings": "readings of one kind of a swatch",
    "finished": "finished socks of an order",
    "cylinders": "cylinders of a machine",
    "fibres": "fibres of a yarn",
    "landmarks": "landmarks of a machine",
    "log_entries": "entries of what happened to a pair, in the workshop",
}
"""What each limit of `facts/order_sizes.toml` is the most of."""


def known_keys() -> tuple[str, ...]:
    """Every key by its path, such as "foot.left.length"; "*" is a name of the maker's own."""
    return tuple(path for path, _ in _walk("", order_table(())))


def declared_keys() -> tuple[Key, ...]:
    """Every key's declaration, in the same order."""
    return tuple(key for _, key in _walk("", order_table(())))


def key_tables() -> str:
    """The reference in Markdown: one heading and one table of keys for each table of the file."""
    rows: dict[str, list[str]] = {}
    for path, key in _walk("", order_table(())):
        heading, _, name = path.rpartition(".")
        rows.setdefault(heading, []).append(_row(name, key))
    # Tables with the same keys, such as those of the yarns, share one section.
    headings: dict[str, list[str]] = {}
    for heading, lines in rows.items():
        headings.setdefault("\n".join(lines), []).append(heading)
    return "\n".join(_section(titles, lines) for lines, titles in headings.items())


def size_table() -> str:
    """How much an order may hold of each thing, in Markdown; KeyError for a limit without words."""
    rows = [f"| {SIZES[name]} | {most(name)} |" for name in table("order_sizes")]
    return "\n".join(["| what | at most |", "| --- | --- |", *rows, ""])


def renewed(page: str) -> str:
    """The page with the tables between its marks made anew; ValueError if it has no marks."""
    page = _between(page, BEGIN_SIZES, size_table(), END_SIZES)
    return _between(page, BEGIN, key_tables(), END)


def _between(page: str, begin: str, tables: str, end: str) -> str:
    before, begins, rest = page.partition(begin)
    _, ends, after = rest.partition(end)
    if not begins or not ends:
        raise ValueError(f"the page has no {begin} and {end}")
    return f"{before}{begin}\n\n{tables}\n{end}{after}"


def _walk(prefix: str, table: Table) -> Iterator[tuple[str, Key]]:
    for key in table.keys:
        path = f"{prefix}.{key.name}" if prefix else key.name
        yield path, key
        yield from _below(path, key.kind)


def _below(path: str, kind: FieldType) -> Iterator[tuple[str, Key]]:
    if isinstance(kind, Many):
        yield from _below(path, kind.one)
    elif isinstance(kind, Either):
        yield from _walk(path, kind.table)
    elif isinstance(kind, Table):
        yield from _walk(path, kind)
    elif isinstance(kind, MachinePart):
        yield f"{path}.{FILE.name}", FILE
        yield from _walk(path, MACHINE)
    elif isinstance(kind, Names):
        yield f"{path}.*", Key("*", kind.one, "a name of your own", "none")


def _section(headings: list[str], rows: str) -> str:
    title = ", ".join(f"`[{heading}]`" if heading else "The order itself" for heading in headings)
    head = "| key | meaning | what to write | without it |\n| --- | --- | --- | --- |"
    return f"### {title}\n\n{head}\n{rows}\n"


def _row(name: str, key: Key) -> str:
    default = "required" if key.needed else key.default
    cells = (f"`{name}`", key.meaning, key.kind.expects, default)
    return "| " + " | ".join(str(cell).replace("|", "\\|") for cell in cells) + " |"


def main(path: str) -> None:
    """Renew the tables in the page at `path`."""
    page = Path(path)
    page.write_text(renewed(page.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])


TEMPLATE = """\
# An order for a pair of socks. Everything here is an example: write your own over it.
# Lines that begin with # are asleep; take the # away to use them. All keys: docs/order.md.
# Quantities stand in quotes with their unit: "24.5 cm", "9 5/8 in", "100 g".

title = "Socks for the winch operator"
units = "cm"                          # the sheets' units: "cm" or "in"

[wearer]
name = "winch operator"
sex = "woman"                         # "woman", "man" or "either": fills what you did not measure
# age = 8                             # for children
# shoe_size = "EU 38"                 # if you cannot measure the foot
# stature = "168 cm"
# weight = "64 kg"

[foot]                                # standing, barefoot; what you leave out is estimated
length = "24.2 cm"                    # back of the heel to the tip of the longest toe
ball_girth = "22.4 cm"                # round the ball of the foot
# heel_girth = "30.6 cm"              # round the tip of the heel and the bend of the ankle
# ankle_girth = "21 cm"               # round the leg at its thinnest
# calf_girth = "36 cm"                # for knee socks
# traced_with = "7 mm"                # if you traced the foot: the thickness of the whole pencil,
                                      # held upright, not of its lead

# [foot.left]                         # what differs in the left foot ([foot.right] likewise)
# length = "24.5 cm"

[yarn.main]
name = "four-ply sock yarn"
fineness = "100 g / 400 m"            # from the label
fibres = { wool = "75 %", nylon = "25 %" }
on_hand = "100 g"                     # for the pair

# [yarn.heel]                         # also cuff, toe, waste and cord
# name = "heel yarn"
# fineness = "100 g / 420 m"

[machine]
# file = "machines/my-machine.toml"   # or keep the machine in a file and leave out the rest
name = "my machine"
turns = "carrier"                     # which part goes round: "carrier" or "cylinder"
cylinders = [60, 72]                  # the needles of each cylinder
# cylinders = [60, { needles = 72, dial = "half" }]  # instead, if the 72 have a ribber's dial:
                                      # "half", "two-thirds" or "full"
# forward = "clockwise"               # seen from above, if not anticlockwise: which way the next
                                      # needle to knit lies when you crank forward

[machine.counter]
counts = "rounds"                     # "rounds", "handle turns" or "passes"
# handle_turns_per_round = 2          # if one turn of the handle is not one round
restarts = true                       # false if you let it run on from section to section

# Measure a swatch off the machine, rested, washed and dried as the sock will be.
# Every reading helps; one is enough. Without a swatch the gauge is estimated from the yarn.
[[swatch]]
name = "first swatch"
state = "washed"                      # "on the machine", "rested" or "washed"
needles = 60                          # the cylinder it was knitted on
# cam = 14                            # the stitch-cam setting it was knitted at
wales = ["31 in 10 cm", "30.5 in 10 cm"]
courses = ["40 in 10 cm", "40.5 in 10 cm"]
# unravelled = { rounds = 10, length = "8 m" }
# flat_width = "9.8 cm"               # the whole tube laid flat
# stretch = { relaxed = "9.8 cm", stretched = "14.5 cm" }

[sock]
# needles = 72                        # the cylinder; without it the best is chosen
drape = "middle"                      # "soft", "middle" or "firm"

[sock.cuff]
kind = "hung hem"                     # "picot hem", "mock-rib hem", "true rib", "rolled edge"
depth = "3 cm"
# kind = "true rib"                   # instead, on a cylinder with a dial
# rib = "3x1"                         # of a true rib: wales knit x wales purl
# remainder = "home"                  # where needles left over by the rib are knitted plain:
                                      # "home" or "halfway"; without it they are refused

[sock.leg]
height = "20 cm"                      # from the floor to the top of the sock

[sock.heel]
kind = "short row"                    # or "afterthought"; "none" for a tube sock

[sock.toe]
closing = "graft"                     # or "gather"

# [sock.ease]                         # how much smaller than the foot the relaxed sock is
# girth = "10 %"
# length = "4 %"
"""


def new_order() -> str:
    """The text of a new order; it can be planned as it stands."""
    return TEMPLATE
