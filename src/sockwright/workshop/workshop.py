"""The workshop: everything a user can do with what is kept, each in one call.

Reads see one moment. Writes are one transaction each; what is refused leaves nothing behind.
What is wrong with what a user gave comes back as `Problems`; Stale, NotKept and Busy are raised.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from sockwright.bench.follow import Following
from sockwright.bench.log import Entry
from sockwright.i18n.locale import ENGLISH, Locale
from sockwright.store import kept
from sockwright.store.damage import Damage
from sockwright.store.database import Database
from sockwright.store.items import ItemKind, State, Thing
from sockwright.store.models import references
from sockwright.workshop import (
    backup,
    bench,
    checking,
    example,
    gauge_memory,
    keeping,
    order_exchange,
    pairs,
    planning,
)
from sockwright.workshop.answers import (
    Choice,
    Composed,
    Planned,
    PlannedSock,
    Problems,
    Refused,
    Written,
)
from sockwright.workshop.backup import read_whole, write_whole
from sockwright.workshop.bench import MOST_ENTRIES, Added, read_entries
from sockwright.workshop.checking import misshapen
from sockwright.workshop.compose import compose, write_order
from sockwright.workshop.elsewhere import Elsewhere, choices_elsewhere, first_choices
from sockwright.workshop.lessons import Lessons, lessons_of
from sockwright.workshop.planning import Plans, keep_planned, swatch_order
from sockwright.workshop.printing import PAPERS, Press, SheetFile, sheet_files
from sockwright.workshop.sock_loops import SockLoop, sock_loops

if TYPE_CHECKING:
    from sockwright.order.model import Order
    from sockwright.plan.make import PairPlan

Clock = Callable[[], datetime]
"""Tells the moment, with its time zone."""


def _uuid() -> str:
    return str(uuid4())


class Workshop:
    """A workshop over an open database. `clock` is asked once for each write."""

    def __init__(self, database: Database, clock: Clock, new_id: Callable[[], str] = _uuid) -> None:
        self._database = database
        database.reads = misshapen
        self._clock = clock
        self._new_id = new_id
        self.press = Press()
        self.plans = Plans()

    # What is kept

    def things(self, kind: ItemKind, deleted: bool | None = False) -> tuple[Thing, ...]:
        """All things of a kind by name: not deleted, only deleted (True), or both (None)."""
        with self._database.reading() as session:
            return kept.listed(session, kind, deleted)

    def everything(
        self, deleted: bool | None = False, kinds: Iterable[ItemKind] = tuple(ItemKind)
    ) -> dict[ItemKind, tuple[Thing, ...]]:
        """All things of these kinds, as of `things`, at one moment: whatever one refers to is there
        (among the deleted, too: None)."""
        with self._database.reading() as session:
            return {kind: kept.listed(session, kind, deleted) for kind in kinds}

    def thing(self, kind: ItemKind, id: str) -> Thing:
        """One thing, deleted or not; NotKept if there is none."""
        with self._database.reading() as session:
            return kept.get(session, kind, id)

    def with_parts(self, kind: ItemKind, id: str) -> tuple[Thing, dict[str, Thing]]:
        """One thing, as of `thing`, and by id all that it refers to (as of `part`), at one
        moment."""
        with self._database.reading() as session:
            thing = kept.get(session, kind, id)
            parts = references(kind, thing.fields)
            return thing, {id: kept.part(session, of, id) for _, of, id in parts}

    def part(self, kind: ItemKind, id: str) -> Thing:
        """What another thing refers to; a stand-in for what does not read or is gone."""
        with self._database.reading() as session:
            return kept.part(session, kind, id)

    def damages(self, kinds: Iterable[ItemKind] = tuple(ItemKind)) -> tuple[Damage, ...]:
        """What of these kinds does not read any more: it is in no list of things."""
        with self._database.reading() as session:
            return kept.damages(session, kinds)

    def mend(self, kind: ItemKind, id: str, version: int) -> Thing | Problems:
        """Make a thing that does not read again what it was at a version that does."""
        with self._database.writing() as session:
            return keeping.mend(session, kind, id, version, self._clock())

    def check(self) -> checking.Checked:
        """All that is kept, read to the last entry: what is there, and what of it is damaged."""
        with self._database.reading() as session:
            return checking.check(session)

    def earlier(self, id: str) -> dict[int, State]:
        """What a thing was, by version, without its newest."""
        with self._database.reading() as session:
            return kept.earlier(session, id)

    def used_by(self, kind: ItemKind, id: str) -> tuple[Thing, ...]:
        """The swatches, pairs and notes that refer to a thing."""
        with self._database.reading() as session:
            return keeping.used_by(session, kind, id)

    def keep(
        self,
        kind: ItemKind,
        document: Mapping[str, Any],
        name: str = "",
        fields: Mapping[str, Any] = keeping.NOTHING,
    ) -> Thing | Problems:
        """Keep a new thing; `name` is a design's, `fields` what its kind has besides."""
        _refuse_sock(kind)
        with self._database.reading() as session:
            wrong = keeping.wrong_with_new(session, kind, document, name, fields)
        if wrong is not None:
            return wrong
        with self._database.writing() as session:
            id, now = self._new_id(), self._clock()
            return keeping.new_thing(session, kind, id, document, now, name, fields)

    def change(
        self,
        kind: ItemKind,
        id: str,
        seen: int,
        document: Mapping[str, Any] | None = None,
        name: str | None = None,
        fields: Mapping[str, Any] = keeping.NOTHING,
    ) -> Thing | Problems:
        """Write over the version `seen`; what is not given stays as it is."""
        _refuse_sock(kind)
        with self._database.reading() as session:
            wrong = keeping.wrong_with_change(session, kind, id, seen, document, name, fields)
        if wrong is not None:
            return wrong
        with self._database.writing() as session:
            now = self._clock()
            return keeping.change_thing(session, kind, id, seen, now, document, name, fields)

    def delete(self, kind: ItemKind, id: str, seen: int) -> Thing:
        """Delete a thing, which `restore` takes back."""
        with self._database.writing() as session:
            return kept.delete(session, kind, id, seen, self._clock())

    def restore(self, kind: ItemKind, id: str, seen: int) -> Thing:
        """Undo a deletion, however long ago."""
        with self._database.writing() as session:
            return kept.restore(session, kind, id, seen, self._clock())

    def back_to(self, kind: ItemKind, id: str, seen: int, version: int) -> Thing | Problems:
        """Make a thing again what it was at an earlier version; what it is now becomes one."""
        with self._database.writing() as session:
            return keeping.back_to(session, kind, id, seen, version, self._clock())

    # Planning

    def compose_order(self, choice: Choice) -> Composed | Problems:
        """The order of a choice, and its TOML, as the command line reads it."""
        with self._database.reading() as session:
            return compose(session, choice)

    def write_order(self, choice: Choice) -> Written | Problems:
        """The order of a choice as TOML, which nobody has read yet: what `plans` make plans of."""
        with self._database.reading() as session:
            return write_order(session, choice)

    def choices_elsewhere(self, choice: Choice) -> tuple[Elsewhere, ...]:
        """Choices with another yarn, machine, design or person, to be tried where this makes no
        sock."""
        with self._database.reading() as session:
            return choices_elsewhere(session, choice)

    def first_choices(self, units: str) -> tuple[Elsewhere, ...]:
        """Choices to begin with, to be tried where nothing is chosen."""
        with self._database.reading() as session:
            return first_choices(session, units)

    def plan_for(self, choice: Choice) -> Planned | Problems | Refused:
        """The plan of a choice, or why there is none; nothing is written."""
        order = self.write_order(choice)
        return order if isinstance(order, Problems) else self.plans.of(order)

    def plan_sock(self, choice: Choice) -> Thing | Problems | Refused:
        """Keep a planned pair, with its order as it is now."""
        return keep_planned(
            self._database,
            self.plans,
            choice,
            lambda session, composed: pairs.keep_sock(
                session, self._new_id(), choice, composed, self._clock()
            ),
        )

    def replan_sock(self, id: str, seen: int, choice: Choice) -> Thing | Problems | Refused:
        """Choose anew for a pair that is not begun."""
        with self._database.reading() as session:
            refusal = pairs.refuse_replanning(session, id, seen)
        if refusal is not None:
            return refusal
        return keep_planned(
            self._database,
            self.plans,
            choice,
            lambda session, composed: pairs.replan_sock(
                session, id, seen, choice, composed, self._clock()
            ),
        )

    def plan_of(self, sock_id: str) -> Planned | Problems | Refused:
        """The plan of a kept pair by the order it was planned by; NotKept if there is none."""
        return planning.plan_of(self.thing(ItemKind.SOCK, sock_id), self.plans)

    def changed_parts(self, sock_id: str) -> tuple[Thing, ...]:
        """The parts of a kept pair that say something else now than when it was planned."""
        with self._database.reading() as session:
            return planning.changed_parts(session, kept.get(session, ItemKind.SOCK, sock_id))

    # Printing

    def sheet_files(self, pair: PairPlan, paper: str = PAPERS[0]) -> tuple[SheetFile, ...]:
        """The files that a plan's sheets make, and what each is for, on a `paper` of PAPERS."""
        return sheet_files(pair, paper)

    def print_plan(
        self, pair: PairPlan, paper: str, only: str | None = None, language: str = "en"
    ) -> dict[str, bytes]:
        """All sheets of a plan, or the one named `only`, by file name; `paper` of PAPERS.

        NotProven for a plan whose dry run failed, Busy where many others are printing.
        """
        return self.press.print_plan(pair, paper, only, language)

    def print_swatch_form(self, paper: str, units: str, language: str = "en") -> bytes:
        """The swatch sheet without a plan, with blanks; Busy where many others are printing."""
        return self.press.print_swatch_form(paper, units, language)

    # Making

    def start_sock(self, id: str, seen: int) -> Thing | Problems:
        """Begin a planned pair."""
        with self._database.writing() as session:
            return pairs.start_sock(session, id, seen, self._clock())

    def log_sock(self, id: str, seen: int, entry: Mapping[str, Any]) -> Thing | Problems:
        """Add what happened (keys: time, sock, rounds, deviation, note)."""
        with self._database.reading() as session:
            wrong = pairs.wrong_with_entry(session, id, seen, entry)
        if wrong is not None:
            return wrong
        with self._database.writing() as session:
            return pairs.log_sock(session, id, seen, entry, self._clock())

    def finish_sock(
        self,
        id: str,
        seen: int,
        left: Mapping[str, Any],
        measured: Mapping[str, Any] | None = None,
    ) -> Thing | Problems:
        """The pair is made; `left` says by role what each yarn weighs now."""
        with self._database.reading() as session:
            wrong = pairs.wrong_with_finish(session, id, seen, left, measured)
        if wrong is not None:
            return wrong
        with self._database.writing() as session:
            return pairs.finish_sock(session, id, seen, left, measured, self._clock())

    def measure_sock(self, id: str, seen: int, measured: Mapping[str, Any]) -> Thing | Problems:
        """What the finished pair measures and how it fits (keys: those of `measured.MEASURED`)."""
        with self._database.reading() as session:
            wrong = pairs.wrong_with_measures(session, id, seen, measured)
        if wrong is not None:
            return wrong
        with self._database.writing() as session:
            return pairs.measure_sock(session, id, seen, measured, self._clock())

    def lessons(self, sock_id: str) -> Lessons | None:
        """What a finished pair teaches; None where it tells nothing."""
        with self._database.reading() as session:
            return lessons_of(session, kept.get(session, ItemKind.SOCK, sock_id))

    # At the machine

    def bench_log(self, sock_id: str, which: str) -> tuple[Entry, ...]:
        """The log of one sock of a pair ("first" or "second")."""
        with self._database.reading() as session:
            return bench.log_of(session, sock_id, which)

    def damaged_entries(self, sock_id: str) -> tuple[str, ...]:
        """The entries of a pair's logs that do not read any more, and so count for nothing."""
        with self._database.reading() as session:
            return bench.damaged(session, sock_id)

    def add_to_bench_log(
        self, sock_id: str, which: str, entries: Sequence[Any], most: int = MOST_ENTRIES
    ) -> Added | Problems:
        """Keep what a device has counted; tells the whole log, and what cannot be kept of it.

        Sending twice does no harm. Problems, with nothing kept, for more than `most` entries.
        """
        read = read_entries(entries, most)
        if isinstance(read, Problems):
            return read
        with self._database.writing() as session:
            return bench.add_to_log(session, sock_id, which, read, self._clock())

    def plan_at_bench(
        self, sock_id: str, which: str, planned: Planned | None = None
    ) -> PlannedSock | Problems | Refused:
        """The plan that one sock of a pair is knitted by; the second follows the first.

        `planned` is the pair's plan where it is made already.
        """
        with self._database.reading() as session:
            pair = kept.get(session, ItemKind.SOCK, sock_id)
            found = planned or planning.plan_of(pair, self.plans)
            return bench.plan_at_bench(session, pair, which, found)

    def following(self, sock_id: str, planned: Planned) -> Following:
        """What the second sock of a pair follows of the first, `planned` being the pair's plan."""
        with self._database.reading() as session:
            return bench.followed(session, sock_id, planned.pair)

    def as_knitted(self, sock_id: str, which: str) -> PlannedSock | Problems | Refused:
        """One sock of a pair as it was really knitted so far, proven anew."""
        with self._database.reading() as session:
            pair = kept.get(session, ItemKind.SOCK, sock_id)
            found = planning.plan_of(pair, self.plans)
            return bench.knitted(session, pair, which, found)

    def socks_at_bench(
        self, sock_id: str, planned: Planned | None = None
    ) -> tuple[bench.SockAtBench, ...] | Problems | Refused:
        """Both socks of a pair with what their logs tell; NotKept if there is no such pair.

        `planned` is the pair's plan where it is made already.
        """
        with self._database.reading() as session:
            pair = kept.get(session, ItemKind.SOCK, sock_id)
            found = planned or planning.plan_of(pair, self.plans)
            return bench.socks_at_bench(session, pair, found)

    # Gauge

    def gauge_memory(
        self, machine_id: str | None = None, yarn_id: str | None = None
    ) -> tuple[gauge_memory.Remembered, ...]:
        """The gauge of every swatch, by machine, cylinder, yarn and cam, the newest first."""
        with self._database.reading() as session:
            return gauge_memory.remember(session, self._clock().date(), machine_id, yarn_id)

    def sock_loops(self, machine_id: str) -> tuple[SockLoop, ...]:
        """What the finished socks of a machine tell of its stitch cam."""
        with self._database.reading() as session:
            return sock_loops(session, machine_id)

    def fitting_swatches(self, machine_id: str, yarn_ids: Iterable[str]) -> tuple[str, ...]:
        """The swatches that tell of these yarns on this machine: those not stale, if any is."""
        with self._database.reading() as session:
            return gauge_memory.fitting(session, machine_id, frozenset(yarn_ids))

    def swatch_order(self, id: str, units: str) -> Order | None:
        """What a swatch's numbers rest on, as an order without a foot; None if it does not read."""
        with self._database.reading() as session:
            return swatch_order(session, id, units)

    # Out and in

    def export_order(self, sock_id: str) -> str:
        """The order file of a kept pair, as it was when it was planned."""
        text = self.thing(ItemKind.SOCK, sock_id).fields["order_toml"]
        assert isinstance(text, str)
        return text

    def import_order(
        self, text: str, folder: Path | None = None
    ) -> order_exchange.Taken | Problems:
        """Keep the parts of an order file and the pair it plans; the same order only once."""
        read = order_exchange.read_order(text, folder)
        if isinstance(read, Problems):
            return read
        with self._database.writing() as session:
            return order_exchange.take_order(session, read, self._new_id, self._clock())

    def export_all(self) -> bytes:
        """The whole workshop as one file."""
        with self._database.reading() as session:
            return write_whole(session)

    def import_all(self, data: bytes) -> backup.JoinResult | Problems:
        """Take in a whole workshop's file: nothing lost, nothing twice, all or nothing."""
        file = read_whole(data)
        if isinstance(file, Problems):
            return file
        with self._database.writing() as session:
            return backup.join(session, file)

    # The example

    def add_example(self, locale: Locale = ENGLISH) -> tuple[Thing, ...]:
        """Put the example station in, in a language; what is there of it already stays."""
        with self._database.writing() as session:
            return example.add_example(session, self._clock(), locale)

    def remove_example(self) -> example.Removal:
        """Take the example station out, all but what one's own things need."""
        with self._database.writing() as session:
            return example.remove_example(session)


def _refuse_sock(kind: ItemKind) -> None:
    if kind is ItemKind.SOCK:
        raise ValueError("a pair is kept by plan_sock and changed by what happens to it")
