"""The acts of the journal as programs of their own; the paths are their arguments."""

BACK_UP = """
import sys
from pathlib import Path
from shopboard.journal.backup import back_up
from shopboard.journal.copies import keep_one
back_up(Path(sys.argv[1]), Path(sys.argv[2]))
"""

RESTORE = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from shopboard.journal.restore import made_ready, put_in_place
with made_ready(Path(sys.argv[1]), Path(sys.argv[2])) as ready:
    put_in_place(ready, datetime(2026, 6, 2, 9, 0, tzinfo=UTC))
"""

NO_LINKS = """
import os
def refuse(*_):
    raise PermissionError(1, "Operation not permitted")
os.link = refuse
"""
"""As on a stick whose file system gives no file two names."""

SALVAGE = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from shopboard.upkeep.after_salvage import unproven_entries
from shopboard.journal.salvage import salvage
salvage(Path(sys.argv[1]), Path(sys.argv[2]), lambda: datetime.now(UTC), unproven_entries)
"""

KEEP = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from shopboard.journal.copies import keep_one
keep_one(Path(sys.argv[1]), Path(sys.argv[2]), datetime(2026, 6, 2, 9, 0, tzinfo=UTC))
"""

BRING_UP = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from shopboard.journal import open_journal
from shopboard.journal.schema import MIGRATIONS
newer = (*MIGRATIONS, ("ALTER TABLE entries ADD COLUMN mood TEXT", "CREATE TABLE mood (x)"))
open_journal(Path(sys.argv[1]), lambda: datetime.now(UTC), migrations=newer).close()
"""
