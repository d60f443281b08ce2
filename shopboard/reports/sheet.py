"""What stands on the inspection sheet of a machine: each point with its newest sitting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Store, kinds
from shopboard.metrology.quantity import Unit
from shopboard.reports.trace import TraceEvent, events_of, happenings_at, sitting_of
from shopboard.results.record import CheckRecord, read_all
from shopboard.results.remarks import with_remarks
from shopboard.standing.model import MachineStanding, PointStanding
from shopboard.upkeep.tags import standing_tag


class SheetRow(NamedTuple):
    """One point on the sheet."""

    standing: PointStanding
    """How it stands today."""
    found: CheckRecord | None = None
    """As found at the newest sitting that has a standing result."""
    left: CheckRecord | None = None
    """As left at that sitting, the last one; None when it was not set, or not measured after."""
    since: tuple[TraceEvent, ...] = ()
    """What happened to the machine after the newest result, newest first."""

    @property
    def newest(self) -> CheckRecord | None:
        """The result that counts."""
        taken = (one for one in (self.left, self.found) if one is not None)
        record = self.standing.record
        return next((one for one in taken if record and one.uid == record.uid), record)


class Sheet(NamedTuple):
    """Everything that is printed."""

    shop: str
    machine: str
    unit: Unit
    printed: datetime
    rows: tuple[SheetRow, ...]
    level: float
    """Probability at which a point counts as proven."""
    who: str = ""
    """Who checked it, as given; empty leaves a line to write on."""
    out_of_use: str = ""
    """Why the machine is tagged out of use; empty while it is not."""
    on_hold: tuple[str, ...] = ()
    """What was glued up on hold with its work, by whose decision and why, the newest first."""


def gather_rows(
    machine: MachineStanding,
    journal: Store,
    beside: Mapping[str, Sequence[str]] | None = None,
) -> tuple[SheetRow, ...]:
    """Read what the sheet needs of each point.

    Args:
        machine: how its machine stands.
        journal: the journal.
        beside: by what happened, the other modes of its body from which it reaches the machine.

    Raises:
        JournalError: when the journal cannot be read.
    """
    happened = happenings_at(machine.machine.id, journal, beside)
    return tuple(
        _row(one, _sitting(one.record, journal), events_of(happened, one.point.undone_by), journal)
        for one in machine.points
    )


def _sitting(record: CheckRecord | None, journal: Store) -> list[CheckRecord]:
    """Give the standing results of the sitting in which a result was recorded."""
    if record is None:
        return []
    thread = journal.thread(sitting_of(record.uid))
    entries = [one for one in thread if one.kind == kinds.CHECK.name and one.void is None]
    here = (record.machine, record.point)
    found = [one for one in read_all(entries) if (one.machine, one.point) == here]
    return found or [record]


def _row(
    standing: PointStanding, sitting: list[CheckRecord], events: list[TraceEvent], journal: Store
) -> SheetRow:
    newest = standing.record
    if newest is None:
        return SheetRow(standing)
    sitting = with_remarks(sitting, journal, newest.machine, newest.point)
    found = [one for one in sitting if one.run != "as-left"]
    left = [one for one in sitting if one.run == "as-left"]
    since = sorted((one for one in events if one.seq > newest.seq), reverse=True)
    return SheetRow(
        standing, found[-1] if found else None, left[-1] if left else None, tuple(since)
    )


def why_out_of_use(machine_id: str, journal: Store) -> str:
    """Say why a machine is tagged out of use; empty while it is not.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return standing_tag(machine_id, journal)
