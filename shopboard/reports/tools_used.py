"""With what a result was found, as far as its record tells."""

from __future__ import annotations

import re

from shopboard.results.record import CheckRecord

_KINDS = {
    "calliper": "calliper",
    "indicator": "indicator",
    "rule": "rule",
    "watch": "watch",
    "straightedge": "straightedge",
    "leaf": "leaves",
    "leaves": "leaves",
    "square": "square",
}
"""A word in the name of a source of uncertainty, and the sort of tool that it belongs to."""

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
    words = {word for name, _ in record.budget for word in re.findall(r"[a-z]+", name.lower())}
    sorts = dict.fromkeys(sort for word, sort in _KINDS.items() if word in words)
    return (*named.values(), *(sort for sort in sorts if sort not in named))
