"""A table of the shop file as its reader declares it: its keys, and what decides about them."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.allowed import Allowed
from shopboard.shop.table import Asked, Table


class Case(NamedTuple):
    """A table in which something stands that decides what belongs beside it."""

    by: str
    """The key that decides."""
    value: str
    """What stands there; empty: anything."""
    says: Mapping[str, object]
    only: str = ""
    """What else decides, which no key of the table tells."""
    reader: Callable[[Table], object] | None = None
    """What reads it then; None: as always."""

    @property
    def words(self) -> str:
        """As it is said: ``screw``."""
        return f"{self.value or self.by}{self.only}"


class DeclaredKey(NamedTuple):
    """A key of a table."""

    key: str
    asked: Asked
    required: bool
    """It must always be there."""
    needed: tuple[Case, ...]
    """Cases in which alone it must be there."""
    barred: tuple[Case, ...]
    """Cases in which it is refused."""
    beside: str
    """The key that it needs beside it."""
    made_of: str = ""
    """The key that it is made of where it is left out: one of the two must be there."""
    usual: bool = False
    """It may be left out where what is meant is usual on its machine, by its id."""

    @property
    def allowed(self) -> Allowed | None:
        """What may stand there; None: a table."""
        return self.asked.kind.allowed() if self.asked.kind else None


class Sort(NamedTuple):
    """A table of the shop file, as often as it may stand there."""

    name: str
    """``machine.point``; empty: the file as a whole."""
    header: str
    """``[[machine.point]]``."""
    keys: Mapping[str, DeclaredKey]
    one_of: tuple[tuple[str, ...], ...]
    """Keys of which exactly one must be there."""
    cases: tuple[Case, ...]
