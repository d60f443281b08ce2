"""A prep day as the journal keeps it: begun for a project, with what was first said of its end.

And in which order it was planned then. Nothing else of the day is kept: what is left to do follows
from the journal and the time, so a day that was cut off goes on where the shop stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, NewEntry, Store, kinds, new_uid
from shopboard.journal.kinds import LeftUndone, PrepAct
from shopboard.prep.time_had import TimeHad

_MOST = 20, 1000
"""Records that tell nothing of a day in progress, one after the other: no more are looked at."""


class PrepDay(NamedTuple):
    """A prep day that was begun and is not ended."""

    uid: str
    seq: int
    when: datetime
    """When it was begun."""
    project: str = ""
    """Id of the project it is for; empty: everything that is due."""
    allow_open: bool = False
    """Whether two machines may stand open with their cutters out at once."""
    finish: datetime | None = None
    """When all would be done, as it was said at its beginning."""
    had: TimeHad = TimeHad()
    """The time that one has, as it was said last."""
    told: datetime | None = None
    """When that was said; None: at the beginning."""
    planned: tuple[tuple[str, float], ...] = ()
    """Ids of machines, each with the minutes of work planned at the beginning; none: not told."""
    put_off: int | None = None
    """How many jobs did not fit into its time at the beginning; None: not told."""
    order: tuple[str, ...] = ()
    """Ids of its pieces in the order planned at the beginning; none: not told."""

    @property
    def since(self) -> datetime:
        """From when the time that one has counts."""
        return self.told or self.when


def day_under_way(journal: Store) -> PrepDay | None:
    """Give the prep day that is under way; None when none is.

    Raises:
        JournalError: when the journal cannot be read.
    """
    newest = next((one for most in _MOST for one in _telling(journal, most)), None)
    if newest is None or kinds.PREP.read(newest).what == "ended":
        return None
    day = read_day(newest)
    if kinds.PREP.read(newest).what == "begun":
        return day
    begun = journal.get(newest.refers) if newest.refers else None
    if begun is not None:  # else it is whole in itself: its beginning is damaged
        said = kinds.PREP.read(begun)
        day = day._replace(uid=begun.uid, seq=begun.seq, when=begun.when, planned=said.planned)
        day = day._replace(put_off=said.put_off, order=said.order)
    return day._replace(told=newest.when)


def _telling(journal: Store, most: int) -> Iterator[Entry]:
    """Give what tells of a day in progress, or that there is none, the newest first.

    An act of a later program tells neither: what was said before it holds.
    """
    for one in journal.recent(kinds.PREP.name, "", "", most, include_void=False):
        what = kinds.PREP.read(one).what
        if what in ("begun", "ended") or (what and not _is_over(journal, one.refers)):
            yield one


def _is_over(journal: Store, uid: str) -> bool:
    """Tell whether a day was ended, or its beginning withdrawn.

    Another window or command may tell its time after that.
    """
    begun = journal.get(uid) if uid else None
    if begun is not None and begun.void is not None:
        return True
    return any(kinds.PREP.read(one).what == "ended" for one in _acts_of(journal, uid))


def _acts_of(journal: Store, uid: str) -> list[Entry]:
    """Give what stands of what was said of a day after its beginning."""
    thread = journal.thread(uid) if uid else []
    return [one for one in thread if one.kind == kinds.PREP.name and one.void is None]


def change_time(journal: Store, day: PrepDay, had: TimeHad, uid: str = "") -> None:
    """Record that one has another time for a prep day than was said before.

    Args:
        journal: the journal.
        day: the day.
        had: the time.
        uid: name of the entry; empty: a new one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    said = PrepAct("time", day.project, day.allow_open, day.finish, *had)
    journal.append([kinds.PREP.new(uid or new_uid(), said, refers=day.uid)])


def begin_day(
    journal: Store,
    project: str,
    finish: datetime | None,
    *,
    allow_open: bool = False,
    had: TimeHad = TimeHad(),  # noqa: B008 - it never changes
    planned: tuple[tuple[str, float], ...] = (),
    put_off: int | None = None,
    order: tuple[str, ...] = (),
    uid: str = "",
) -> PrepDay:
    """Record that a prep day begins; one that is under way ends with that.

    Args:
        journal: the journal.
        project: id of the project it is for; empty: everything that is due.
        finish: when all will be done.
        allow_open: whether two machines may stand open with their cutters out at once.
        had: the time that one has.
        planned: ids of machines, each with the minutes of work that are planned at it.
        put_off: how many jobs do not fit into its time; None: it is not told.
        order: ids of its pieces in the order that is planned.
        uid: name of its entry; empty: a new one.

    Raises:
        JournalError: when it cannot be recorded.
    """
    said = PrepAct("begun", project, allow_open, finish, *had, planned, put_off=put_off)
    said = said._replace(order=order)
    before = day_under_way(journal)
    entries = [] if before is None else [_end_of(journal, before)]
    return read_day(journal.append([*entries, kinds.PREP.new(uid or new_uid(), said)])[-1])


def end_day(journal: Store, day: PrepDay, uid: str = "", left: tuple[LeftUndone, ...] = ()) -> None:
    """Record that a prep day is over, whatever is left of it.

    Args:
        journal: the journal.
        day: the day.
        uid: name of the entry; empty: one that follows from the day's.
        left: what it leaves undone.

    Raises:
        JournalError: when it cannot be recorded.
    """
    journal.append([_end_of(journal, day, uid, left)])


def says_the_same(entry: Entry, project: str | None, *, allow_open: bool) -> bool:
    """Tell whether an entry begins a day for that project, or (None) ends one."""
    said = kinds.PREP.read(entry)
    if project is None:
        return said.what == "ended"
    return (said.what, said.project, said.allow_open) == ("begun", project, allow_open)


def _end_of(
    journal: Store, day: PrepDay, uid: str = "", left: tuple[LeftUndone, ...] = ()
) -> NewEntry:
    """Name the end by the beginning: a repeated key adds nothing.

    Behind an end that was withdrawn it is another one.
    """
    thread = journal.thread(day.uid)
    ends = (one for one in thread if one.kind == kinds.PREP.name and one.void is not None)
    before = sum(kinds.PREP.read(one).what == "ended" for one in ends)
    name = f"{day.uid}-end{f'-{before + 1}' if before else ''}"
    return kinds.PREP.new(uid or name, PrepAct("ended", left=left), refers=day.uid)


def read_day(entry: Entry) -> PrepDay:
    """Read the entry that begins a day, or tells it anew."""
    said = kinds.PREP.read(entry)
    return PrepDay(
        *(entry.uid, entry.seq, entry.when, said.project, said.allow_open, said.finish),
        _had(said),
        planned=said.planned,
        put_off=said.put_off,
        order=said.order,
    )


def _had(said: PrepAct) -> TimeHad:
    return TimeHad(said.until, said.days, said.any_hours)
