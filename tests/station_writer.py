"""A standing process that starts writers without loading anything anew: to be killed, or not.

python station_writer.py reads lines [URL, NAME, MOST] in JSON. For each it forks a writer, and
says "ended CODE" when that has ended. A writer says "ready" and its process id, keeps up to MOST
pairs, each with all its parts in one transaction, and says the id of each pair after the write is
confirmed.
"""

from __future__ import annotations

import json
import os
import sys
import traceback
from zlib import crc32

from sqlalchemy.orm import configure_mappers

from sockwright.order.file import toml_text
from sockwright.workshop.order_exchange import Taken
from workshops import MACHINE, PERSON, YARN, workshop


def order(name: str) -> str:
    """An order no other order shares a part with."""
    return toml_text(
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
    """One line, in one write: a kill cannot cut it short."""
    os.write(sys.stdout.fileno(), f"{line}\n".encode())


def keep_pairs(url: str, name: str, most: int) -> None:
    """Write until stopped."""
    station = workshop(url)
    say(f"ready {os.getpid()}")
    for number in range(most):
        taken = station.import_order(order(f"{name} {number}"))
        assert isinstance(taken, Taken), taken
        say(taken.sock.id)


def be_a_writer(url: str, name: str, most: int) -> None:
    """Keep pairs, then end this process at once, as a fork must."""
    try:
        keep_pairs(url, name, most)
    except BaseException:
        traceback.print_exc()
        os._exit(1)
    os._exit(0)


def main() -> None:
    """Start one writer after the other, as the lines say."""
    configure_mappers()
    for line in sys.stdin:
        writer = os.fork()
        if writer == 0:
            be_a_writer(*json.loads(line))
        _, status = os.waitpid(writer, 0)
        say(f"ended {os.waitstatus_to_exitcode(status)}")


if __name__ == "__main__":
    main()
