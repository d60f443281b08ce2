"""Kinds of values of machines and points: how they are checked, what undoes that, their sizes."""

from __future__ import annotations

from typing import cast, get_args

from shopboard.base.who import BadNameError, name_typed
from shopboard.shop.allowed import typed
from shopboard.shop.kinds import CHECK, NAME, as_text, list_of, text, word_of
from shopboard.shop.machine import HAPPENINGS, ShowsIn
from shopboard.shop.measures import DAYS, length
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
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


def _read_bench(raw: object, spot: Spot) -> str:
    wanted = 'the name of a bench, such as "bench 1"'
    try:
        return name_typed(as_text(raw, spot, wanted), shorten(raw))
    except BadNameError as error:
        spot.refuse(str(error), f"write {wanted}")


BENCH = Parser(_read_bench, "", lambda: typed("the name of a bench", '"bench 1"'))
"""A bench or device, as `shopboard who` names it."""
BENCHES = list_of(BENCH, least=1)
