"""`sockwright serve --workers`: it plans in other processes, and none of them outlives it."""

from __future__ import annotations

import os
import signal
import subprocess
from pathlib import Path

import pytest

from browser.pages import station_query
from served import PATIENCE_S, Starter, address_in, browser
from sockwright.store.database import sqlite_url

FRAGMENT = {"HX-Request": "true"}


def children(pid: int) -> list[int]:
    """The processes that one has started."""
    listed = subprocess.run(
        ["ps", "-A", "-o", "pid=,ppid="], capture_output=True, text=True, check=True
    )
    rows = [line.split() for line in listed.stdout.splitlines()]
    return [int(child) for child, parent in rows if parent == str(pid)]


def end_of(pid: int) -> None:
    """Wait until a process is no more; not ours, its end cannot be waited for otherwise."""
    if not hasattr(os, "pidfd_open"):
        pytest.skip("this system cannot tell of the end of others' processes")
    from select import select

    try:
        watch = os.pidfd_open(pid)
    except ProcessLookupError:
        return
    ended = select([watch], [], [], PATIENCE_S)[0]
    os.close(watch)
    assert ended, f"process {pid} outlived its server"


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_no_process_outlives_its_server(
    starter: Starter, tmp_path: Path, how: signal.Signals
) -> None:
    database = sqlite_url(tmp_path / "workshop.db")
    lines = starter.begin("serve", "--port", 0, "--no-open", "--workers", 2, "--database", database)
    with browser(address_in(lines)) as client:
        answer = client.get(f"/plan/result?{station_query()}", headers=FRAGMENT)
        assert answer.status_code == 200
    begun = children(starter.pid)
    assert len(begun) == 2
    status, _ = starter.end(how)
    assert status == (-how if how is signal.SIGKILL else 0)
    for pid in begun:
        end_of(pid)


def test_without_workers_the_server_plans_itself(starter: Starter, tmp_path: Path) -> None:
    database = sqlite_url(tmp_path / "workshop.db")
    with (
        starter.serving("--workers", 0, "--database", database) as (address, _),
        browser(address) as client,
    ):
        answer = client.get(f"/plan/result?{station_query()}", headers=FRAGMENT)
        assert answer.status_code == 200
        assert children(starter.pid) == []
