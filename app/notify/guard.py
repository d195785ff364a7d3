"""Watches what a sending connects to, and keeps it out of the server's own network.

Every connection is looked at in the moment it is made, through the interpreter's audit events: a name
that answers differently the second time, or a redirect, comes no further than a private address
written out.
"""

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, IPv6Network, ip_address

NAT64 = IPv6Network("64:ff9b::/96")  # RFC 6052: an IPv4 address in the last 32 bits
UNICAST = IPv6Network("2000::/3")
"""All of the open internet's IPv6 addresses (RFC 4291 and IANA's registry): what else `is_global` lets
through, like site-local or IPv4-compatible addresses, may lead inside."""
EVENTS = frozenset({"socket.connect", "http.client.send"})
_here = threading.local()


class PrivateTarget(OSError):
    """A connection into the server's own network."""


@dataclass(slots=True)
class Watch:
    """What one sending did: whether it was kept from somewhere, what left, what was answered."""

    private: bool
    refused: bool = False
    left: bool = False
    status: int | None = None
    accepted: bool = False

    def connecting(self, target: object) -> None:
        """Refuse a private target, unless they are allowed."""
        if self.private or (isinstance(target, tuple) and is_public(str(target[0]))):
            return
        self.refused = True
        raise PrivateTarget("this address leads into the server's own network")


@contextmanager
def watching(*, private: bool) -> Iterator[Watch]:
    """Watch what this thread sends; ``private`` allows the server's own network."""
    _here.watch = Watch(private)
    try:
        yield _here.watch
    finally:
        _here.watch = None


def watch() -> Watch | None:
    """Return the watch of this thread's sending."""
    found = getattr(_here, "watch", None)
    return found if isinstance(found, Watch) else None


def is_public(address: str) -> bool:
    """Say whether a numeric address lies in the open internet; a name counts as not."""
    try:
        found: IPv4Address | IPv6Address = ip_address(address.partition("%")[0])
    except ValueError:
        return False
    if isinstance(found, IPv6Address):
        found = _inner(found) or found
    if isinstance(found, IPv6Address) and found not in UNICAST:
        return False
    return found.is_global and not found.is_multicast


def _inner(address: IPv6Address) -> IPv4Address | None:
    """Return the IPv4 address that an IPv6 address stands for."""
    if address in NAT64:
        return IPv4Address(int(address) & 0xFFFFFFFF)
    return address.ipv4_mapped or address.sixtofour


def _hook(event: str, args: tuple[object, ...]) -> None:
    if event not in EVENTS or (seen := watch()) is None:
        return
    if event == "socket.connect":
        seen.connecting(args[1])
    else:
        seen.left = True
        seen.status = None


sys.addaudithook(_hook)
