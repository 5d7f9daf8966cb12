"""How much of the server anybody may take up, and for how long."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """The bounds of one server; docs/serving.md lists them for those who run one."""

    connections: int = 500
    """Open at once; for one more, the one that has been silent for the longest is closed."""

    of_one_device: int = 64
    """Open at once from one address: browsers open six each, and a few may share an address."""

    requests: int = 250
    """Being answered at once; one more is told to come again."""

    header_bytes: int = 65_536
    """Of a request's line and headers together."""

    handshake_s: float = 10.0
    """For a TLS handshake, s."""

    header_s: float = 15.0
    """From a connection's opening, or a further request's first byte, to its last header, s."""

    idle_s: float = 15.0
    """How long a connection waits for its next request, s."""

    pace_s: float = 20.0
    """The time in which a body that comes, or an answer that is taken, has to get on, s."""

    pace_bytes: int = 20_000
    """How far it has to get on in that time: 1 kB/s, slower than the slowest telephone."""

    fresh_s: float = 2.0
    """A connection silent for no longer than this may well be about to speak, s."""

    look_s: float = 1.0
    """How often it is looked who has been too slow, s."""


USUAL = Limits()
"""Those of `sockwright serve`."""
