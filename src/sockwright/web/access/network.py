"""This computer in its network: its names and addresses, and the sockets others may reach it by.

Nothing is asked of the network: no name is looked up, no packet sent.
"""

from __future__ import annotations

import errno
import socket
import struct
import sys
from collections.abc import Iterator
from contextlib import closing, suppress
from ipaddress import ip_address
from pathlib import Path
from typing import Final

from sockwright.errors import SockwrightError

LOOPBACK: Final = ((socket.AF_INET, "127.0.0.1"), (socket.AF_INET6, "::1"))
EVERYWHERE: Final = ((socket.AF_INET, "0.0.0.0"), (socket.AF_INET6, "::"))

WAITING: Final = 1024
"""Connections that may wait to be taken."""

_TRIES = 20
"""Ports looked at to find a free one."""

_ASK_ADDRESS: Final = 0xC0206921 if sys.platform == "darwin" else 0x8915
"""The number of the question for an interface's IPv4 address (SIOCGIFADDR)."""

_V6_TABLE = Path("/proc/net/if_inet6")
_FAR = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))
"""Addresses kept for documents (RFC 5737, RFC 3849): the way to anywhere leads past them."""


class CannotListen(SockwrightError):
    """The port cannot be had; the message says what to do."""


def listen(port: int, to_network: bool) -> list[socket.socket]:
    """Sockets on a port, the first one IPv4; port 0 takes any. CannotListen if it is taken."""
    (family, address), (family6, address6) = EVERYWHERE if to_network else LOOPBACK
    try:
        first = _listening((address, port), family)
    except OSError as error:
        raise CannotListen(_why_not(port, error)) from error
    # Not every computer has IPv6, and then there is nobody to come by it.
    with suppress(OSError):
        same = (address6, first.getsockname()[1])
        return [first, _listening(same, family6)]
    return [first]


def _listening(address: tuple[str, int], family: int) -> socket.socket:
    """A socket that sends each answer at once: waiting for more to send costs 40 ms a request."""
    listening = socket.create_server(address, family=family, backlog=WAITING)
    listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return listening


def _why_not(port: int, error: OSError) -> str:
    other = _free_port(port)
    take = f"take another one: --port {other}"
    if error.errno == errno.EADDRINUSE:
        return (
            f"port {port} is taken, perhaps by a workshop that is open already "
            f"(look at http://127.0.0.1:{port}); else {take}"
        )
    if error.errno in (errno.EACCES, errno.EPERM):
        return f"port {port} is not for everybody on this computer; {take}"
    return f"port {port} cannot be had ({error.strerror}); {take}"


def _free_port(port: int) -> int:
    """A free one, near where it can be."""
    for near in range(max(port, 1023) + 1, min(max(port, 1023) + _TRIES, 65_535)):
        with suppress(OSError), closing(socket.create_server((LOOPBACK[0][1], near))):
            return near
    return 0


def names() -> tuple[str, ...]:
    """What this computer is called, also by those who find it by ".local"."""
    own = socket.gethostname().lower().rstrip(".")
    short = own.partition(".")[0]
    return tuple(dict.fromkeys(name for name in (own, short, f"{short}.local") if short))


def addresses() -> tuple[str, ...]:
    """The addresses others reach it by, likeliest first; none where there is no network."""
    found = dict.fromkeys((*_outward(), *_of_interfaces(), *_of_v6_table()))
    return tuple(one for one in found if _is_reachable(one))


def as_host(address: str) -> str:
    """An address or a name as it stands in a URL: IPv6 in brackets."""
    return f"[{address}]" if ":" in address else address


def is_loopback(address: str) -> bool:
    """Whether a client's address is this computer's own to itself."""
    try:
        known = ip_address(address)
    except ValueError:
        return False
    return (getattr(known, "ipv4_mapped", None) or known).is_loopback


def _is_reachable(address: str) -> bool:
    known = ip_address(address)
    if known.is_loopback or known.is_unspecified:
        return False
    # An IPv6 one of the single link holds only with the name of the other side's interface.
    return known.version == 4 or not known.is_link_local


def _outward() -> Iterator[str]:
    """The addresses it would have on the way to far away. Connecting this way sends nothing."""
    for family, far in _FAR:
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((far, 9))
            yield str(probe.getsockname()[0])


def _of_interfaces() -> Iterator[str]:
    """IPv4 of every interface: a hut's network often leads nowhere."""
    try:
        from fcntl import ioctl
    except ImportError:
        return
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _, name in socket.if_nameindex():
            with suppress(OSError):
                asked = struct.pack("256s", name.encode()[:15])
                yield socket.inet_ntoa(ioctl(probe.fileno(), _ASK_ADDRESS, asked)[20:24])


def _of_v6_table() -> Iterator[str]:
    """IPv6 of every interface, where the system keeps a table of them."""
    with suppress(OSError):
        for line in _V6_TABLE.read_text(encoding="ascii").splitlines():
            yield str(ip_address(bytes.fromhex(line.split()[0])))
