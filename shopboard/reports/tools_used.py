"""With what a result was found, as far as its record tells."""

from __future__ import annotations

from shopboard.metrology.sources import TOOL_OF
from shopboard.results.record import CheckRecord

_IN_ORDER = ("calliper", "indicator", "rule", "watch", "straightedge", "leaves", "square")

_NAMED = {"square": "square", "feelers": "leaves"}
"""What a record calls a tool that it names, and what sort of tool that is."""


def tools_used(record: CheckRecord) -> tuple[str, ...]:
    """Give the tools of a result.

    A record names the square and the leaves of a square and feeler reading, and the tools of typed
    readings. Of an older one the sort alone is known, by what that tool left uncertain; a tool
    known by name is not told twice.
    """
    told = record.readings.get("tools")
    if isinstance(told, list) and told:
        return tuple(str(one) for one in told)
    named = {
        sort: str(record.readings[key])
        for key, sort in _NAMED.items()
        if isinstance(record.readings.get(key), str) and record.readings[key]
    }
    found = {TOOL_OF.get(one.id) for one in record.budget}
    return (*named.values(), *(one for one in _IN_ORDER if one in found and one not in named))
