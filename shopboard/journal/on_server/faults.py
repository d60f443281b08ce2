"""What a server says when something fails, in plain words; its own are never passed on.

They may hold the user's name, the password's file or a piece of the URL.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from shopboard.base.text import harmless
from shopboard.journal.errors import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalError,
)
from shopboard.journal.faults import ONCE_ONLY, UNCERTAIN, damage_fault, locked, named
from shopboard.journal.on_server.connection import lost

if TYPE_CHECKING:
    from shopboard.base.server_place import ServerPlace

_AGAIN = "Nothing is recorded until it does. Nothing is kept for later."

_NETWORK = "Look at the name, or whether the network is there."

# The beginnings of what libpq and the server say in English; in another language the last one
# counts. (PostgreSQL 15, libpq's fe-connect.c, fe-secure-common.c, fe-secure-openssl.c and the
# server's postinit.c, auth.c)
_ROOT = "~/.postgresql/root.crt (or the file that sslrootcert= in the URL names)"

_REFUSED: tuple[tuple[str, str, str], ...] = (
    (
        "does not support SSL",
        "the server speaks no TLS, and sslmode in the URL asks for it",
        "Its administrator switches it on (ssl = on). Nothing was sent to it.",
    ),
    (
        "root certificate file|root\\.crt",
        "the certificate by which the server would be known is not here, or cannot be read",
        f"Have the server's administrator give you the root certificate; put it into {_ROOT}.",
    ),
    (
        "certificate verify failed|self-signed certificate|unable to get .*issuer",
        "the server's certificate is not signed by your root certificate, or has run out: another"
        " computer may be in the server's place",
        "Nothing was sent to it. Ask the server's administrator; if the root certificate is a new"
        f" one, put that into {_ROOT}.",
    ),
    (
        "certificate for .* does not match|hostname mismatch|certificate contains",
        "the server's certificate is for a computer of another name: another one may be in the"
        " server's place",
        "Nothing was sent to it. In the URL write the name for which the certificate was made; the"
        " server's administrator knows it.",
    ),
    (
        "SSL error(?!: unexpected eof)|certificate|private key file",
        "no connection by TLS comes about",
        "Look at what the URL says of ssl, and have the server's administrator look at its log.",
    ),
    (
        "definition of service|service file",
        "there is no such service in the service file",
        "Look at ~/.pg_service.conf, or at the file that PGSERVICEFILE names.",
    ),
    (
        "password authentication failed|no password supplied|authentication failed",
        "the server does not take this user and password{user}",
        "They are given by PGUSER and PGPASSWORD, by a service file or by ~/.pgpass.",
    ),
    (
        'role ".*" does not exist|no pg_hba.conf entry|role ".*" is not permitted',
        "the server does not let this user in from here{user}",
        "Its administrator makes users, and says in pg_hba.conf from where they may come.",
    ),
    (
        'database ".*" does not exist',
        "the server has no such database",
        "Its administrator makes one:"
        " `createdb --encoding=UTF8 --template=template0 --owner=OWNER NAME`,"
        " OWNER being the role that is to begin the journal (`shopboard help benches`).",
    ),
    (
        "translate host name|resolve host|name or service not known",
        "no computer of that name is known here",
        _NETWORK,
    ),
    (
        "starting up|shutting down|recovery mode|too many|remaining connection slots",
        "the server takes nobody in just now",
        _AGAIN,
    ),
    (
        "missing .* in connection|invalid (port|integer|percent|URI|connection|sslmode)"
        "|unexpected (character|spaces)",
        "what follows postgresql:// cannot be understood",
        "A server is written postgresql://HOST/DATABASE.",
    ),
)


def no_connection(error: BaseException, place: ServerPlace) -> JournalError:
    """Give the error for a server to which there is no way."""
    said = str(error)
    for like, why, what in _REFUSED:
        if re.search(like, said, re.IGNORECASE):
            why = why.replace("{user}", _user(error))
            found = JournalCannotRead(f"The journal {named(place)} is out of reach: {why}.", what)
            found.is_away = what in (_AGAIN, _NETWORK)
            return found
    if "FATAL" in said:
        return JournalCannotRead(
            f"The journal {named(place)} is out of reach: the server refuses the connection.",
            "Its own log says why.",
        )
    return away(place)


def _user(error: BaseException) -> str:
    """Give as whom one came, in brackets; empty where that is not known for sure."""
    pgconn = getattr(error, "pgconn", None)
    name = (pgconn.user or b"").decode(errors="replace") if pgconn is not None else ""
    return f" (user {harmless(name)})" if re.fullmatch(r"[^:@/]{1,63}", name) else ""


def away(place: ServerPlace) -> JournalCannotRead:
    """Give the error for a server that does not answer."""
    found = JournalCannotRead(f"The server of the journal {named(place)} does not answer.", _AGAIN)
    found.is_away = True
    return found


_HELD = "55P03"
"""The code with which the server says that somebody held the lock for too long."""

_WRITE_CAUSES = {
    # by this bench itself, perhaps, on a line that is cut: the server has yet to notice that
    _HELD: ("the server still holds it for somebody", "Wait a few seconds"),
    "53100": ("the server's disk is full", "Make room on it"),
    "53200": ("the server is out of memory", "Ask its administrator"),
    "58030": ("the server's disk refused it", "Look whether it is sound"),
    "42501": ("this user has no right to record", "The journal's owner gives it"),
    "SHM01": ("a move into it is not finished", "Wait for its end, or have the same move go on"),
    "25006": ("the server takes no records", "It is a copy of another, or was set so"),
}


def write_fault(
    error: BaseException,
    place: ServerPlace,
    *,
    known_absent: bool,
    absent: str = "Nothing was recorded",
) -> JournalError:
    """Give the error for a recording that failed.

    Args:
        error: what was raised.
        place: the journal.
        known_absent: whether it surely is not on record.
        absent: says so.
    """
    code = str(getattr(error, "sqlstate", None) or "")
    told = absent if known_absent else UNCERTAIN
    if code == _HELD and known_absent:
        return locked(place)
    if code.startswith("XX00"):
        return damage_fault(place, "the server calls it so")
    if code.startswith("23"):
        return JournalError(
            f"The journal {named(place)} refused the entry.",
            f"{told}. This is a fault in the program; please report it.",
        )
    is_away = lost(error)
    if is_away:
        cause, cure = "the connection to the server was lost", "Wait until it is there again"
    else:
        cause, cure = _WRITE_CAUSES.get(
            code, (f"the server refused it (code {code or 'unknown'})", "Look at the server's log")
        )
    went = "could not be written" if known_absent else "gave no answer"
    found = JournalCannotWrite(
        f"The journal {named(place)} {went}: {cause}.",
        f"{told}. {cure}, then try again. {ONCE_ONLY}",
    )
    found.is_away, found.uncertain = is_away, not known_absent
    return found


def read_fault(error: BaseException, place: ServerPlace) -> JournalError:
    """Give the error for a reading that failed."""
    code = str(getattr(error, "sqlstate", None) or "")
    if code.startswith("XX00"):
        return damage_fault(place, "the server calls it so")
    if code == _HELD:
        return locked(place)
    if code == "57014":
        return JournalCannotRead(
            f"The journal {named(place)} gave no answer in time.",
            "Try again. If it stays so, look at the server: its disk, and what else it does.",
        )
    if code == "42501":
        return JournalCannotRead(
            f"The journal {named(place)} could not be read: this user has no right to.",
            "The journal's owner gives it: `shopboard help benches`.",
        )
    if lost(error):
        return away(place)
    return JournalCannotRead(
        f"The journal {named(place)} could not be read (the server's code {code or 'unknown'}).",
        "Look at the server's log.",
    )
