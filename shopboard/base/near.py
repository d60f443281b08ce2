"""What was probably meant by a name that nothing has."""

from __future__ import annotations

import difflib
from collections.abc import Collection

MOST_LISTED = 30
"""Names of what there is that are listed where none is near."""


def none_such(what: str, name: str, known: Collection[str]) -> str:
    """Say that there is no such thing, and what was probably meant."""
    by_small = {one.lower(): one for one in reversed(tuple(known))}
    near = difflib.get_close_matches(name.lower(), by_small, 1, 0.6)
    listed = ", ".join([*known][:MOST_LISTED])
    more = f" and {len(known) - MOST_LISTED} more" if len(known) > MOST_LISTED else ""
    hint = f"did you mean {by_small[near[0]]}?" if near else f"there is: {listed}{more}"
    return f"no {what} {name[:60]!r}; {hint}"
