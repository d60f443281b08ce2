"""Where a journal is: a file, or a database on a server that several benches share."""

from __future__ import annotations

import re
from pathlib import Path

SCHEMES = ("postgresql://", "postgres://")

_USUAL_PORT = "5432"
"""That of the service "postgresql" in the IANA's register of ports."""

_LIKE = re.compile(
    r"\s*(?:postgres\w*[:;]|[a-z][a-z0-9+.:-]*[a-z0-9+.-]://"
    r"|(?:[a-z][a-z0-9+.;:-]+(?:[:;][/\\]|//)|//|postgres\w*[/\\].*:|[^/\\:@\s]{2,}:).*@)",
    re.IGNORECASE,
)
"""How what is meant as a server begins, and no file: with user and password a misspelt one, too.
A letter and a colon are a drive of Windows."""

_MEANT = "a server is written postgresql://HOST/DATABASE"


class BadPlaceError(ValueError):
    """What names a server's journal and cannot be; its words hold nothing of a password."""


class ServerPlace:
    """A database on a server, by its URL; a password in that is never shown."""

    __slots__ = ("_url", "words")

    words: str
    """The place as it may be shown: without user and password."""

    def __init__(self, url: str) -> None:
        """Take the URL, as the server's own programs take it.

        Raises:
            BadPlaceError: when it is none.
        """
        self.words = _shown(url)
        self._url = url

    @property
    def url(self) -> str:
        """All of it, for who connects and for nobody else."""
        return self._url

    @property
    def name(self) -> str:
        """What a file that belongs to it is called: after its database, or its service."""
        words: list[str] = re.findall(r"[\w.-]+", self.words)
        return words[-1]

    def __eq__(self, other: object) -> bool:
        """Tell whether it is the same place, for the same user."""
        return isinstance(other, ServerPlace) and other._url == self._url

    def __hash__(self) -> int:
        return hash(self._url)

    def __str__(self) -> str:
        """Give it as it may be shown."""
        return self.words

    def __repr__(self) -> str:
        return f"ServerPlace({self.words!r})"


JournalPlace = Path | ServerPlace
"""Where a journal is."""


def names_a_server(text: str) -> bool:
    """Tell whether a name is meant as that of a server: one of another sort, and a slip, too."""
    return _LIKE.match(text) is not None


def _shown(url: str) -> str:
    """Give a URL without user, password and all that the place does not hang on."""
    from urllib.parse import parse_qsl, quote, unquote  # nothing of a file needs it

    scheme = next((one for one in SCHEMES if url.startswith(one)), None)
    if scheme is None:
        raise BadPlaceError(f"a journal is in a file or on a PostgreSQL server; {_MEANT}")
    if not url.isprintable():
        raise BadPlaceError(f"the server's URL holds a character that none may hold; {_MEANT}")
    rest, _, options = url[len(scheme) :].partition("?")
    where, _, database = rest.partition("/")
    if where.count("@") > 1 or "@" in database or "@" in options or "#" in url:
        raise BadPlaceError(
            "in the server's URL an @ stands between user and host alone; within a user, a"
            " password or an option write @ as %40, / as %2F, ? as %3F, # as %23"
        )
    asked = dict(parse_qsl(options, keep_blank_values=True))
    hosts = where.rpartition("@")[2] or quote(asked.get("host", ""), safe=":[],")
    said = ",".join(_host(one, asked.get("port", "")) for one in hosts.split(","))
    name = unquote(database) or asked.get("dbname", "")
    service = f"?service={quote(asked['service'])}" if "service" in asked else ""
    return f"{SCHEMES[0]}{said}/{quote(name)}{service}"


def _host(text: str, port: str) -> str:
    """Give one host, with its port where that is not the usual one."""
    host, given = text, port
    if found := re.fullmatch(r"(\[[^\]]*\]|[^:\[]*):(.*)", text):
        host, given = found[1], found[2] or port
    if given and not re.fullmatch(r"[0-9,]{1,40}", given):
        raise BadPlaceError(f"the port in the server's URL is no number; {_MEANT}")
    return host if given in ("", _USUAL_PORT) else f"{host}:{given}"
