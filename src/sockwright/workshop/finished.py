"""The finished socks of a machine, as the next order tells them: what they measure against what
they were, and how they fit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from sockwright.grammar.declare import Fields, Place
from sockwright.grammar.values import LONGEST_TEXT
from sockwright.measure.belief import NAMES
from sockwright.order.finished import COUNTS
from sockwright.order.model import Fabric, State
from sockwright.quantities import parse_mass_g
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.fields import MADE, PLANNED
from sockwright.workshop.knitted import IN_A_SOCK, KnittedSock, knitted_socks, weighed_before
from sockwright.workshop.measured import MEASURED

MOST_PAIRS = 30
"""Finished pairs that an order tells of, the newest ones."""

COUNTED = tuple(key.name for key in COUNTS)

KEYS = {
    "foot": "foot_length",
    "leg": "leg_length",
    "flat_width": "flat_width",
    "leg_flat_width": "leg_flat_width",
    "mass": "mass",
}
"""What the sizes of a kept sock are called in an order."""

LIKELY = (0.75, 1.35)
"""A sock weighed by what was left of its yarn counts if it takes so many times the yarn that was
foretold: beyond that, something else was wound of the yarn."""


@dataclass(frozen=True, eq=False)
class FinishedSock:
    """One sock of a finished pair: what it was (`knitted`), and of what is written down of it the
    sizes that teach, as they were typed (`said`) and read (`sizes`, mm and g). `setting` is that of
    its foot, None where nobody knows; `number` is 1 or 2."""

    pair: Thing
    number: int
    knitted: KnittedSock
    said: Mapping[str, str]
    sizes: Mapping[str, float]
    date: str
    setting: float | None
    washes: int
    confirmed: bool
    answers: Mapping[str, str]

    def table(self, name: str, yarn: Mapping[str, Any], of_wearer: bool) -> dict[str, Any]:
        """The table of [[finished]]; `yarn` says what yarn it is of."""
        was = self.knitted
        foretold = {key: f"{getattr(was, key):.4f} mm" for key in NAMES}
        answers = dict(self.answers) if of_wearer else {}
        return {
            "name": name,
            **({"date": self.date} if self.date else {}),
            "needles": was.needles,
            **({} if self.setting is None else {"cam": self.setting}),
            **(yarn or {"fineness": f"{was.fineness.value:.6g} tex"}),
            **_counts(was),
            **({"loops": was.loops} if "mass" in self.said else {}),
            **{KEYS[key]: text for key, text in self.said.items()},
            **({"washes": self.washes} if self.washes != 1 else {}),
            **({"confirmed": True} if self.confirmed else {}),
            **({} if yarn else {"foretold": foretold}),
            **({"answers": answers} if answers else {}),
        }


def _counts(was: KnittedSock) -> dict[str, Any]:
    """Its fabric and its rounds and rows, without those that do not tell its courses."""
    counts = dict(was.counts)
    if not was.along:
        del counts["heel_rows"], counts["toe_rows"]
    if was.leg_fabric not in tuple(Fabric) or not was.straight:
        del counts["leg_rounds"]
        return counts
    return ({} if was.leg_fabric == Fabric.PLAIN else {"leg_fabric": was.leg_fabric}) | counts


def finished_tables(
    session: Session, machine: str, person: str, roles: Mapping[str, str]
) -> list[dict[str, Any]]:
    """The tables of [[finished]] for an order on a machine, the oldest first. Answers are told of
    the same person's socks alone. `roles` has the role of each yarn of the order, by its id."""
    found = []
    for socks in _by_pair(finished_socks(session, machine)):
        for sock in socks:
            pair = sock.pair
            role = roles.get(pair.fields["yarns"]["main"])
            yarn = {} if role is None else {"yarn": role}
            name = f"{pair.name[: LONGEST_TEXT - 2].strip()} {sock.number}"
            named = name if len(socks) > 1 else pair.name
            found.append(sock.table(named, yarn, pair.fields["person_id"] == person))
    return found


def _by_pair(socks: Sequence[FinishedSock]) -> list[list[FinishedSock]]:
    pairs: dict[str, list[FinishedSock]] = {}
    for sock in socks:
        pairs.setdefault(sock.pair.id, []).append(sock)
    return list(pairs.values())


def finished_socks(session: Session, machine: str) -> tuple[FinishedSock, ...]:
    """What the finished pairs of a machine tell, the oldest first: of the newest `MOST_PAIRS` that
    are not deleted."""
    made = kept.listed(session, ItemKind.SOCK, machine_id=machine, status=MADE)
    newest = sorted(filter(tells, made), key=_age)[-MOST_PAIRS:]
    return socks_of(session, newest)


