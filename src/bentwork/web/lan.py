"""Which addresses this machine has in the maker's own network."""

from __future__ import annotations

import ipaddress
import socket
import struct
from contextlib import suppress

__all__ = ["addresses", "is_local"]

_SHARED_SPACE = ipaddress.ip_network("100.64.0.0/10")  # RFC 6598: behind a provider's or a private network's gateway
_SOMEWHERE = ("10.255.255.255", "172.31.255.255", "192.168.255.255")  # asked for a way there; nothing is sent
_SIOCGIFADDR = 0x8915


def is_local(address: str) -> bool:
    """Tell whether an IPv4 address is of a private network, so that nobody out in the world can reach it."""
    try:
        found = ipaddress.IPv4Address(address)
    except ValueError:
        return False
    if found.is_loopback or found.is_link_local or found.is_unspecified or found.is_multicast:
        return False
    return found.is_private or found in _SHARED_SPACE


def addresses() -> list[str]:
    """Return the IPv4 addresses that a phone in the same network may reach, the likeliest first."""
    found: dict[str, None] = {}
    for there in _SOMEWHERE:
        with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
            asking.connect((there, 9))
            found[str(asking.getsockname()[0])] = None
    with suppress(OSError):
        found |= dict.fromkeys(
            str(told[4][0]) for told in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
        )
    found |= dict.fromkeys(_of_interfaces())
    return [address for address in found if is_local(address)]


def _of_interfaces() -> list[str]:
    """Ask each network card, where the system lets one."""
    try:
        from fcntl import ioctl
    except ImportError:  # Windows
        return []
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        for _, name in socket.if_nameindex():
            with suppress(OSError):
                told = ioctl(asking.fileno(), _SIOCGIFADDR, struct.pack("256s", name.encode()[:15]))
                found.append(socket.inet_ntoa(told[20:24]))
    return found
