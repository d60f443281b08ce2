"""Which names have something on record, and which of them the shop file no longer has."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from shopboard.journal import Entry
from shopboard.standing.on_record import OnRecord, on_record
from shopboard.upkeep.retired import Retired, RetiredSort
from shopboard.upkeep.tasks import Done
from tests.builders import make_point, make_shop
from tests.standing.test_judge import Told

NOW = datetime(2026, 6, 1, 8, 0, tzinfo=UTC)
CUTTER = Entry(1, "u", NOW, "cutter", "saw", "rip", "", {"v": 1}, None, clock_ok=True)
PAST = (
    Told()
    .check("saw.blade")
    .past()
    ._replace(
        tasks={("saw", "wax"): Done(1, NOW)},
        cutters={("saw", "rip"): CUTTER, ("planer", ""): CUTTER},
    )
)
"""In the place of no cutter stands the way of a change: that is none."""


def test_points_tasks_and_cutters_are_named_each_by_its_sort() -> None:
    found = on_record(PAST)
    assert {*found.points} == {("saw", "blade")}
    assert {*found.kept_up} == {("task", "saw", "wax"), ("cutter", "saw", "rip")}


def test_what_the_shop_file_has_is_not_gone() -> None:
    kept = OnRecord(
        [("saw", "blade"), ("saw", "fence")], {("task", "saw", "wax"), ("cutter", "saw", "rip")}
    )
    shop = make_shop(make_point("saw.blade"))
    assert kept.gone(shop) == [
        *(("saw", "fence"), ("cutter", "saw", "rip"), ("task", "saw", "wax")),
    ]


@pytest.mark.parametrize(
    ("sort", "became", "has"),
    [
        ("point", "saw.blade", True),
        ("point", "saw.fence", False),
        ("point", "blade.saw", False),
        ("point", "saw", True),
        ("point", "blade", False),
        ("task", "saw.wax", True),
        ("task", "saw.rip", False),
        ("cutter", "saw.rip", True),
        ("cutter", "saw.wax", False),
        ("task", "saw.blade", False),
    ],
)
def test_what_a_name_became_has_records_of_its_own(
    sort: RetiredSort, became: str, has: bool
) -> None:
    """A machine as a whole has them where one of its points has."""
    one = Retired("old", "x", "", 1, NOW, became=became, sort=sort)
    assert on_record(PAST).has_results(one) is has
