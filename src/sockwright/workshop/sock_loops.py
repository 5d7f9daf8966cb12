"""What finished socks tell of the stitch cam: the yarn in a loop at the setting of the foot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import exp, sqrt

from sqlalchemy.orm import Session

from sockwright.estimates import Estimate
from sockwright.measure.finished import read_loop, read_wale
from sockwright.measure.from_socks import BALANCE_G, RULER_MM
from sockwright.measure.swatch import division
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.finished import FinishedSock, finished_socks


@dataclass(frozen=True)
class SockLoop:
    """A finished sock that was weighed: its `loop` is its mass over its loops and the fineness of
    its yarn, mm; `wale` is what its foot measured, mm, where that was measured. `stale` ones were
    finished before the machine's last service, or nobody knows when."""

    name: str
    pair: Thing
    yarn: Thing
    needles: int
    cam: float
    date: str
    loop: Estimate
    tex: Estimate
    wale: Estimate | None
    stale: bool


def sock_loops(session: Session, machine_id: str) -> tuple[SockLoop, ...]:
    """The finished socks of a machine that tell of its cam; `cam` and mass must be known."""
    serviced = kept.part(session, ItemKind.MACHINE, machine_id).fields.get("serviced") or ""
    return tuple(
        one
        for sock in finished_socks(session, machine_id)
        for one in _told(session, sock, serviced)
    )


def _told(session: Session, sock: FinishedSock, serviced: str) -> Iterator[SockLoop]:
    was, mass = sock.knitted, sock.sizes.get("mass")
    if mass is None or sock.setting is None or not was.straight:
        return
    tex = was.fineness
    reading = read_loop(0, 0, mass, was.loops, tex.value, division(BALANCE_G))
    loop, sd = exp(reading.value), sqrt(reading.variance + (tex.sd / tex.value) ** 2)
    yarn = kept.part(session, ItemKind.YARN, sock.pair.fields["yarns"]["main"])
    yield SockLoop(
        name=sock.pair.name,
        pair=sock.pair,
        yarn=yarn,
        needles=was.needles,
        cam=sock.setting,
        date=sock.date,
        loop=Estimate(loop, loop * sd, "mm"),
        tex=tex,
        wale=_wale(sock),
        stale=bool(serviced) and sock.date < serviced,
    )


def _wale(sock: FinishedSock) -> Estimate | None:
    width = sock.sizes.get("flat_width")
    if width is None:
        return None
    reading = read_wale(0, 0, width, sock.knitted.needles, division(RULER_MM))
    wale = exp(reading.value)
    return Estimate(wale, wale * sqrt(reading.variance), "mm")
