"""Logs and counts for the tests of counting at the machine."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from sockwright.bench.counting import CountStep, Sock
from sockwright.bench.log import Action, Entry

MOST_ENTRIES = 25


def count_steps_of(sock: Sock, instruction: int) -> tuple[CountStep, ...]:
    """The counts of an instruction."""
    return tuple(
        count_step for count_step in sock.count_steps if count_step.instruction == instruction
    )


@st.composite
def tangled_logs(draw: st.DrawFn, count_steps: int) -> list[Entry]:
    """Entries of three devices, some twice, some undoing what comes later or is not there."""
    ids = [f"{draw(st.sampled_from('abcXYZ-'))}{n}" for n in range(MOST_ENTRIES)]
    made = [
        Entry(
            id=ids[n],
            clock=draw(st.integers(1, 12)),
            device=draw(st.sampled_from(["tablet", "phone", "Remote"])),
            time="2025-11-03T19:20:00.000Z",
            deed=draw(st.sampled_from([*Action, Action.COUNT, Action.UNDO])),
            by=draw(st.integers(-3, 12)),
            of=draw(st.sampled_from([*ids, "elsewhere"])),
            at=draw(st.integers(-2, count_steps + 5)),
            text=draw(
                st.sampled_from(["", "two rounds more", "Nadel 7 ersetzt", "15:2 67:-1 15:3"])
            ),
        )
        for n in range(draw(st.integers(0, MOST_ENTRIES)))
    ]
    again = draw(st.lists(st.sampled_from(made), max_size=4)) if made else []
    later = [replace(one, clock=one.clock + draw(st.integers(0, 3))) for one in again]
    return draw(st.permutations([*made, *later]))
