"""What is asked of an open database, whichever it is: a file's or a server's connection.

Questions are written as SQLite takes them; a server's connection puts them into its own words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Protocol

AskedWith = Mapping[str, object] | Sequence[object]


class Rows(Protocol):
    """What was found."""

    def __iter__(self) -> Iterator[Any]:
        """Give the rows, one after another."""

    def fetchone(self) -> Any:
        """Give the next row, or None."""

    def fetchall(self) -> list[Any]:
        """Give the rows that are left."""


class Db(Protocol):
    """An open journal's database."""

    @property
    def in_transaction(self) -> bool:
        """Whether something was begun that is not ended."""

    @property
    def Error(self) -> type[Exception]:  # noqa: N802 - as PEP 249 has it
        """What it raises when something fails."""

    def execute(self, query: str, values: AskedWith = (), /) -> Rows:
        """Ask, or do."""
