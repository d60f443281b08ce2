"""The questions to the journal in SQL, and the way from a row back to an entry."""

# ruff: noqa: S608  the statements are put together from constants of this file alone
from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import UTC, datetime

from shopboard.journal.chain import seal
from shopboard.journal.entry import Entry

VOIDED = "SELECT 1 FROM entries v WHERE v.kind = 'void' AND v.refers = e.uid"

SEALED = """
e.seq, e.uid, e.recorded_utc, e.kind, e.machine, e.point, e.refers, e.body, e.clock_ok,
e.app, e.prev, e.hash"""
"""All that a seal covers, and the seal."""

FIELDS = f"""
{SEALED}, (SELECT v.seq FROM entries v WHERE v.kind = 'void' AND v.refers = e.uid)
"""

ENTRY = f"SELECT {FIELDS} FROM entries e"
"""A row of every entry that is asked for: all that its seal covers, the seal, and its void."""

COUNT = "SELECT count(*) FROM entries NOT INDEXED"

HASH = "SELECT hash FROM entries WHERE seq = ?"

LAST_SEQ = "SELECT coalesce(max(seq), 0) FROM entries"

GET = f"{ENTRY} WHERE e.uid = ?"

NUMBERED = f"{ENTRY} WHERE e.seq = ?"

NUMBERS_FROM = f"SELECT {FIELDS}, n.seq FROM"

THEIR_ENTRIES = "n LEFT JOIN entries e ON e.seq = n.seq ORDER BY n.seq DESC"
"""With it a number that no entry has is seen."""

THREAD = f"{ENTRY} WHERE e.refers = ? AND e.refers <> '' ORDER BY e.seq DESC"

# `+?` where a kind is given: some indexes are of one kind alone, and for each value of a plain `?`
# SQLite looks anew whether one of them would do. It compiled the question at every asking for that.
RECENT = f"{ENTRY} WHERE e.kind = +? AND e.machine = ? AND e.point = ? ORDER BY e.seq DESC LIMIT ?"

RECENT_STANDING = f"""
{ENTRY} WHERE e.kind = +? AND e.machine = ? AND e.point = ? AND NOT EXISTS ({VOIDED})
ORDER BY e.seq DESC LIMIT ?
"""

# The numbers are sorted before the entries are read: a machine may have thousands.
OF_MACHINE = f"""
{NUMBERS_FROM} (SELECT seq FROM entries WHERE kind = +:kind AND machine = :machine
                 ORDER BY seq DESC LIMIT :limit) {THEIR_ENTRIES}
"""

# Walks back from the newest entry: of the few kinds asked for there are some among any hundred.
NEWEST = f"""
{ENTRY} NOT INDEXED
 WHERE e.seq > (SELECT min(:upto, max(seq)) FROM entries) - :window AND e.seq <= :upto
   AND instr(:kinds, ' ' || e.kind || ' ') > 0
ORDER BY e.seq DESC LIMIT :limit
"""

# Hops along the index from one machine to the next, and from one of its points to
# the next, instead of walking over every entry: the cost is that of the places,
# not of the years. What is hopped to is read from the index alone and must lie
# behind the place hopped from: where index and rows disagree, or the index is out
# of order, this ends all the same, and `was >= point` shows it (a blob is greater
# than every text).
HOPS = """
WITH RECURSIVE stop (was, machine) AS (
    SELECT NULL, (SELECT machine FROM entries WHERE kind = +:kind ORDER BY machine LIMIT 1)
    UNION ALL
    SELECT stop.machine, (SELECT machine FROM entries
                           WHERE kind = +:kind AND machine > stop.machine ORDER BY machine LIMIT 1)
      FROM stop
     WHERE stop.machine IS NOT NULL AND (stop.was IS NULL OR stop.machine > stop.was)
), hop (machine, was, point) AS (
    SELECT machine, CASE WHEN was >= machine THEN x'' END, (SELECT point FROM entries
                            WHERE kind = +:kind AND machine = stop.machine ORDER BY point LIMIT 1)
      FROM stop WHERE machine IS NOT NULL
    UNION ALL
    SELECT hop.machine, hop.point, (SELECT point FROM entries
                  WHERE kind = +:kind AND machine = hop.machine AND point > hop.point
                  ORDER BY point LIMIT 1)
      FROM hop WHERE hop.point IS NOT NULL AND (hop.was IS NULL OR hop.point > hop.was)
)
"""

