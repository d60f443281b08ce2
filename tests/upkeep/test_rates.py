"""A rate is told so that the date beside it follows from it (common practice, no source).

Both stand on the same row: of a cutter how fast it is used and until when it is sharp; of a point
how fast it drifts, by when it may be out and how often it is checked. Each date is worked out anew
here, from the rate as it was read off the row.
"""

from __future__ import annotations

import math
import re
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.board.cutters_view import cutters_lines
from shopboard.board.paint import plain
from shopboard.journal.kinds.cutters import UNITS, UseUnit
from shopboard.shop.machine import Life
from shopboard.upkeep.cutter_outlook import CutterOutlook
from shopboard.upkeep.cutter_supply import DAYS_A_MONTH, Pace, lasts_until
from shopboard.upkeep.cutter_words import MOST_MONTHS, SHOWN_WITHIN, rate_words
from shopboard.wander.changes import PointPast
from shopboard.wander.outlook import outlook, sentences
from tests.builders import make_point
from tests.histories import THOU_PER_FT, result
from tests.upkeep.cutter_shop import RIP, first_standings, shop_of

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)

OF: dict[str, float] = {"h": 60.0, "ft": 304.8, "m": 1000.0}
"""An inch is 25.4 mm by definition (ISO 80000-3), a foot twelve of them."""


@pytest.mark.parametrize(
    ("a_month", "unit", "says"),
    [
        (2 / 3, "projects", "2 projects in 3 months"),
        (1.0, "projects", "1 project a month"),
        (1.5, "projects", "3 projects in 2 months"),
        (0.1, "projects", "1 project in 10 months"),
        (0.0, "projects", "0 projects a month"),
        (14 * 60.0, "minutes", "14 h a month"),
        (1.2, "minutes", "0.1 h in 5 months"),
        (30.0, "cuts", "30 cuts a month"),
    ],
)
def test_a_rate_is_told_by_the_fewest_months_that_tell_it(
    a_month: float, unit: UseUnit, says: str
) -> None:
    assert rate_words(a_month, unit, feet=True) == says


@given(st.sampled_from(UNITS), st.floats(0.05, 5000.0), st.booleans())
def test_what_is_told_comes_back_to_the_rate(unit: UseUnit, number: float, feet: bool) -> None:
    """By hand: the number over its months is within a twentieth of the rate."""
    of = {"minutes": 60.0, "mm": 304.8 if feet else 1000.0}.get(unit, 1.0)
    said = rate_words(number * of, unit, feet=feet)
    found = re.fullmatch(r"([\d,.]+) (\w+) (?:a month|in (\d+) months)", said)
    assert found is not None, said
    months = int(found[3] or 1)
    assert months <= MOST_MONTHS
    told = float(found[1].replace(",", "")) * OF.get(found[2], 1.0) / months
    assert abs(told / (number * of) - 1) <= SHOWN_WITHIN + 1e-9


UNIT: dict[str, UseUnit] = {"h": "minutes", "projects": "projects", "cuts": "cuts", "ft": "mm"}


@given(st.sampled_from(sorted(UNIT)), st.floats(0.5, 90.0), st.integers(2, 400))
def test_the_date_of_a_cutter_follows_from_the_rate_beside_it(
    word: str, a_month: float, lasts: int
) -> None:
    """By hand: what it can still do over what is used a month, in months of 365.25 / 12 days."""
    unit, of = UNIT[word], OF.get(word, 1.0)
    rip = RIP._replace(lasts=Life(lasts * of, unit, f"{lasts} {word}"))
    here = first_standings(shop_of(rip))
    known = Pace(a_month * of / DAYS_A_MONTH, unit, 80)
    look = CutterOutlook(here, known, lasts_until(here, known, NOW), ())
    row = " ".join(plain(one).strip() for one in cutters_lines(here, [look], None, 0, (160, 40)))
    said = re.search(r"used ([\d,.]+) \w+ (?:a month|in (\d+) months)", row)
    date = re.search(r"sharp until about \w+ (\d+ \w+ \d+)", row)
    if look.until is None:  # farther off than says anything
        assert date is None
        return
    assert said is not None, row
    assert date is not None, row
    months = lasts / (float(said[1].replace(",", "")) / int(said[2] or 1))
    told = datetime.strptime(date[1], "%d %b %Y").replace(tzinfo=UTC)
    days = (told - NOW.replace(hour=0)).days
    assert abs(days - months * 365.25 / 12) <= SHOWN_WITHIN * days + 1.5


@given(st.floats(3.0, 15.0), st.integers(30, 90))
def test_the_date_of_a_point_follows_from_the_rate_beside_it(a_check: float, days: int) -> None:
    """0.1 deg are 20.94 thou/ft: so many months at the rate that is told, less what is not known.

    The rate is told to two digits, and with it how far it may be off; nearer than at the least
    rate of that and no farther than at the largest lies the date; the interval is the same days.
    """
    point = make_point(every_days=365, every="1 year", undone_by=("knocked",))
    records, moves = [], []
    for number in range(9):
        error = a_check * THOU_PER_FT if number else 0.0
        records.append(result(3 * number + 1, error, days * number))
        records.append(result(3 * number + 3, 0.0, days * number + 0.01, "as-left"))
        moves.append(3 * number + 2)
    past = PointPast(records, moves)
    seen = outlook(point, past, records[-1], 0.05)
    (row, *_) = sentences(seen, point, records[-1], "inch", 0.05, true=True)
    rate = re.search(r"about ([\d.]+) thou/ft(?: \(([\d.]+) to ([\d.]+)\))? a (month|year)", row)
    date = re.search(r"out by \w+ (\d+ \w+ \d+): check every (\d*) ?(day|week|month)s?", row)
    assert rate is not None, row
    if date is None:  # it stays in tolerance as long as the shop file says
        assert "stay in tolerance" in row
        return
    period = {"month": 365 / 12, "year": 365.0}[rate[4]]
    told = datetime.strptime(date[1], "%d %b %Y").replace(tzinfo=UTC)
    found = (told - records[-1].when.replace(hour=0)).days
    at_rate = 0.1 / math.degrees(THOU_PER_FT) / float(rate[1])
    assert 0.8 * at_rate * period - 2 <= found <= 1.02 * at_rate * period + 2, row
    each = {"day": 1.0, "week": 7.0, "month": 365 / 12}[date[3]] * int(date[2] or 1)
    assert each <= found + 1 < each + {"day": 2.0, "week": 9.0, "month": 33.0}[date[3]], row
