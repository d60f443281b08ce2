"""The second fence: this program's own connection can do nothing but read and add entries.

The guards in the file hold against everyone; this one holds even where a guard
could be taken away, and keeps the settings that make recording safe.
"""

from __future__ import annotations

import sqlite3

_ALLOWED = frozenset(
    [
        sqlite3.SQLITE_SELECT,
        sqlite3.SQLITE_READ,
        sqlite3.SQLITE_FUNCTION,
        sqlite3.SQLITE_RECURSIVE,
        sqlite3.SQLITE_TRANSACTION,
    ]
)
_PRAGMAS = frozenset(["data_version", "user_version", "integrity_check", "database_list"])


def fence(db: sqlite3.Connection) -> None:
    """Let the connection read, add entries, and nothing else."""
    db.set_authorizer(_judge)


def _judge(
    action: int, first: str | None, _second: str | None, _base: str | None, _by: str | None
) -> int:
    allowed = (
        action in _ALLOWED
        or (action == sqlite3.SQLITE_INSERT and first == "entries")
        or (action == sqlite3.SQLITE_PRAGMA and first in _PRAGMAS)
    )
    return sqlite3.SQLITE_OK if allowed else sqlite3.SQLITE_DENY
