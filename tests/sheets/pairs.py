"""Plans for sheets to be made of: an ordinary pair, one of unlike feet, and one with long names."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache
from itertools import cycle, product
from pathlib import Path
from typing import TypeVar

from amounts import LONG as MUCH
from sockwright.order.file import load_order
from sockwright.plan.make import PairPlan, SockPlan, make_plan
from sockwright.sheets import Paper
from sockwright.sheets.crank import crank_sheet
from sockwright.sheets.record import record_sheet

NAMES = ("winch-operator", "avalanche-forecaster", "cooks-son", "night-dispatcher")
"""The examples, by their files' names."""
EXAMPLES = Path(__file__).parents[2] / "examples"
LONG = (
    "the night dispatcher who also oils the winch and feeds the two avalanche dogs of the station"
)
GREEK, CYRILLIC = "η μαγείρισσα του σταθμού", "дежурный диспетчер"
VIETNAMESE = "nhân viên trực đêm của trạm cứu hộ Nguyễn Thị Thuỷ"
ONE_WORD = "Bergrettungsdienststellenleiterinnenstellvertretungsanwärter"
CAPITALS = ONE_WORD.upper()


@cache
def pair(name: str) -> PairPlan:
    """The plans of one of the examples."""
    return make_plan(load_order(EXAMPLES / f"{name}.toml"))


Case = TypeVar("Case")


def one_paper_each(cases: Iterable[Case]) -> list[tuple[Case, Paper]]:
    """Each case on one of the papers in turn; on all of them in `make test-long`."""
    if MUCH:
        return list(product(cases, Paper))
    return list(zip(cases, cycle(Paper), strict=False))


@cache
def printed(sheet: Callable[[SockPlan, Paper], bytes], name: str, paper: Paper = Paper.A4) -> bytes:
    """A sheet of the first sock of one of the examples, set once."""
    return sheet(pair(name).first, paper)


@cache
def recorded(name: str, paper: Paper = Paper.A4) -> bytes:
    """The record sheet of one of the examples, set once."""
    return record_sheet(pair(name), paper)


def crank(name: str, paper: Paper) -> bytes:
    """The crank sheet of one of the examples."""
    return printed(crank_sheet, name, paper)


def renamed(pair: PairPlan, name: str) -> PairPlan:
    """The pair with one name for everything that has one."""
    return PairPlan(*(_renamed(sock, name) for sock in pair.socks))


def _renamed(plan: SockPlan, name: str) -> SockPlan:
    order = replace(
        plan.order,
        title=name,
        wearer=replace(plan.order.wearer, name=name),
        machine=replace(plan.order.machine, name=name),
    )
    yarns = {role: replace(yarn, name=name) for role, yarn in plan.yarns.items()}
    return replace(plan, order=order, yarns=yarns)


@cache
def every_kind() -> dict[str, PairPlan]:
    """Pairs by what is special of them."""
    winch, forecaster = pair("winch-operator"), pair("avalanche-forecaster")
    return {
        "plain": winch,
        "unlike feet, inches": forecaster,
        "long names": renamed(forecaster, LONG),
        "longest names": renamed(winch, (LONG + ", ") * 2),
        "Greek": renamed(winch, GREEK),
        "Cyrillic": renamed(winch, CYRILLIC),
        "Vietnamese": renamed(winch, VIETNAMESE),
        "one long word": renamed(winch, ONE_WORD),
        "one long word, inches": renamed(forecaster, ONE_WORD),
        "one long word in capitals": renamed(winch, CAPITALS),
        "one word as long as orders take": renamed(winch, (ONE_WORD * 4)[:200]),
    }
