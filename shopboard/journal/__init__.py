"""The journal: what happened in the shop, kept so that a power cut takes none of it.

Entries are appended, in order, and never changed. The journal knows nothing of
what an entry means beyond its kind.
"""

from shopboard.journal.acts import act_on_record as act_on_record
from shopboard.journal.acts import taking_back as taking_back
from shopboard.journal.entry import Damage as Damage
from shopboard.journal.entry import Entry as Entry
from shopboard.journal.entry import NewEntry as NewEntry
from shopboard.journal.entry import new_uid as new_uid
from shopboard.journal.errors import JournalCannotRead as JournalCannotRead
from shopboard.journal.errors import JournalCannotWrite as JournalCannotWrite
from shopboard.journal.errors import JournalDamaged as JournalDamaged
from shopboard.journal.errors import JournalDiffers as JournalDiffers
from shopboard.journal.errors import JournalError as JournalError
from shopboard.journal.errors import JournalForeign as JournalForeign
from shopboard.journal.errors import JournalLocked as JournalLocked
from shopboard.journal.errors import JournalMissing as JournalMissing
from shopboard.journal.errors import JournalMovedOn as JournalMovedOn
from shopboard.journal.errors import JournalNewer as JournalNewer
from shopboard.journal.errors import JournalTaken as JournalTaken
from shopboard.journal.look import LookedTo as LookedTo
from shopboard.journal.opened import open_journal as open_journal
from shopboard.journal.sqlite import SqliteJournal as SqliteJournal
from shopboard.journal.store import KeptJournal as KeptJournal
from shopboard.journal.store import Store as Store
