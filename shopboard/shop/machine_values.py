"""Kinds of values of machines and points: how they are checked, what undoes that, their sizes."""

from __future__ import annotations

from typing import cast, get_args

from shopboard.shop.kinds import CHECK, NAME, list_of, text, word_of
from shopboard.shop.machine import HAPPENINGS, ShowsIn
from shopboard.shop.measures import DAYS, length
from shopboard.shop.short_names import LONGEST_SHORT
from shopboard.shop.table import Parser

SHORTEST_LEVER = 10
"""mm; less is a slip of the unit, and no leaf can be felt over it."""
LONGEST_LEVER = 3000
"""mm."""
LONGEST_ARM = 5000
"""mm."""

CHECKS = list_of(CHECK, least=1)
UNDONE_BY = list_of(word_of(HAPPENINGS))
TWO_IDS = 81
"""Characters of machine.point: two ids and the point between them."""
POINTS = list_of(text(TWO_IDS, 'the id of a point, of another machine "machine.point"'))
SHOWS_IN = cast(Parser[tuple[ShowsIn, ...]], list_of(word_of(get_args(ShowsIn)), least=1))
TIMES = list_of(
    Parser(lambda raw, spot: (DAYS.read(raw, spot), str(raw).strip()), (1, ""), DAYS.allowed),
    least=1,
)
"""Days, each with how it is typed."""
LEVER = length(SHORTEST_LEVER, LONGEST_LEVER)
ARM = length(0, LONGEST_ARM, "[5 in|125 mm]")

SHORT = text(LONGEST_SHORT, f"a word or two, at most {LONGEST_SHORT} letters")
ANSWERS = list_of(NAME, least=1)
"""States that a safety question is answered by."""
