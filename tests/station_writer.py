"""A process that writes without a pause, and says what was confirmed: to be killed, or not.

python station_writer.py URL NAME MOST  keeps up to MOST pairs, each with all its parts in one
transaction, and prints the id of each pair after the write is confirmed.
"""

from __future__ import annotations

import sys
from zlib import crc32

from sockwright.workshop.compose import written
from sockwright.workshop.order_exchange import Taken
from workshops import MACHINE, PERSON, YARN, workshop


def order(name: str) -> str:
    """An order no other order shares a part with."""
    return written(
        {
            "title": f"Socks for {name}",
            "wearer": {**PERSON["wearer"], "name": name},
            "foot": PERSON["foot"],
            "yarn": {"main": {**YARN, "name": name}},
            "machine": {**MACHINE, "name": name},
            "sock": {"leg": {"rounds": 60}, "needles": 60, "ease": {"girth": _share(name)}},
        }
    )


def _share(name: str) -> float:
    """A share of its own for every name, so that no design is found twice."""
    return 0.05 + crc32(name.encode()) / 2**32 / 20


def say(line: str) -> None:
    """One line, whole."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main(url: str, name: str, most: str) -> None:
    """Write until stopped."""
    station = workshop(url)
    say("ready")
    for number in range(int(most)):
        taken = station.import_order(order(f"{name} {number}"))
        assert isinstance(taken, Taken), taken
        say(taken.sock.id)


if __name__ == "__main__":
    main(*sys.argv[1:])
