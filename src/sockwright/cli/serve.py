"""`sockwright serve`: the workshop is opened, told of on one screen, and closed in order."""

from __future__ import annotations

import os
import re
import stat
import sys
import threading
import webbrowser
from collections.abc import Iterator
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path

from sockwright.cli.console import certificates_folder, log_file, made_workshop_file, print_note
from sockwright.errors import SockwrightError
from sockwright.i18n import LANGUAGES
from sockwright.store.database import sqlite_url
from sockwright.web.access.kept_certificates import Reach, Secured
from sockwright.web.access.network import addresses, as_host, listen, names
from sockwright.web.access.sessions import LoginSessions, make_pass_phrase, read_pass_phrase
from sockwright.web.serving import OpenWorkshop, guarded_site, opened_workshop, secured_for, serve
from sockwright.web.worker import collect_seldom

MOST_ADDRESSES = 4
"""Addresses told to others; a computer with more has them for machines, not for people."""

MOST_WORKERS = 4
"""Processes that plan where nobody says how many: each takes some 90 MB."""

_HOST = re.compile(r"[0-9A-Za-z](?:[0-9A-Za-z.-]*[0-9A-Za-z])?|[0-9A-Fa-f:]*:[0-9A-Fa-f:.]*")


@dataclass(frozen=True)
class ServeOptions:
    """What the command was given."""

    port: int
    database: str | None
    network: bool
    names: tuple[str, ...]
    pass_phrase_file: Path | None
    open_browser: bool
    tls: bool = False
    workers: int | None = None


@dataclass(frozen=True)
class ServerNotice:
    """What the screen tells: where it is, for whom, and how one comes in.

    `others` are the addresses others reach it by, `proxied` the names a proxy hands on, `secured`
    the certificates of one that encrypts.
    """

    port: int
    opened: OpenWorkshop
    others: tuple[str, ...] = ()
    proxied: tuple[str, ...] = ()
    pass_phrase: str | None = None
    file: Path | None = None
    secured: Secured | None = None

    @property
    def scheme(self) -> str:
        """How its addresses begin."""
        return "http" if self.secured is None else "https"


def serve_workshop(wish: ServeOptions) -> None:
    """Serve until Ctrl-C or SIGTERM. Raises CannotOpen, CannotListen, CannotCertify or
    BadPassPhrase."""
    own = tuple(_checked(name) for name in wish.names)
    pass_phrase = _pass_phrase(wish)
    with ExitStack() as stack:
        sockets = listen(wish.port, wish.network)
        for one in sockets:
            stack.enter_context(closing(one))
        opened = stack.enter_context(
            opened_workshop(wish.database or sqlite_url(made_workshop_file()), _language())
        )
        found, called = (addresses(), names()) if wish.network else ((), ())
        others = (*own, *found) if wish.network else ()
        known = (*own, *others, *called)
        folder = certificates_folder()
        secured = secured_for(folder, (*own, *called), found) if wish.tls else None
        proxied = () if wish.network else own
        port = int(sockets[0].getsockname()[1])
        told = ServerNotice(
            port, opened, others, proxied, pass_phrase, wish.pass_phrase_file, secured
        )
        base = f"{told.scheme}://{as_host(others[0])}:{port}" if others else ""
        logins = LoginSessions(pass_phrase) if pass_phrase else None
        reach = Reach(base, secured)
        workers = usual_workers() if wish.workers is None else wish.workers
        site = stack.enter_context(guarded_site(opened.shop, known, logins, reach, workers))
        collect_seldom()
        serve(
            site,
            sockets,
            lambda: _tell(told, wish.open_browser),
            behind_proxy=bool(own),
            certificate=None if secured is None else secured.file,
            log=log_file(),
        )
    _say("The workshop is closed. Everything confirmed is saved.")


def _language() -> str:
    """The language of this computer's user, where there is a catalogue of it; else English."""
    named = (os.environ.get(name, "") for name in ("LC_ALL", "LC_MESSAGES", "LANG"))
    code = next(filter(None, named), "")[:2]
    return code if code in LANGUAGES else "en"


