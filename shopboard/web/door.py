"""Who may come in: what a request must look like, and how many. Pure: no network, no clock.

A browser opens any page that it is told to, and such a page may ask this server for things in
the person's name. So a request must name this server as its host (a foreign name that was made
to lead here does not: RFC 9110, section 7.2) and, where it can do something, come from a page of
this server (RFC 6454, section 7; RFC 6455, section 10.2).
"""

from __future__ import annotations

import ipaddress
import re
from collections.abc import Sequence

from shopboard.base.light_tuple import NamedTuple

LONGEST_PATH = 1_024
LARGEST_BODY = 65_536
"""Bytes."""
REQUESTS = (20.0, 120)
"""Requests of one address in a second, and how many at once."""
SOCKETS_OF_ONE, SOCKETS = 8, 24
"""Sockets of one device, and in all."""
CONNECTIONS_OF_ONE, CONNECTIONS = 32, 96
"""Connections of one address, and in all."""

LOOKS = ("/glance", "/status.json")
"""All that a device gets to see that only looks."""

_LOCAL = ("localhost", "127.0.0.1", "[::1]")
_HOST = re.compile(r"([a-z0-9._-]{1,253}|\[[0-9a-f:.]{2,45}\])(?::([0-9]{1,5}))?", re.ASCII)
_PART = r"[A-Za-z0-9_~-][A-Za-z0-9._~-]*"
_PATH = re.compile(rf"/(?:{_PART}/)*(?:{_PART})?(?:\?[A-Za-z0-9._~=&+%*-]*)?", re.ASCII)
"""No name begins with a point, none is empty, and nothing is written as %xx."""
_OF_A_PROXY = frozenset(("forwarded", "via", "x-real-ip"))


class Refusal(NamedTuple):
    """Why a request is not answered."""

    status: int
    words: str


class RequestHead(NamedTuple):
    """What the head of a request says."""

    method: str
    target: str
    """As it stands in the first line."""
    headers: Sequence[tuple[str, str]]
    here: str = ""
    """The address of this computer that it came to."""

    def all(self, name: str) -> list[str]:
        """Give every value of a header, by its name in small letters."""
        return [value for one, value in self.headers if one.lower() == name]

    @property
    def opens_socket(self) -> bool:
        """Whether it asks for a socket."""
        return any("websocket" in value.lower() for value in self.all("upgrade"))


class Door(NamedTuple):
    """Where the server listens, and by which names it may be called."""

    address: str = "127.0.0.1"
    port: int = 8080
    on: bool = False
    """Whether the address was named: others may come, and nobody without a secret."""
    names: tuple[str, ...] = ()
    tls: bool = False
    behind_proxy: bool = False

    @property
    def needs_secret(self) -> bool:
        """Whether a device must have paired."""
        return self.on or self.behind_proxy or bool(self.names)

    @property
    def secure(self) -> bool:
        """Whether a browser comes by TLS: here, or as far as the proxy."""
        return self.tls or self.behind_proxy

    def refuses(self, asked: RequestHead) -> Refusal | None:
        """Say why a request is not answered, whoever sends it; None: it may be."""
        if len(asked.target) > LONGEST_PATH:
            return Refusal(414, "the address is too long")
        if not _PATH.fullmatch(asked.target):
            return Refusal(400, "there is no such address here")
        proxied = any(
            name.lower() in _OF_A_PROXY or name.lower().startswith("x-forwarded-")
            for name, _ in asked.headers
        )
        if proxied and not self.behind_proxy:
            return Refusal(400, "this came by a proxy: start the server with --behind-proxy")
        if any(length > LARGEST_BODY for length in _lengths(asked)):
            return Refusal(413, "that is too much at once")
        hosts = asked.all("host")
        if len(hosts) != 1 or not self._is_here(hosts[0], asked.here):
            return Refusal(403, "this server is not called that: see --name")
        return self._by_origin(asked, hosts[0])

    def _is_here(self, host: str, here: str) -> bool:
        found = _HOST.fullmatch(host.lower())
        if found is None:
            return False
        name, port = found[1], found[2]
        if name in {one.lower() for one in self.names}:
            return True  # a proxy may listen on any port
        usual = 443 if self.tls else 80
        named = {*_LOCAL, as_host(self.address), as_host(here)} - {""}
        return name in named and int(port or usual) == self.port

    def _by_origin(self, asked: RequestHead, host: str) -> Refusal | None:
        """Refuse what a page of another server asks for."""
        origins = asked.all("origin")
        ours = f"{'https' if self.secure else 'http'}://{host}".lower()
        acts = asked.opens_socket or asked.method not in ("GET", "HEAD")
        if (acts and not origins) or any(one.lower() != ours for one in origins):
            return Refusal(403, "a page of another server may not ask for that")
        return None

    def address_of(self, asked: RequestHead, peer: str) -> str:
        """Give whose requests are counted together: behind a proxy, whom that names last."""
        told = asked.all("x-forwarded-for") if self.behind_proxy else []
        last = told[-1].rpartition(",")[2].strip() if told else ""
        return last if _is_address(last) else peer


def is_host(name: str) -> bool:
    """Tell whether that can be the name of a host, without a port."""
    found = _HOST.fullmatch(name.lower())
    return found is not None and found[2] is None


def as_host(address: str) -> str:
    """Give an address as it stands in a host's place."""
    address = address.partition("%")[0].lower()
    return f"[{address}]" if ":" in address else address


def _lengths(asked: RequestHead) -> list[int]:
    told = (one for one in asked.all("content-length") if one.isascii() and one.isdigit())
    return [int(one) if len(one) <= 20 else LARGEST_BODY + 1 for one in told]


def _is_address(text: str) -> bool:
    try:
        ipaddress.ip_address(text)
    except ValueError:
        return False
    return True


class Allowance:
    """So many in a second, and for a moment more; each is counted by whose it is."""

    def __init__(self, a_second: float, at_once: int) -> None:
        self._a_second = a_second
        self._at_once = at_once
        self._left: dict[str, tuple[float, float]] = {}

    def take(self, whose: str, at: float) -> bool:
        """Count one more; tell whether it is allowed.

        Args:
            whose: address or device.
            at: seconds of any clock that only goes on.
        """
        left, since = self._left.get(whose, (float(self._at_once), at))
        left = min(float(self._at_once), left + (at - since) * self._a_second)
        self._left[whose] = (left - 1 if left >= 1 else left, at)
        if len(self._left) > 1_000:  # who was not here for long is as good as new
            full = self._at_once / self._a_second
            fresh = {who: one for who, one in self._left.items() if at - one[1] < full}
            self._left = fresh if len(fresh) <= 10_000 else {}
        return left >= 1
