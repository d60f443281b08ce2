"""The shop file is written of the answers, and what was told of the days before is recorded."""

from __future__ import annotations

from datetime import datetime
from hashlib import sha256

from shopboard.base.locations import is_something_at
from shopboard.describing.chosen import Described, LastDone
from shopboard.describing.description import Description
from shopboard.describing.reading import file_text, read_back
from shopboard.journal import NewEntry, Store, act_on_record
from shopboard.shop.files import UnreadableFileError, read_bytes
from shopboard.shop.model import Shop
from shopboard.upkeep.moment import read_moment
from shopboard.upkeep.task_marks import new_task
from shopboard.writing.saving import create

NOTE = "told when the shop was described"


def told_of(description: Description) -> Described:
    """Give what the answers come to; all must be answered."""
    told = description.stand.result
    if not isinstance(told, Described):
        raise TypeError("questions are left")
    return told


def write(description: Description) -> None:
    """Write the shop file; one that this very description wrote before is as good.

    Raises:
        NotRightError: when the answers make no shop file.
        NotSavedError: when it is not written: another file may stand there, which is left.
        DraftError: when that it is written is not on the disk.
    """
    told = told_of(description)
    read_back(told)
    data = file_text(told).encode()
    if not is_ours(description):
        create(description.shop_file, data)
    if not description.draft.wrote:
        description.draft.has_written(sha256(data).hexdigest())


def is_ours(description: Description) -> bool:
    """Tell whether the shop file was written of these answers, whatever became of it since."""
    path = description.shop_file
    if not is_something_at(path):
        return False
    if description.draft.wrote:
        return True
    try:
        data, _ = read_bytes(path)
    except UnreadableFileError:
        return False
    return description.question is None and data == file_text(told_of(description)).encode()


def record(description: Description, journal: Store, shop: Shop, now: datetime) -> int:
    """Record what was told of the days before, once, and put the answers aside; give how many.

    Args:
        description: it is written.
        journal: the journal.
        shop: the shop file as it is now.
        now: the time.

    Raises:
        JournalError: when it is not on record.
        DraftError: when the answers cannot be put aside: it is tried again at the next start.
    """
    draft = description.draft
    known = {f"{one.id}.{task.id}" for one in shop.machines for task in one.tasks}
    done = [one for one in told_of(description).done if f"{one.machine}.{one.task}" in known]
    entries = [
        _entry(one, journal, draft.uid_of(one.machine, one.task), now)
        for one in done
        if act_on_record(journal, draft.uid_of(one.machine, one.task)) is None
    ]
    if entries:
        journal.append(entries)
    draft.put_aside(description.shop_file)
    return len(entries)


def _entry(one: LastDone, journal: Store, uid: str, now: datetime) -> NewEntry:
    """Put a task together as said later, one of today as well: telling it is no work."""
    done = min(one.day, now.astimezone().date())  # the clock may have been put back since
    on = read_moment(done.isoformat(), now).when
    return new_task(journal, one.machine, one.task, uid=uid, note=NOTE, on=on)
