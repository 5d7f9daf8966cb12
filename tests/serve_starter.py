"""A standing process that runs the command line without loading anything anew, one at a time.

python serve_starter.py reads lines [ARGUMENTS, ENVIRONMENT] in JSON. For each it forks a child that
says "started PID" and runs the command; all it prints comes through. When
the child has ended, it says "ended CODE". With BROKEN in the environment, that method of
the workshop has a fault.
"""

from __future__ import annotations

import json
import os
import sys

import alembic.command
import uvicorn

import sockwright.cli.serve
from sockwright.cli import main as command_line
from sockwright.web import app, front
from sockwright.workshop.workshop import Workshop

PRELOADED = (alembic.command, uvicorn, sockwright.cli.serve, app, front)


def say(line: str) -> None:
    """One line, in one write: a kill cannot cut it short."""
    os.write(1, f"{line}\n".encode())


def fault(*given: object) -> None:
    """What a method with a fault does: its message would clear a terminal."""
    raise RuntimeError("a needle broke\x1b[2J\nTraceback (most recent call last):")


def run(arguments: list[str], environment: dict[str, str]) -> None:
    """Be the command, and end this process as it ends."""
    say(f"started {os.getpid()}")
    os.environ.update(environment)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    os.dup2(1, 2)
    if "BROKEN" in environment:
        setattr(Workshop, environment["BROKEN"], fault)
    sys.argv = ["sockwright", *arguments]
    code = 0
    try:
        command_line()
    except SystemExit as end:
        code = int(end.code or 0)
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def main() -> None:
    """Run one command after the other, as the lines say."""
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            run(*json.loads(line))
        _, status = os.waitpid(child, 0)
        say(f"ended {os.waitstatus_to_exitcode(status)}")


if __name__ == "__main__":
    main()