def socks_of(session: Session, pairs: Sequence[Thing]) -> tuple[FinishedSock, ...]:
    """What some finished pairs tell, sock by sock."""
    if not pairs:
        return ()
    logged = kept.counted_socks(session)
    yarns = {yarn for pair in pairs if pair.fields["left"] for yarn in _yarns(pair)}
    others = kept.pairs_of_yarns(session, yarns) if yarns else ()
    return tuple(sock for pair in pairs for sock in _told(session, pair, others, pair.id in logged))


def _yarns(pair: Thing) -> set[str]:
    return set(pair.fields["yarns"].values())


def tells(pair: Thing) -> bool:
    """Whether a pair is finished, not deleted, and something is written down of it."""
    made = pair.fields["status"] == MADE and not pair.deleted
    return made and bool(pair.fields["measured"])


def _age(pair: Thing) -> tuple[str, str]:
    changed = pair.state.changed.isoformat()
    return str(pair.fields["measured"].get("date", changed)), changed


def _told(
    session: Session, pair: Thing, pairs: Sequence[Thing], logged: bool
) -> Iterator[FinishedSock]:
    """What a finished pair tells, by sock; `pairs` are all that may have used its yarns."""
    read = MEASURED.read(pair.fields["measured"], Place("", []))
    socks = knitted_socks(session, pair, logged)
    if not isinstance(read, Fields) or not socks:
        return
    said, second = dict(read.said), read.said.get("second", {})
    answers = said.get("answers", {})
    assert isinstance(second, Mapping)
    assert isinstance(answers, Mapping)
    if read.get("state") is not State.WASHED or read.get("washes", 1) == 0:
        said, second = {}, {}
    elif not {"mass"} & {*said, *second} and (mass := _by_what_is_left(pair, socks, pairs)):
        said["mass"] = f"{mass:.6g} g"
    counted = {name: read.get(name) for name in COUNTED if name in read.values}
    for number, (was, sizes) in enumerate(zip(socks, (said, second), strict=True), 1):
        own = was.as_counted(counted)
        counts = {key: str(sizes[key]) for key in KEYS if key in sizes and _may_tell(key, own)}
        if counts or (answers and number == 1):
            yield FinishedSock(
                pair,
                number,
                own,
                counts,
                _sizes(counts),
                read.get("date", ""),
                read.get("cam", own.cam),
                read.get("washes", 1) or 1,
                read.get("confirmed", False),
                answers if number == 1 else {},
            )


def _sizes(said: Mapping[str, str]) -> dict[str, float]:
    """The sizes as numbers, mm and g."""
    read = MEASURED.read({"state": State.WASHED, **said}, Place("", []))
    return {key: read.values[key] for key in said}


def _may_tell(size: str, was: KnittedSock) -> bool:
    """Whether a size tells anything of the fabric."""
    if size in ("leg", "leg_flat_width"):
        return was.straight and was.leg_fabric in tuple(Fabric)
    if size in ("foot", "flat_width"):
        return was.plain
    return was.one_yarn


def _by_what_is_left(
    pair: Thing, socks: Sequence[KnittedSock], pairs: Sequence[Thing]
) -> float | None:
    """What one sock of the pair weighs, g, by what its yarns weighed before and after; None where
    that is not told of every yarn, or something else may have been knitted of one meanwhile."""
    before, left, yarns = weighed_before(pair), pair.fields["left"] or {}, pair.fields["yarns"]
    own = {r for r in IN_A_SOCK if r in yarns and (r == "main" or yarns[r] != yarns["main"])}
    if not own <= before.keys() & left.keys() or len({yarns[role] for role in own}) < len(own):
        return None
    for other in pairs:
        begun = other.id != pair.id and other.fields["status"] != PLANNED
        if begun and _same_weighing(other, {yarns[role]: before[role] for role in own}):
            return None
    used = sum(before[role] - parse_mass_g(left[role]) for role in own) / 2
    least, most = LIKELY
    return used if all(least < used / sock.mass < most for sock in socks) else None


def _same_weighing(other: Thing, before: Mapping[str, float]) -> bool:
    """Whether another pair was planned by the same weighing of one of the yarns."""
    used = other.fields["yarns"]
    if not before.keys() & set(used.values()):
        return False
    theirs = weighed_before(other)
    return any(before.get(used[role]) == mass for role, mass in theirs.items() if role in used)
