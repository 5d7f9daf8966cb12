"""What is wrong is refused before a write is opened for it: nobody waits for the reading of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NoReturn

import pytest

from databases import copied, filled
from sockwright.bench.log import FIRST
from sockwright.store.database import Database
from sockwright.store.items import ItemKind, Stale, Thing
from sockwright.workshop import Choice, Workshop
from workshops import furnished, kept, problems

Deed = Callable[[], object]


@pytest.fixture
def url(tmp_path: Path) -> str:
    """A write opens alike on every kind of database."""
    return copied(filled("sqlite", furnished), tmp_path)


def wrong_deeds(
    one: Workshop, choice: Choice, planned: Thing, made: Thing
) -> Iterator[tuple[Deed, set[str]]]:
    """What is wrong with each is at these places."""
    far = {"wearer": {"name": "winch operator"}, "foot": {"length": "a mile"}}
    yield lambda: one.keep(ItemKind.YARN, {"fineness": "thin"}), {"name", "fineness"}
    yield lambda: one.change(ItemKind.PERSON, choice.person, 1, far), {"foot.length"}
    yield lambda: one.replan_sock(made.id, 2, choice), {"status"}
    bad_entry = {"time": "yesterday", "mood": "good"}
    yield lambda: one.log_sock(planned.id, 1, bad_entry), {"time", "mood"}
    bad_end = {"left.main", "measured.state", "measured.foot"}
    yield lambda: one.finish_sock(planned.id, 1, {"main": "80"}, {"foot": "9 m"}), bad_end
    yield lambda: one.finish_sock(planned.id, 1, {"heel": "80 g"}), {"left.heel"}
    yield lambda: one.finish_sock(made.id, 2, {}), {"status"}
    bad_measures = {"measured.state", "measured.foot"}
    yield lambda: one.measure_sock(made.id, 2, {"foot": "9 m"}), bad_measures
    yield lambda: one.measure_sock(planned.id, 1, {"state": "washed"}), {"status"}
    yield lambda: one.add_to_bench_log(planned.id, FIRST, [{}, {}], most=1), {"entries"}
    bad_order = {"machine", "yarn.main.fineness", "foot"}
    yield lambda: one.import_order('title = "socks"\nfoot = 3'), bad_order
    yield lambda: one.import_all(b"[]"), {"the file"}


def stale_deeds(one: Workshop, made: Thing) -> Iterator[Deed]:
    """Each has seen an older version."""
    yield lambda: one.log_sock(made.id, 1, {"time": "2025-11-03"})
    yield lambda: one.finish_sock(made.id, 1, {"main": "80 g"})
    yield lambda: one.measure_sock(made.id, 1, {"state": "washed"})


def test_what_is_refused_opens_no_write(
    one: Workshop, choice: Choice, monkeypatch: pytest.MonkeyPatch
) -> None:
    planned, made = kept(one.plan_sock(choice)), kept(one.plan_sock(choice))
    made = kept(one.finish_sock(made.id, 1, {"main": "80 g"}))

    def forbidden(self: Database) -> NoReturn:
        raise AssertionError("a write was opened")

    monkeypatch.setattr(Database, "writing", forbidden)
    for deed, places in wrong_deeds(one, choice, planned, made):
        assert places == set(problems(deed()))
    for stale in stale_deeds(one, made):
        with pytest.raises(Stale):
            stale()
