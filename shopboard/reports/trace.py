"""What there is to tell of one point through the years: results, settings, happenings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from itertools import pairwise

from shopboard.base.dates import told_on
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, Store, kinds
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind
from shopboard.results.record import CheckRecord, read_all
from shopboard.shop.machine import PROJECT_FINISHED
from shopboard.shop.model import Shop

MOST_RESULTS = 5000
"""More than a check a day for thirteen years; older ones are left out, and that is said."""

_MOST_HAPPENINGS = 1000


class TraceEvent(NamedTuple):
    """Something that happened to the machine."""

    seq: int
    when: datetime
    what: str
    undoes: bool = False
    """Whether it undoes checks of this point."""
    clock_ok: bool = True
    on: datetime | None = None
    """When it happened, where that was said later."""


class Setting(NamedTuple):
    """The point was set anew in a check."""

    seq: int
    when: datetime
    found: float | None = None
    """Error before, in the unit of the kind (rad, mm, ...); None when it was not measured."""
    left: float | None = None
    """Error after; None when it was not measured."""
    clock_ok: bool = True


class Trace(NamedTuple):
    """One point through the years. Everything oldest first, by the order of recording."""

    kind: Kind
    """What the point's tolerance limits; where there is none, what was measured last."""
    records: tuple[CheckRecord, ...] = ()
    """Results of this kind, with those withdrawn."""
    settings: tuple[Setting, ...] = ()
    events: tuple[TraceEvent, ...] = ()
    tolerance: Tolerance | None = None
    """Today's; None for a point that the shop file no longer has."""
    other_kinds: int = 0
    """Results of another kind, which no common picture can hold."""
    cut: bool = False
    """Whether there are older results than these."""


def trace_of(
    records: Iterable[CheckRecord],
    moved: Iterable[Entry],
    events: Iterable[TraceEvent],
    tolerance: Tolerance | None,
    most: int = MOST_RESULTS,
) -> Trace:
    """Put the story of a point together.

    Args:
        records: its results, in any order.
        moved: the entries that say that it was moved.
        events: what happened to its machine.
        tolerance: today's; None when there is none.
        most: results that are kept, the newest.
    """
    ordered = sorted(records, key=lambda one: one.seq)
    kind = _kind(ordered, tolerance)
    fit = [one for one in ordered if one.kind == kind]
    kept = fit[-most:]
    oldest = kept[0].seq if len(ordered) > most and kept else 0
    settings = [one for one in _settings(kept, moved) if one.seq >= oldest]
    happened = [one for one in events if one.seq >= oldest]
    return Trace(
        kind=kind,
        records=tuple(kept),
        settings=tuple(sorted(settings)),
        events=tuple(sorted(happened)),
        tolerance=tolerance,
        other_kinds=len(ordered) - len(fit),
        cut=len(ordered) > most,
    )


def _kind(records: Sequence[CheckRecord], tolerance: Tolerance | None) -> Kind:
    if tolerance is not None:
        return tolerance.kind
    return records[-1].kind if records else "angle"


def sitting_of(uid: str) -> str:
    """Give the sitting that a result was recorded in; entries are named after it and a number."""
    return uid.rpartition("-")[0] or uid


def _settings(records: Sequence[CheckRecord], moved: Iterable[Entry]) -> list[Setting]:
    """Find each time that the point was set: between two results of a sitting, or not measured."""
    found: dict[int, Setting] = {}
    by_sitting: dict[str, list[CheckRecord]] = {}
    for record in records:
        if record.void is None:
            by_sitting.setdefault(sitting_of(record.uid), []).append(record)
    for of_sitting in by_sitting.values():
        for before, after in pairwise(of_sitting):
            if after.run == "as-left":
                found[after.seq] = Setting(
                    after.seq, after.when, before.error, after.error, after.clock_ok
                )
    for entry in moved:
        of_sitting = by_sitting.get(entry.refers or sitting_of(entry.uid), [])
        if entry.void is None and not any(one.seq > entry.seq for one in of_sitting):
            known = of_sitting[-1].error if of_sitting else None
            found[entry.seq] = Setting(entry.seq, entry.when, known, None, entry.clock_ok)
    return list(found.values())


def events_of(entries: Iterable[Entry], undone_by: Sequence[str] = ()) -> list[TraceEvent]:
    """Read what happened to a machine; what is only counted, such as hours run, is left out.

    Args:
        entries: happenings of the machine, and of the whole shop.
        undone_by: what undoes the point: a finished project is counted, and may be among it.
    """
    return [
        TraceEvent(
            entry.seq,
            entry.when,
            told.what,
            told.what in undone_by,
            entry.clock_ok,
            told_on(told.on, entry.when),
        )
        for entry in entries
        if entry.void is None
        and (told := kinds.HAPPENING.read(entry)).what
        and (told.total is None or told.what in undone_by)
    ]


def happenings_at(
    machine: str, journal: Store, beside: Mapping[str, Sequence[str]] | None = None
) -> list[Entry]:
    """Read the newest happenings of a machine and the projects that the shop finished.

    Args:
        machine: id of the machine.
        journal: the journal.
        beside: by what happened, the other modes of its body from which it reaches the machine.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return [
        *(
            entry
            for what, modes in (beside or {}).items()
            for mode in modes
            for entry in journal.recent(kinds.HAPPENING.name, mode, what, _MOST_HAPPENINGS)
        ),
        *journal.machine_entries(kinds.HAPPENING.name, machine, _MOST_HAPPENINGS),
        *journal.recent(kinds.HAPPENING.name, "", PROJECT_FINISHED, _MOST_HAPPENINGS),
    ]


def gather_trace(shop: Shop, full_name: str, journal: Store, most: int = MOST_RESULTS) -> Trace:
    """Read the story of a point, in the shop file or not.

    Raises:
        JournalError: when the journal cannot be read.
    """
    machine, _, ident = full_name.partition(".")
    point = shop.points.get(full_name)
    return trace_of(
        read_all(journal.recent(kinds.CHECK.name, machine, ident, most + 1)),
        journal.recent(kinds.MOVED.name, machine, ident, most),
        events_of(
            happenings_at(machine, journal, shop.reached.get(machine)),
            point.undone_by if point else (),
        ),
        point.tolerance if point else None,
        most,
    )


def drawn_times(trace: Trace) -> dict[int, datetime]:
    """Give where on the time axis each entry lies, by its number.

    The computer's clock may have been wrong (a dead battery says 1970). Such an entry lies where
    the order of recording puts it: at the time of the one before it, or else of the next.
    """
    entries: list[CheckRecord | Setting | TraceEvent] = [
        *trace.records,
        *trace.settings,
        *trace.events,
    ]
    entries.sort(key=lambda one: one.seq)
    good = [one.when for one in entries if one.clock_ok]
    last = good[0] if good else None
    found: dict[int, datetime] = {}
    for one in entries:
        last = one.when if one.clock_ok or last is None else last
        found[one.seq] = last if good else one.when
    return found
