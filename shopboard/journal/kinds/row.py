"""What is said of each kind of entry, in one row: how its body is written and read, what it means.

A row has no defaults: whoever makes a new kind answers every question of it, or says in which of
them it differs from another kind of the same sitting.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Generic, Literal, NamedTuple, TypeVar

from shopboard.journal.entry import BY, Entry, NewEntry
from shopboard.shop.renames import PointMeans

Body = Mapping[str, object]
"""What the journal holds of an entry, as JSON has it."""

Value = TypeVar("Value")

_MOST = 1e300
"""No amount is greater, and a whole number that is would be none that can be reckoned with."""

LostUndid = Literal["nothing", "its point", "its machine"]
"""What an entry that is lost may have left unproven; of no machine: of every machine."""

ChangesHow = Literal["its place", "anew", "no"]
"""What it changes of how everything stands: at its own place, all over, or nothing."""

KeptUnder = Literal["its point", "its machine", "nothing"]
"""Under what name its records are kept when that is gone from the shop file."""


class EntryKind(NamedTuple, Generic[Value]):
    """One kind of entry; the value is what a body holds, and comes back as it was written."""

    name: str
    """As the journal has it."""

    write: Callable[[Value], Body]
    """Makes the body of a value."""

    of_body: Callable[[Body], Value]
    """Reads a body of any version that was ever written; what is not as written counts as not
    told, unless it raises `UnreadableBodyError`."""

    point: PointMeans
    """What stands in the place of the point."""

    follows_renames: bool
    """Whether what stands in the place of the point is read under its name of today."""

    undoes: bool
    """Whether a result of its point, or one that it is told to undo, no longer counts after it."""

    lost: LostUndid
    """What one that is lost may have undone."""

    at_machine: bool
    """Whether somebody was at the machine: a plug that was out may be in since."""

    gathered: ChangesHow
    """Whether it changes how everything stands, and where."""

    look_back: str
    """What looking back, and `changes`, calls one that is told there, and that it was withdrawn
    since; empty: it is not told by itself."""

    retired: KeptUnder
    """Where it is kept on show when its machine or point is gone."""

    export: bool
    """Whether it makes, or changes, a row of `export`."""

    status: bool
    """Whether `status --json` changes by it."""

    voidable: bool
    """Whether it can be withdrawn: what is not has no way, and `acts.taking_back` refuses it."""

    def new(
        self, uid: str, value: Value, machine: str = "", point: str = "", refers: str = ""
    ) -> NewEntry:
        """Put together an entry, to be recorded.

        Args:
            uid: its name.
            value: what it says.
            machine: id of the machine that it speaks of, or empty.
            point: what stands in the place of the point, or empty.
            refers: uid of the entry that it speaks of, or empty.
        """
        return NewEntry(uid, self.name, machine, point, self.write(value), refers)

    def read(self, entry: Entry) -> Value:
        """Give what an entry says.

        Raises:
            UnreadableBodyError: when it is of a later version or not what was written; only of a
                kind of which that matters.
        """
        return self.of_body(entry.body)

    def said_in(self, entry: Entry, value: Value) -> Entry:
        """Give an entry that says something else than what is on record, of the same bench."""
        by = {BY: entry.body[BY]} if BY in entry.body else {}
        return entry._replace(body={**self.write(value), **by})


class UnreadableBodyError(ValueError):
    """What an entry says cannot be read by this program."""


class Bare(NamedTuple):
    """An entry whose kind says all."""


def bare(value: Bare) -> Body:  # noqa: ARG001 - there is nothing in it
    """Write a body that says nothing more."""
    return {"v": 1}


def read_bare(body: Body) -> Bare:  # noqa: ARG001 - there is nothing in it
    """Read a body that says nothing more."""
    return Bare()


def text_in(value: object) -> str:
    """Give words from a body; empty where there are none."""
    return "" if value is None else str(value)


def texts_in(value: object) -> tuple[str, ...]:
    """Give a list of words from a body."""
    return tuple([str(one) for one in value]) if isinstance(value, list | tuple) else ()


def number_in(value: object) -> float:
    """Give a number from a body; 0 where a later program wrote something else."""
    amount = amount_in(value)
    return amount if amount is not None and abs(amount) < 1e12 else 0.0


def amount_in(value: object) -> float | None:
    """Give a number from a body, of whatever size; None where there is none."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value) if abs(value) < _MOST else None


def on_day(on: datetime | None) -> dict[str, str]:
    """Write when something was that is said later; nothing where it is not."""
    return {} if on is None else {"on": on.isoformat()}


def noted(note: str) -> dict[str, str]:
    """Write a note; nothing where there is none."""
    return {"note": note} if note else {}
