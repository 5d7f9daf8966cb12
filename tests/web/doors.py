"""Doors to test: a clock set by hand, and ways to try a pass-phrase."""

from __future__ import annotations

import loops
from sockwright.web.access.sessions import LoggedIn, LoginSessions, TooManyTries, WrongPassPhrase
from web.sites import Client

PHRASE = "baru-tike-fosu-lado"


class Watch:
    """A clock that is set by hand, s."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def entering(client: Client, phrase: str, to: str = "/") -> Client:
    """What the entrance answers to a pass-phrase."""
    return client.post("/enter", data={"phrase": phrase, "next": to})


def enter(
    logins: LoginSessions, phrase: str, address: str = "10.0.0.1"
) -> LoggedIn | WrongPassPhrase | TooManyTries:
    """What a door says at once, or after the wait that its test makes up."""
    return loops.run(logins.enter(phrase, address))