def usual_workers() -> int:
    """How many processes plan for a workshop that was not told: one for each processor that this
    one may use, MOST_WORKERS at most, and none where there is but one processor."""
    able = getattr(os, "sched_getaffinity", None)
    processors = len(able(0)) if able else os.cpu_count() or 1
    return min(processors, MOST_WORKERS) if processors > 1 else 0


def _checked(name: str) -> str:
    """A host's name or address, without anything round it."""
    bare = name.removeprefix("[").removesuffix("]").lower()
    if not _HOST.fullmatch(bare):
        raise SockwrightError(
            f"--name {name!r}: is not a name of a computer; write it like hut.example.org, without "
            "http:// and port"
        )
    return bare


def _pass_phrase(wish: ServeOptions) -> str | None:
    """The one to ask for; none where only this computer can come, and nothing else is wished."""
    if wish.pass_phrase_file is not None:
        pass_phrase = read_pass_phrase(wish.pass_phrase_file)
        if wish.pass_phrase_file.stat().st_mode & (stat.S_IRGRP | stat.S_IROTH):
            print_note(f"Others on this computer can read {wish.pass_phrase_file}.")
        return pass_phrase
    return make_pass_phrase() if wish.network or wish.names else None


def _tell(told: ServerNotice, open_browser: bool) -> None:
    _say("\n".join(screen(told)))
    if open_browser and _has_display():
        address = f"{told.scheme}://127.0.0.1:{told.port}"
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()


def _say(text: str) -> None:
    # Whoever reads a pipe is to have it now, not when it is full.
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def _has_display() -> bool:
    """Whether a browser could show itself; a text browser would take this terminal away."""
    wayland_or_x = os.environ.get("WAYLAND_DISPLAY") or os.environ.get("DISPLAY")
    return bool(wayland_or_x) or sys.platform in ("darwin", "win32")


def screen(told: ServerNotice) -> Iterator[str]:
    """The lines that tell where the workshop is open, and all there is to know of it."""
    yield from ("The workshop is open at", "", f"    {told.scheme}://127.0.0.1:{told.port}", "")
    if told.others:
        yield from ("and for others on the same network at", "")
        yield from (
            f"    {told.scheme}://{as_host(one)}:{told.port}"
            for one in told.others[:MOST_ADDRESSES]
        )
        yield ""
    if told.proxied:
        yield from (f"and as {' or '.join(told.proxied)}, from a proxy on this computer.", "")
    if told.pass_phrase is not None:
        yield from _door_lines(told.pass_phrase, told.file)
    if told.secured is not None:
        yield from _trust_lines(told.secured)
    elif told.others:
        yield "The connection is not encrypted: someone else on the same network could read along,"
        yield "even the passphrase. Do this only on a network you trust, or add --tls."
        yield ""
    yield f"It is saved in {told.opened.place}"
    if told.opened.new:
        yield "This is a new workshop with an example in it. Remove it with one click."
    yield "Ctrl-C closes it."


def _trust_lines(secured: Secured) -> Iterator[str]:
    yield "The connection is encrypted. A device's browser warns at first that it is not private,"
    yield "because it does not know the authority that this computer made. Go on to the page"
    yield "/trust: it says how to make a device trust it. The fingerprint there must be this:"
    pairs = secured.fingerprint.split(":")
    yield from ("", f"    {':'.join(pairs[:16])}:", f"    {':'.join(pairs[16:])}", "")
    if secured.new:
        yield from ("The authority is new: tell devices that trusted an earlier one again.", "")


def _door_lines(pass_phrase: str, file: Path | None) -> Iterator[str]:
    if file is not None:
        yield from (f"Each device asks once for the passphrase in {file}.", "")
    else:
        yield from ("Each device asks once for the passphrase", "", f"    {pass_phrase}", "")
