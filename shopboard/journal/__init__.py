"""The journal: what happened in the shop, kept so that a power cut takes none of it.

Entries are appended, in order, and never changed. The journal knows nothing of
what an entry means beyond its kind.
"""

from shopboard.journal.acts import act_on_record, taking_back
from shopboard.journal.entry import (
    BEGIN,
    CLOCK,
    COMPUTER,
    END,
    SALVAGED,
    VOID,
    Damage,
    Entry,
    NewEntry,
    new_uid,
)
from shopboard.journal.errors import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalDiffers,
    JournalError,
    JournalForeign,
    JournalLocked,
    JournalMissing,
    JournalMovedOn,
    JournalNewer,
)
from shopboard.journal.look import LookedTo
from shopboard.journal.sqlite import SqliteJournal, open_journal
from shopboard.journal.store import Store

__all__ = [
    "BEGIN",
    "CLOCK",
    "COMPUTER",
    "END",
    "SALVAGED",
    "VOID",
    "Damage",
    "Entry",
    "JournalCannotRead",
    "JournalCannotWrite",
    "JournalDamaged",
    "JournalDiffers",
    "JournalError",
    "JournalForeign",
    "JournalLocked",
    "JournalMissing",
    "JournalMovedOn",
    "JournalNewer",
    "LookedTo",
    "NewEntry",
    "SqliteJournal",
    "Store",
    "act_on_record",
    "new_uid",
    "open_journal",
    "taking_back",
]
