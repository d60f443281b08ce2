"""Kinds of values of projects and joints: days, counts, sizes, how a joint is closed."""

from __future__ import annotations

from datetime import date, datetime

from shopboard.shop.allowed import Allowed
from shopboard.shop.kinds import refuse_type, whole
from shopboard.shop.measures import length
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

MOST_PIECES, MOST_JOINTS = 200, 1000

COUNT = whole(1, MOST_JOINTS)
PIECES = whole(2, MOST_PIECES)
LONG = length(1, 20_000, "[24 in|600 mm]")
WIDE = length(1, 5000, "[4 in|100 mm]")
THICK = length(0.1, 500, "[3/4 in|20 mm]")
MISFIT = length(0.00254, 12.7, "[6 thou|0.15 mm]")


def _read_start(raw: object, spot: Spot) -> date:
    if isinstance(raw, datetime):
        spot.refuse("a time of day where a day is enough", f"write {raw.date()}")
    if not isinstance(raw, date):
        words = raw.strip() if isinstance(raw, str) else ""
        try:
            date.fromisoformat(words)
        except ValueError:
            refuse_type(raw, spot, "a day such as 2026-12-07, without quotes,")
        spot.refuse("a day needs no quotes", f"write {words}")
    if not 2000 <= raw.year <= 2199:
        spot.refuse(f"the year {raw.year} is out of range", "from 2000 to 2199")
    return raw


START = Parser(
    _read_start,
    date(2000, 1, 1),
    lambda: Allowed(
        "a day from 2000 to 2199, without quotes",
        "2026-12-07",
        {"type": "string", "format": "date"},
    ),
)
