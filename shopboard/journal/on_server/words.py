"""The questions to a journal in the server's words; all but a few are the same as a file's."""

# ruff: noqa: S608  the statements are put together from constants alone
from __future__ import annotations

import re
from functools import lru_cache

from shopboard.journal import as_of, queries
from shopboard.journal.queries import FIELDS, NUMBERS_FROM, SEALED, THEIR_ENTRIES, VOIDED

_ONLY_THERE = re.compile(r"NOT INDEXED|INDEXED BY \w+|\+(?=[?:])")
"""What SQLite is told about its indexes and means nothing here."""

_NAMED = re.compile(r":([a-z]+)")

# Hops along the index from one place to the next: the cost is that of the places, not of the years.
_LATEST = f"""
WITH RECURSIVE hop (machine, point) AS (
    (SELECT machine, point FROM entries WHERE kind = :kind ORDER BY machine, point LIMIT 1)
    UNION ALL
    SELECT n.machine, n.point FROM hop CROSS JOIN LATERAL (
        SELECT i.machine, i.point FROM entries i
         WHERE i.kind = :kind AND (i.machine, i.point) > (hop.machine, hop.point)
         ORDER BY i.machine, i.point LIMIT 1) n
)
SELECT {FIELDS}, hop.machine, hop.point, e.seq, false
  FROM hop CROSS JOIN LATERAL (
        SELECT * FROM entries e
         WHERE e.kind = :kind AND e.machine = hop.machine AND e.point = hop.point
           AND NOT EXISTS ({VOIDED})
         ORDER BY e.seq DESC LIMIT 1) e
"""

# From one point of the machine to the next: a machine may have ten thousand entries of a kind.
_OF_MACHINE = f"""
WITH RECURSIVE place (point) AS (
    (SELECT point FROM entries
      WHERE kind = :kind AND machine = :machine ORDER BY point LIMIT 1)
    UNION ALL
    SELECT n.point FROM place CROSS JOIN LATERAL (
        SELECT i.point FROM entries i
         WHERE i.kind = :kind AND i.machine = :machine AND i.point > place.point
         ORDER BY i.point LIMIT 1) n
)
{NUMBERS_FROM} (
    SELECT one.seq FROM place CROSS JOIN LATERAL (
        SELECT seq FROM entries
         WHERE kind = :kind AND machine = :machine AND point = place.point{{then}}
         ORDER BY seq DESC LIMIT :limit) one
     ORDER BY one.seq DESC LIMIT :limit) {THEIR_ENTRIES}
"""

_NEWEST = f"""
SELECT {FIELDS} FROM entries e
 WHERE e.seq > (SELECT least(:upto, max(seq)) FROM entries) - :window AND e.seq <= :upto
   AND strpos(:kinds, ' ' || e.kind || ' ') > 0
ORDER BY e.seq DESC LIMIT :limit
"""

_OWN = {
    queries.LATEST: _LATEST,
    as_of.LATEST: as_of.by_then(_LATEST),
    queries.NEWEST: _NEWEST,
    queries.OF_MACHINE: _OF_MACHINE.format(then=""),
    as_of.OF_MACHINE: _OF_MACHINE.format(then=" AND seq <= :upto"),
}

STRETCH = f"SELECT {SEALED}, true FROM entries e WHERE e.seq <= ? AND e.seq > ? ORDER BY e.seq DESC"
"""Which index finds an entry is the server's choice; its indexes are looked at by themselves."""


@lru_cache(maxsize=100)
def server_words(query: str) -> str:
    """Give a question of the journal's as the server takes it."""
    plain = _ONLY_THERE.sub("", _OWN.get(query, query))
    return _NAMED.sub(r"%(\1)s", plain).replace("?", "%s")
