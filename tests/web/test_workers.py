"""Work done by other processes: the same answers, deaths survived, nobody kept waiting."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Awaitable, Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from anyio.from_thread import start_blocking_portal

import loops
from sockwright.errors import SockwrightError
from sockwright.i18n.messages import _
from sockwright.store.items import Busy
from sockwright.web.context import make_tools
from sockwright.web.plan.choices import PlanRequest, read_request
from sockwright.web.plan.pages import DrawPlan, ShowPlan, TellProgram
from sockwright.web.plan.planning import ResolvedRequest, ask
from sockwright.web.preferences import Preferences
from sockwright.web.printing import PrintSheets
from sockwright.web.worker import NotDone, Worker, WorkerDied
from sockwright.web.workers import InProcess, Turns, WorkerPool
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.workshop import Workshop
from web.worker_jobs import Dies, Fails, Names
from workshops import furnish

FULL = _("full")


Run = Callable[[Callable[[WorkerPool], Awaitable[Any]]], Any]
"""Runs work with the processes of this module."""


@contextmanager
def many(count: int) -> Iterator[WorkerPool]:
    """So many processes, let go of at the end."""
    with closing(WorkerPool(count, InProcess(make_tools()))) as workers:
        yield workers


@pytest.fixture(scope="module")
def running() -> Iterator[Run]:
    """Two processes that are ready, for all tests here, and one for what is heavy."""
    own = str(Path(__file__).parents[1])
    with (
        pytest.MonkeyPatch.context() as patch,
        start_blocking_portal() as portal,
        many(2) as workers,
    ):
        patch.setenv("PYTHONPATH", os.pathsep.join([own, os.environ.get("PYTHONPATH", "")]))

        def run(work: Callable[[WorkerPool], Awaitable[Any]]) -> Any:
            async def whole() -> Any:
                await workers.begun()
                return await work(workers)

            return portal.call(whole)

        yield run


def gone(pid: int) -> bool:
    """Whether there is no such process, not even a dead one that nobody asked after."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return True
    return False


def wishes(shop: Workshop) -> dict[str, PlanRequest]:
    """A request for each kind of outcome."""
    choice = furnish(shop)
    usual = PlanRequest(choice.person, choice.machine, choice.yarns, needles=60)
    return {
        "planned": usual,
        "two cylinders": replace(usual, beside=54),
        "refused": replace(usual, what_if={"cuff.kind": "true rib"}),
        "problems": replace(usual, needles=72),
        "gone": replace(usual, person="nobody"),
        "missing": read_request([], "cm"),
    }


def test_other_processes_answer_the_same_to_the_byte(shop: Workshop, running: Run) -> None:
    outcomes = (Planned, Planned, Refused, Problems, Problems, None)
    every = [ask(shop, request) for request in wishes(shop).values()]
    for asked, outcome in zip(every, outcomes, strict=True):
        assert isinstance(_outcome(shop, asked), outcome or type(None))
    jobs: list[Any] = []
    for asked in every:
        for reader in (Preferences(), Preferences("de", "in")):
            jobs += [
                ShowPlan(asked, reader),
                ShowPlan(asked, reader, whole=False, alone=True),
                DrawPlan(asked, reader),
                TellProgram(asked, reader, 0),
            ]
    own = make_tools()

    async def work(workers: WorkerPool) -> list[Any]:
        return [await workers.done(job, "client") for job in jobs]

    answers = running(work)
    assert answers == [job.done(own) for job in jobs]
    assert len({repr(one) for one in answers}) > len(every) * 3


def _outcome(shop: Workshop, asked: ResolvedRequest) -> object:
    order = asked.order
    return order if order is None or isinstance(order, Problems) else shop.plans.of(order)


def test_sheets_are_the_same_and_printed_by_one_that_stands_back(
    shop: Workshop, running: Run
) -> None:
    planned = shop.plan_for(furnish(shop))
    assert isinstance(planned, Planned)
    job = PrintSheets(planned.pair, "a4", "chart.svg", "chart", "en")

    async def work(workers: WorkerPool) -> Any:
        return (
            await workers.done(job, "client"),
            await workers.done(Names("a", heavy=True), "client"),
            await workers.done(Names("a"), "client"),
        )

    printed, heavy, quick = running(work)
    assert printed == job.done(make_tools())
    assert heavy[0] != quick[0]
    assert heavy[1] > quick[1]


