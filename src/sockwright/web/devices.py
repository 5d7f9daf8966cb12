"""Which device an address stands for, wherever something is counted by device."""

from __future__ import annotations

from ipaddress import IPv6Address, ip_address


def device_of(address: str) -> str:
    """The address a device is counted by: one device has a whole IPv6 network to itself."""
    try:
        known = ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if isinstance(known, IPv6Address):
        mapped = known.ipv4_mapped
        return str(mapped) if mapped else f"{IPv6Address(int(known) >> 64 << 64)}/64"
    return str(known)
