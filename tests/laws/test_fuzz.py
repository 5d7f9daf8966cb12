"""Orders and workshops damaged at random: each is read, or refused with problems; nothing else.

200 orders and 20 workshops each time, 10,000 and 300 in `make test-long`; the same ones each time.
"""

from __future__ import annotations

import hashlib
import json
import random
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from fuzzing import damaged_bytes, damaged_document, damaged_text
from sockwright.errors import OrderError, SockwrightError
from sockwright.order.file import parse_order
from sockwright.plan.make import make_plan
from sockwright.store.database import sqlite_url
from sockwright.workshop.answers import Problems
from sockwright.workshop.backup import JoinResult
from workshops import database_of, furnish, kept, workshop

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXTS = [path.read_text("utf-8") for path in sorted(EXAMPLES.glob("*.toml"))]


def orders_are_answered(count: int, seed: int) -> Counter[str]:
    """Read so many damaged orders, and plan those that read; what became of them."""
    chance, became = random.Random(seed), Counter[str]()
    for number in range(count):
        text = damaged_text(chance, chance.choice(TEXTS))
        try:
            became[order_answered(text)] += 1
        except Exception as error:
            raise AssertionError(f"order {number} of seed {seed}: {text!r}") from error
    assert set(became) <= {"planned", "not to be made", "refused"}
    return became


def order_answered(text: str) -> str:
    """What became of an order; any error that is not for people is raised."""
    try:
        order = parse_order(text, EXAMPLES)
    except OrderError as error:
        told = error.problems and all(
            one.path and one.wrong and one.right for one in error.problems
        )
        return "refused" if told else "refused without a reason"
    try:
        make_plan(order)
    except SockwrightError as error:
        return "not to be made" if error.message else "not to be made for no reason"
    return "planned"


def workshops_are_answered(count: int, seed: int, folder: Path) -> Counter[str]:
    """Give so many damaged files to a workshop; what became of them. What is refused writes
    nothing."""
    chance, became = random.Random(seed), Counter[str]()
    one = workshop(sqlite_url(folder / "from.db"))
    other = workshop(sqlite_url(folder / "to.db"))
    kept(one.plan_sock(furnish(one)))
    sound = one.export_all()
    before = other.export_all()
    for number in range(count):
        data = damaged_file(chance, sound)
        answer = other.import_all(data)
        now = other.export_all()
        assert isinstance(answer, JoinResult | Problems), (seed, number)
        if isinstance(answer, Problems):
            assert answer.problems, (seed, number)
            assert now == before, (seed, number)
        before = now
        became[type(answer).__name__] += 1
    for opened in (one, other):
        database_of(opened).close()
    return became


def damaged_file(chance: random.Random, sound: bytes) -> bytes:
    """The file with damage to its bytes, or to what it says with its checksums made to fit."""
    if chance.random() < 0.2:
        return damaged_bytes(chance, sound)
    document: dict[str, Any] = json.loads(sound)
    lists = [name for name in document["checksums"] if document[name]]
    name = chance.choice(lists)
    document[name] = damaged_document(chance, document[name])
    told = json.dumps(document[name], separators=(",", ":"), default=str)
    document["checksums"][name] = hashlib.sha256(told.encode()).hexdigest()
    return json.dumps(document, default=str).encode()


def test_damaged_orders_are_read_or_refused() -> None:
    became = orders_are_answered(200, seed=9)
    print(dict(became))
    assert became["refused"]
    assert became["planned"]


def test_damaged_workshops_are_taken_in_or_refused_whole(tmp_path: Path) -> None:
    became = workshops_are_answered(20, 9, tmp_path)
    print(dict(became))
    assert became["Problems"]
    assert became["JoinResult"]


@pytest.mark.long
def test_ten_thousand_damaged_orders_are_read_or_refused() -> None:
    print(dict(orders_are_answered(10_000, seed=10)))


@pytest.mark.long
def test_three_hundred_damaged_workshops_are_taken_in_or_refused_whole(tmp_path: Path) -> None:
    print(dict(workshops_are_answered(300, 10, tmp_path)))