LATEST = f"""
{HOPS}, newest (machine, point, was, seq) AS MATERIALIZED (
    SELECT hop.machine, hop.point, hop.was,
           (SELECT e.seq FROM entries e
             WHERE e.kind = +:kind AND e.machine = hop.machine AND e.point = hop.point
               AND NOT EXISTS ({VOIDED})
             ORDER BY e.seq DESC LIMIT 1)
      FROM hop WHERE hop.point IS NOT NULL
)
SELECT {FIELDS}, newest.machine, newest.point, newest.seq, newest.was >= newest.point
  FROM newest LEFT JOIN entries e ON e.seq = newest.seq
 WHERE newest.seq IS NOT NULL OR newest.was >= newest.point
"""

# Only the newest checks are looked at: over the years there are thousands, all but a few ended.
OPEN_CHECKS = f"""
{NUMBERS_FROM} (
    SELECT e.seq FROM (SELECT seq, uid FROM entries INDEXED BY entries_begin
                        WHERE kind = 'begin' ORDER BY seq DESC LIMIT ?) e
     WHERE NOT EXISTS (SELECT 1 FROM entries x WHERE x.kind = 'end' AND x.refers = e.uid)
       AND NOT EXISTS ({VOIDED})) {THEIR_ENTRIES}
"""

TOO_LATE = "2200"
"""No clock that is right shows a time from that year on; the text of every such time is greater."""

# A time that somebody has said to lie ahead of the right one is not believed.
BELIEVED = f"""
e.clock_ok = 1 AND e.recorded_utc < '{TOO_LATE}' AND NOT EXISTS ({VOIDED}) AND NOT EXISTS (
    SELECT 1 FROM entries c WHERE c.kind = 'clock' AND c.seq > e.seq
       AND c.recorded_utc < e.recorded_utc)
"""

# The first of them that is what was recorded counts.
NEWEST_WHEN = f"""
{ENTRY} INDEXED BY entries_clock
 WHERE {BELIEVED} ORDER BY e.recorded_utc DESC LIMIT 3
"""

BETWEEN = f"""
{ENTRY} WHERE e.kind = +? AND e.machine = ? AND e.point = ? AND e.seq > ? AND e.seq <= ?
ORDER BY e.seq DESC LIMIT ?
"""

_FIRST_DAY, _LAST_DAY = datetime(2, 1, 1, tzinfo=UTC), datetime(9999, 12, 30, tzinfo=UTC)

_read_json = json.JSONDecoder().raw_decode
"""Without the search for blanks around it, of which none was ever recorded."""

StoredRow = tuple[int, str, str, str, str, str, str, str, int, str, bytes, bytes, int | None]
"""What is in `FIELDS`."""


def entry_of(row: StoredRow, reason: str | None = None) -> Entry:
    """Make an entry of a row of the queries above, whose seal is compared first.

    Args:
        row: the row.
        reason: why it was voided, where it was.

    Raises:
        ValueError: the row is not what was recorded.
    """
    check_seal(row)
    return unsealed(row, reason)


def unsealed(row: StoredRow, reason: str | None = None) -> Entry:
    """Make an entry of a row that was sealed just now."""
    seq, uid, utc, kind, machine, point, refers, body, clock_ok = row[:9]
    when, content = as_time(utc), _object(body)
    return Entry(seq, uid, when, kind, machine, point, refers, content, reason, bool(clock_ok))


def check_seal(row: Sequence[object]) -> None:
    """Compare what is in a row with its seal.

    Raises:
        ValueError: it is not what was recorded.
    """
    prev, stored = row[10:12]
    if type(prev) is not bytes or seal(prev, row[:10]) != stored:
        raise ValueError("not what was recorded")


def as_text(when: datetime) -> str:
    """Write a time so that the order of texts is the order of times."""
    return when.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def as_time(text: str) -> datetime:
    """Read a time written by `as_text`."""
    if text >= "9999-12-31":
        return _LAST_DAY  # the day after it does not exist, in whatever time zone
    found = datetime.fromisoformat(text)
    if found.year == 1:
        return _FIRST_DAY
    return found if found.tzinfo is UTC else found.astimezone(UTC)  # nearly always UTC already


def _object(text: str) -> dict[str, object]:
    try:
        body, end = _read_json(text)
    except (TypeError, RecursionError) as error:
        raise ValueError("JSON expected") from error
    if not isinstance(body, dict) or end != len(text):
        raise ValueError("a JSON object expected")
    return body
