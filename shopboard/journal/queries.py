"""The questions to the journal in SQL, and the way from a row back to an entry."""

# ruff: noqa: S608  the statements are put together from constants of this file alone
from __future__ import annotations

import json
from datetime import UTC, datetime

from shopboard.journal.entry import Entry

VOIDED = "SELECT 1 FROM entries v WHERE v.kind = 'void' AND v.refers = e.uid"

ENTRY = """
SELECT e.seq, e.uid, e.recorded_utc, e.kind, e.machine, e.point, e.refers, e.body, e.clock_ok,
       (SELECT v.body FROM entries v WHERE v.kind = 'void' AND v.refers = e.uid)
  FROM entries e
"""

COUNT = "SELECT count(*) FROM entries"

LAST_SEQ = "SELECT coalesce(max(seq), 0) FROM entries"

GET = f"{ENTRY} WHERE e.uid = ?"

THREAD = f"{ENTRY} WHERE e.refers = ? AND e.refers <> '' ORDER BY e.seq"

RECENT = f"{ENTRY} WHERE e.kind = ? AND e.machine = ? AND e.point = ? ORDER BY e.seq DESC LIMIT ?"

RECENT_STANDING = f"""
{ENTRY} WHERE e.kind = ? AND e.machine = ? AND e.point = ? AND NOT EXISTS ({VOIDED})
ORDER BY e.seq DESC LIMIT ?
"""

# The numbers are sorted before the entries are read: a machine may have thousands.
OF_MACHINE = f"""
{ENTRY} WHERE e.seq IN (SELECT seq FROM entries WHERE kind = ? AND machine = ?
                         ORDER BY seq DESC LIMIT ?)
ORDER BY e.seq DESC
"""

# Walks back from the newest entry: of the few kinds asked for there are some among any hundred.
NEWEST = f"""
{ENTRY.rstrip()} NOT INDEXED
 WHERE e.seq > (SELECT min(:upto, max(seq)) FROM entries) - :window AND e.seq <= :upto
   AND instr(:kinds, ' ' || e.kind || ' ') > 0
ORDER BY e.seq DESC LIMIT :limit
"""

# Hops along the index from one (machine, point) to the next, instead of walking
# over every entry: the cost is that of the points, not of the years. The next
# point of the same machine and the next machine are asked for apart, because a
# comparison of pairs would use the index for the machine alone.
HOPS = """
WITH RECURSIVE hop (machine, point) AS (
    SELECT * FROM (SELECT machine, point FROM entries WHERE kind = :kind
                   ORDER BY machine, point LIMIT 1)
    UNION ALL
    SELECT n.machine, n.point FROM hop CROSS JOIN entries n
     WHERE n.seq = coalesce(
           (SELECT seq FROM entries
             WHERE kind = :kind AND machine = hop.machine AND point > hop.point
             ORDER BY point LIMIT 1),
           (SELECT seq FROM entries
             WHERE kind = :kind AND machine > hop.machine ORDER BY machine, point LIMIT 1))
)
"""

LATEST = f"""
{HOPS} {ENTRY} WHERE e.seq IN (
    SELECT (SELECT e.seq FROM entries e
             WHERE e.kind = :kind AND e.machine = hop.machine AND e.point = hop.point
               AND NOT EXISTS ({VOIDED})
             ORDER BY e.seq DESC LIMIT 1)
      FROM hop)
"""

# Only the newest visits are looked at: over the years there are thousands, all but a few ended.
OPEN_VISITS = f"""
{ENTRY} WHERE e.seq IN (
    SELECT e.seq FROM (SELECT seq, uid FROM entries INDEXED BY entries_begin
                        WHERE kind = 'begin' ORDER BY seq DESC LIMIT ?) e
     WHERE NOT EXISTS (SELECT 1 FROM entries x WHERE x.kind = 'end' AND x.refers = e.uid)
       AND NOT EXISTS ({VOIDED}))
ORDER BY e.seq DESC
"""

# A time that somebody has said to lie ahead of the right one is not believed.
BELIEVED = f"""
e.clock_ok = 1 AND NOT EXISTS ({VOIDED}) AND NOT EXISTS (
    SELECT 1 FROM entries c WHERE c.kind = 'clock' AND c.seq > e.seq
       AND c.recorded_utc < e.recorded_utc)
"""

NEWEST_WHEN = f"""
SELECT e.recorded_utc FROM entries e INDEXED BY entries_clock
 WHERE {BELIEVED} ORDER BY e.recorded_utc DESC LIMIT 1
"""

BETWEEN = f"""
{ENTRY} WHERE e.kind = ? AND e.machine = ? AND e.point = ? AND e.seq > ? AND e.seq <= ?
ORDER BY e.seq DESC LIMIT ?
"""

_TEXT = {str}

_read_json = json.JSONDecoder().raw_decode
"""Without the search for blanks around it, of which none was ever recorded."""

Row = tuple[int, str, str, str, str, str, str, str, int, str | None]


def entry_of(row: Row) -> Entry:
    """Make an entry of a row of the queries above.

    Raises:
        ValueError: the row holds what was never recorded so: it is damaged.
    """
    seq, uid, utc, kind, machine, point, refers, body, clock_ok, void = row
    if set(map(type, row[1:8])) != _TEXT:
        raise ValueError("text expected")
    reason = None if void is None else str(_object(void).get("reason", ""))
    when, content = as_time(utc), _object(body)
    return Entry(seq, uid, when, kind, machine, point, refers, content, reason, bool(clock_ok))


def as_text(when: datetime) -> str:
    """Write a time so that the order of texts is the order of times."""
    return when.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def as_time(text: str) -> datetime:
    """Read a time written by `as_text`."""
    found = datetime.fromisoformat(text)
    return found if found.tzinfo is UTC else found.astimezone(UTC)  # nearly always UTC already


def _object(text: str) -> dict[str, object]:
    try:
        body, end = _read_json(text)
    except (TypeError, RecursionError) as error:
        raise ValueError("JSON expected") from error
    if not isinstance(body, dict) or end != len(text):
        raise ValueError("a JSON object expected")
    return body
