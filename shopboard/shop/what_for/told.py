"""What is told of a key of the shop file beside what its reader declares."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple


class WhatFor(NamedTuple):
    """What a key is for, in the words of the trade; lengths are written for both shops."""

    words: str
    """One short sentence or two."""
    example: str = ""
    """A value that would do, as the file has it; empty: that of its kind of value."""
    left_out: str = ""
    """What holds where it is left out, where that is a value, as the file would have it."""
    each: Mapping[str, str] = {}
    """What each word that may stand there means, where that is not plain."""


Page = Mapping[str, WhatFor]
"""What is told of each key of a table; of the table itself under an empty key."""
