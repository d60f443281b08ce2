"""What the journal is made of: entries as they are handed in, and as they are recorded.

An entry is never changed and never removed. What turns out wrong is voided:
a later entry of kind ``void`` names it and says why, and both stay readable.
"""

import os
from collections.abc import Mapping
from datetime import datetime

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.who import shown_name

BY = "by"
"""The key of a body, of whatever kind, under which stands the name of the bench it came from."""


class NewEntry(NamedTuple):
    """An entry as the caller hands it in; the journal adds the number and the time."""

    uid: str
    """Made by the caller, once: handing in the same entry again adds nothing."""

    kind: str
    """What sort of entry it is; the only part whose meaning the journal knows."""

    machine: str = ""
    """The machine it speaks of, or empty."""

    point: str = ""
    """The point on that machine, or empty."""

    body: Mapping[str, object] = {}
    """Anything that JSON can hold, versioned by its own key ``v``; no NaN, no infinity."""

    refers: str = ""
    """The uid of the entry that this one speaks of: what is voided, which sitting goes on."""


class Entry(NamedTuple):
    """An entry as it is recorded."""

    seq: int
    """Its number: 1, 2, 3 ... in the order of recording. The order that counts."""

    uid: str
    """The caller's name for it."""

    when: datetime
    """The computer's clock at recording, in UTC. May be wrong: see `clock_ok`."""

    kind: str
    """What sort of entry it is."""

    machine: str
    """The machine it speaks of, or empty."""

    point: str
    """The point on that machine, or empty."""

    refers: str
    """The uid of the entry that this one speaks of, or empty."""

    body: dict[str, object]
    """What was recorded."""

    void: str | None
    """Why it was voided, or None while it stands."""

    clock_ok: bool
    """False when the clock stood behind an earlier entry, or before this program was written."""

    @property
    def by(self) -> str:
        """The name of the bench or device that recorded it; empty: it had none."""
        return shown_name(self.body.get(BY))

    def says(self, new: NewEntry) -> bool:
        """Tell whether it says what is handed in, whichever bench recorded it."""
        body = {key: value for key, value in self.body.items() if key != BY}
        return (self.kind, body) == (new.kind, new.body)


class Damage(NamedTuple):
    """The first place at which the journal is not what was once recorded."""

    seq: int | None
    """The number of the entry, or None when the damage lies in no single entry; 0: all that is
    recorded is there, but the file around it is not sound."""

    what: str
    """What is wrong, in a sentence."""

    def shakes(self, seq: int) -> bool:
        """Tell whether what was recorded with a number, 0 for nothing, may hold no longer.

        What a damaged entry was cannot be known, nor what it spoke of: it may have undone, moved
        or withdrawn anything that was recorded before it.
        """
        return self.seq is None or seq < self.seq

    @property
    def why(self) -> str:
        """Say in a few words why something is not sure."""
        return f"the journal is damaged{f' at entry {self.seq}' if self.seq else ''}"

    @property
    def says(self) -> str:
        """Say what is wrong, what it means for the records, and what to look at first."""
        broken = f"the journal is damaged: {self.what}."
        if self.seq == 0:
            return f"{broken} No record is lost; put a good copy in its place soon."
        which = "None of its records counts" if self.seq is None else "No record before it counts"
        tags = "Any machine may carry a DO NOT USE tag: look at each."
        return f"{broken} {which} until checked again. {tags}"


def new_uid() -> str:
    """Give a name that no other entry has: 128 random bits in hexadecimal."""
    return os.urandom(16).hex()
