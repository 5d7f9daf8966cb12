"""Who does the work behind a page: a job is handed over, and its answer awaited.

A job is a frozen value that can be sent to another process; what it needs besides are `Tools`,
which each process has of its own.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from typing import Any, Final, Protocol

from jinja2 import Environment
from starlette.concurrency import run_in_threadpool

from sockwright.workshop.memory import Memory
from sockwright.workshop.plans import Plans
from sockwright.workshop.printing import Press

DRAWN_AT_HAND: Final = 16
"""Plans whose drawings are kept at hand: each takes some 0.1 MB."""


@dataclass(frozen=True)
class Tools:
    """What jobs are done with: plans at hand, templates, the press, drawings at hand."""

    plans: Plans
    templates: Environment
    press: Press
    drawn: Memory[dict[str, Any]] = field(default_factory=lambda: Memory(DRAWN_AT_HAND))


class Job(Protocol):
    """Work whose answer depends on nothing but itself.

    Jobs of one `key` are quick after one another in one place. Where `heavy`, a job may take many
    seconds.
    """

    @property
    def key(self) -> Hashable:
        """What it is about."""

    def done(self, tools: Tools) -> Any:
        """Do it; raises SockwrightError as a page would."""


def is_heavy(job: Job) -> bool:
    """Whether a job may take many seconds."""
    return getattr(job, "heavy", False)


class Workers(Protocol):
    """Those that do jobs."""

    async def done(self, job: Job, client: str) -> Any:
        """The answer to a job that `client` waits for; raises what the job does, and Busy."""

    def close(self) -> None:
        """Let go of all that works."""


class InProcess:
    """Does jobs in this process, in threads of its own."""

    def __init__(self, tools: Tools) -> None:
        self._tools = tools

    async def done(self, job: Job, client: str) -> Any:
        """As of `Workers`."""
        return await run_in_threadpool(job.done, self._tools)

    def close(self) -> None:
        """As of `Workers`."""
