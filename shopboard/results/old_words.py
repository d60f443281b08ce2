"""Sources of uncertainty in records that keep nothing of them but words, as they were once written.

The one place that knows them by words: they are never written anew, so nothing is added here when
a source is called something else.
"""

from __future__ import annotations

import re
from functools import lru_cache

from shopboard.metrology import sources

_WHOLE = {
    "bracket between the leaves": sources.LEVER_BRACKET,
    "leaf thickness": sources.LEVER_LEAF,
    "feel of the leaf": sources.FEEL,
    "lever": sources.LEVER,
    "square, its own error": sources.SQUARE,
    "square, as certified or proven": sources.SQUARE_PROVEN,
    "square, its certificate": sources.SQUARE_PROVEN,
    "square (cancelled by turning it over)": sources.SQUARE_TURNED,
    "board edge, not straight": "board-edge",
    "edges of the board out of parallel": "board-taper",
    "marked faces out of one plane": "board-faces",
    "angle of the lever": "lever-slant",
    "two axes make one tilt": "two-axes",
    "the two readings disagree": sources.APART,
    "heights of the points": sources.HEIGHTS,
    "modulus of the steel": "modulus",
    "how well it repeats": sources.REPEATS,
    "scatter of the readings": sources.SCATTER,
}

_ENDS = {
    "the indicator": sources.INDICATOR,
    "the calliper": sources.CALLIPER,
    "reading it": sources.SCALE,
    "between the leaves": sources.GAP_BRACKET,
    "leaf thickness": sources.GAP_LEAF,
    "feel of the leaf": sources.GAP_FEEL,
    "the rule": sources.RULE,
    "the watch": sources.WATCH,
    "as typed": sources.TYPED,
}
"""What stands behind the name of a reading: ``front, the indicator``."""

_WHOSE_HAND = re.compile(r" \(your own, from \d+ pairs\)\Z")


@lru_cache(1000)  # a few dozen words stand in thousands of records
def source_called(words: str) -> str:
    """Give the identity of a source by the words of a record; empty for words never written."""
    name = _WHOSE_HAND.sub("", words)
    if name in _WHOLE:
        return _WHOLE[name]
    if name.startswith("straightedge"):
        return sources.STRAIGHTEDGE
    return _ENDS.get(name.rpartition(", ")[2], "")
