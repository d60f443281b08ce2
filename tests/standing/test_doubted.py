"""How a point stands whose square was found off since, by a small table of what was found.

A square's error is told as a rise over a foot: 5 mrad of 12 in are 60 thou. The tolerance is
0.1 deg = 1.745 mrad either way; what was measured with a square of which 0 to 5 mrad may
be true has its middle 2.5 mrad lower, 2.5 mrad to either side
(plain arithmetic on the gap over the lever).
"""

from __future__ import annotations

import pytest

from shopboard.journal import NewEntry, Store
from shopboard.metrology.conformity import Tolerance
from shopboard.shop.model import Shop
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import PointStanding
from tests.builders import make_point, make_shop
from tests.prep.results import by_square, proof_of
from tests.standing.test_judge import NOW

SURE = 1e-5
"""Standard uncertainty of a result, rad."""
GOOD, OFF = 0.0, 0.005
"""What the square was found off by, rad."""


def shop(tolerance: float = 0.001745) -> Shop:
    within = Tolerance(-tolerance, tolerance, "")
    square = make_point("bench.square-6", proves="square-6")
    return make_shop(make_point(tolerance=within), square)


def told(journal: Store, *entries: tuple[str, float]) -> None:
    """Record, in this order, what was found of the blade and of the square."""
    for what, error in entries:
        body = by_square(error, SURE, "square-6", 0.0, 1e-6)
        place = ("saw", "blade")
        if what == "square":
            body, place = proof_of("square-6", error, SURE), ("bench", "square-6")
        journal.append([NewEntry(f"{what}-{journal.count()}", "check", *place, body)])


def blade(journal: Store, there: Shop) -> PointStanding:
    found = shop_standing(there, gather(journal), NOW).of_point("saw.blade")
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("error", "found", "state", "doubted"),
    [
        (0.0, GOOD, "true", False),
        (0.0, OFF, "due", True),  # it was true, and may lean 5 mrad
        (0.0025, GOOD, "out", False),
        (0.0025, OFF, "due", True),  # it was out by what may be the square's own
        (0.009, OFF, "out", True),  # 4 mrad at the least, whatever the square was
        (-0.003, OFF, "out", True),  # 3 mrad at the least, to the other side
        (0.00174, GOOD, "near", False),
        (0.00174, OFF, "unproven", True),  # nothing was proven, and now less than that
    ],
)
def test_how_a_point_stands_by_what_its_square_was_found_to_be(
    journal: Store, error: float, found: float, state: str, *, doubted: bool
) -> None:
    told(journal, ("blade", error), ("square", found))
    one = blade(journal, shop())
    assert (one.state, one.doubted) == (state, doubted)
    assert ("measured with Square, 6 in, found 60.0 thou/ft out on " in one.reason) is doubted
    assert one.stands is (state in ("true", "near", "out") and not doubted)


def test_what_was_near_or_out_is_told_with_the_doubt(journal: Store) -> None:
    """First what is known of it, then why that is not to be gone by."""
    told(journal, ("blade", 0.00174), ("square", OFF))
    near = blade(journal, shop())
    assert near.reason.endswith("; it was borderline before that")
    told(journal, ("blade", 0.009))
    told(journal, ("square", -OFF))
    out = blade(journal, shop())
    assert out.reason.startswith("out before that: it leans; measured with ")


def test_a_square_off_by_little_shifts_the_result_and_leaves_it_standing(journal: Store) -> None:
    """1 mrad of 80 allowed: the middle of 0 and 1 mrad is taken off, and said."""
    there = shop(0.08)
    told(journal, ("blade", 0.03))
    before = blade(journal, there)
    assert before.used == pytest.approx(0.03 / 0.08, rel=1e-3)
    told(journal, ("square", 0.0003))
    one = blade(journal, there)
    assert (one.state, one.doubted) == ("true", False)
    assert one.reason.startswith("measured with ")
    assert one.used == pytest.approx((0.03 - 0.00015) / 0.08, rel=1e-3)


def test_another_squares_proof_says_nothing(journal: Store) -> None:
    told(journal, ("blade", 0.0))
    body = proof_of("square-12", OFF, SURE)
    journal.append([NewEntry("other", "check", "bench", "square-12", body)])
    one = blade(journal, shop())
    assert (one.state, one.reason, one.doubted) == ("true", "", False)