def test_who_was_asked_about_the_same_is_asked_again(running: Run) -> None:
    async def work(workers: WorkerPool) -> list[tuple[int, int]]:
        at_once = [workers.done(Names(key), "client") for key in "abab"]
        first = await asyncio.gather(*at_once)
        return [*first, await workers.done(Names("b"), "c"), await workers.done(Names("a"), "c")]

    one, two, *again = running(work)
    assert one != two
    assert again == [one, two, two, one]


def test_a_job_whose_process_is_killed_is_asked_for_again(tmp_path: Path, running: Run) -> None:
    mark = tmp_path / "mark"

    async def work(workers: WorkerPool) -> Any:
        return await workers.done(Dies(mark), "client"), await workers.done(Names("next"), "client")

    lived, _ = running(work)
    assert lived == "lived"
    assert gone(int(mark.read_text()))


def test_a_job_that_kills_every_process_is_refused_and_the_others_go_on(
    tmp_path: Path, running: Run
) -> None:
    async def work(workers: WorkerPool) -> Any:
        with pytest.raises(Busy):
            await workers.done(Dies(tmp_path / "mark", always=True), "client")
        return await workers.done(Names("next"), "client")

    assert running(work)[0] != os.getpid()


def test_what_a_job_raises_comes_back_to_be_told(running: Run) -> None:
    async def work(workers: WorkerPool) -> None:
        with pytest.raises(SockwrightError, match="this is wrong") as told:
            await workers.done(Fails(True), "client")
        assert told.value.message.values == {"what": "this"}  # type: ignore[attr-defined]
        with pytest.raises(NotDone, match="by nothing"):
            await workers.done(Fails(False), "client")

    running(work)


def test_until_the_first_is_ready_the_server_works_itself_and_none_is_left_in_the_end() -> None:
    pids: list[int] = []

    async def work(workers: WorkerPool) -> None:
        assert (await workers.done(Names("a"), "client"))[0] == os.getpid()
        await workers.begun()
        pids.append((await workers.done(Names("a"), "client"))[0])

    with many(1) as workers:
        loops.run(work(workers))
    assert pids != [os.getpid()]
    assert all(map(gone, pids))


def test_a_job_that_takes_too_long_is_ended() -> None:
    async def work() -> int:
        worker = Worker(0, longest_s=0.0)
        assert await worker.begun()
        with pytest.raises(WorkerDied):
            await worker.done(b"\0" * 8)
        assert worker.dead
        return worker.pid

    assert gone(loops.run(work()))


def test_turns_go_round_whoever_asks_for_much() -> None:
    async def work() -> list[str]:
        turns, order = Turns(1, 10, FULL), []
        end = asyncio.Event()

        async def ask_for(client: str) -> None:
            async with turns.turn(client):
                order.append(client)
                await end.wait()

        asked = ["greedy"] * 5 + ["one", "two"]
        waiting = [asyncio.create_task(ask_for(client)) for client in asked]
        await asyncio.sleep(0)
        end.set()
        await asyncio.gather(*waiting)
        return order

    assert loops.run(work()) == ["greedy", "greedy", "one", "two", "greedy", "greedy", "greedy"]


def test_who_has_too_many_waiting_is_refused_and_others_are_not() -> None:
    async def work() -> None:
        turns = Turns(1, 2, FULL)
        async with turns.turn("greedy"):
            waiting = [asyncio.create_task(_taken(turns, "greedy")) for _ in range(2)]
            await asyncio.sleep(0)
            with pytest.raises(Busy, match="full"):
                await _taken(turns, "greedy")
            waiting.append(asyncio.create_task(_taken(turns, "other")))
            await asyncio.sleep(0)
            waiting[0].cancel()
        await asyncio.gather(*waiting[1:])
        await _taken(turns, "greedy")

    loops.run(work())


async def _taken(turns: Turns, client: str) -> None:
    async with turns.turn(client):
        pass
