"""A point's story, read from a real journal."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopboard.reports.trace import drawn_times, gather_trace
from shopboard.upkeep.happenings import record_happening
from tests.builders import make_point, make_shop
from tests.reports.story import Story, body

START = datetime(2026, 6, 1, 8, tzinfo=UTC)
SHOP = make_shop(make_point("saw.blade", undone_by=("blade changed",)), make_point("saw.fence"))


@pytest.fixture
def told(tmp_path: Path) -> Iterator[Story]:
    story = Story(tmp_path / "journal.sqlite3")
    with closing(story.journal):
        yield story


def test_settings_lie_between_results_of_one_visit(told: Story) -> None:
    """As found to as left, twice; what was moved and not measured ends in nothing known."""
    told.sitting("saw.blade", body(5_000_000, 1000), body(2_000_000, 1000), body(-1_000_000, 1000))
    (alone,) = told.sitting("saw.blade", body(3_000_000, 1000))
    told.sitting("saw.fence", body(9_000_000, 1000), body(1, 1000))
    told.moved(alone)
    trace = gather_trace(SHOP, "saw.blade", told.journal)
    assert [(one.found, one.left) for one in trace.settings] == [
        (0.005, 0.002),
        (0.002, -0.001),
        (0.003, None),
    ]
    assert [one.run for one in trace.records] == ["as-found", "as-left", "as-left", "as-found"]


def test_a_result_taken_back_sets_nothing(told: Story) -> None:
    """It stays among the results, marked."""
    found, left = told.sitting("saw.blade", body(5_000_000, 1000), body(2_000_000, 1000))
    told.journal.void(left.uid, "wrong leaf")
    trace = gather_trace(SHOP, "saw.blade", told.journal)
    assert [one.void for one in trace.records] == [None, "wrong leaf"]
    assert [(one.found, one.left) for one in trace.settings] == [(0.005, None)]
    told.journal.void(found.uid, "wrong leaf")
    assert [
        (one.found, one.left) for one in gather_trace(SHOP, "saw.blade", told.journal).settings
    ] == [(None, None)]


def test_happenings_are_those_of_the_machine_and_no_running_totals(told: Story) -> None:
    """Each with whether it undoes this point; those withdrawn are left out."""
    told.happened("saw", "blade changed")
    told.happened("saw", "hours run", amount=60, total=60)
    told.happened("saw", "knocked")
    told.happened("jointer", "knocked")
    told.journal.void(told.happened("saw", "machine moved").uid, "by mistake")
    trace = gather_trace(SHOP, "saw.blade", told.journal)
    assert [(one.what, one.undoes) for one in trace.events] == [
        ("blade changed", True),
        ("knocked", False),
    ]


def test_a_finished_project_is_told_where_it_undoes_the_point(told: Story) -> None:
    """It is the whole shop's, and counted: elsewhere it is no happening of the machine."""
    told.sitting("saw.blade", body(0, 1))
    record_happening(told.journal, "", "project finished")
    undone = make_point("saw.blade", undone_by=("project finished",))
    events = gather_trace(make_shop(undone), "saw.blade", told.journal).events
    assert [(one.what, one.undoes) for one in events] == [("project finished", True)]
    assert gather_trace(make_shop(make_point("saw.blade")), "saw.blade", told.journal).events == ()


def test_a_point_of_the_past_has_a_story_without_tolerance(told: Story) -> None:
    """Its kind is that of its newest result; the others are counted."""
    told.sitting("saw.gone", body(5, 1))
    told.sitting("saw.gone", body(5_000, 1, kind="length", unit="nm"))
    trace = gather_trace(SHOP, "saw.gone", told.journal)
    assert trace.tolerance is None
    assert (trace.kind, len(trace.records), trace.other_kinds) == ("length", 1, 1)


def test_the_newest_results_are_kept(told: Story) -> None:
    for n in range(12):
        told.sitting("saw.blade", body(n, 1))
    trace = gather_trace(SHOP, "saw.blade", told.journal, most=10)
    assert [round(one.error * 1e9) for one in trace.records] == list(range(2, 12))
    assert trace.cut
    assert not gather_trace(SHOP, "saw.blade", told.journal, most=12).cut


def test_a_wrong_clock_puts_a_result_beside_the_one_before(told: Story) -> None:
    """A dead battery says 2010: the order of recording counts."""
    told.at(datetime(2010, 1, 1, tzinfo=UTC)).sitting("saw.blade", body(1, 1))
    told.at(START).sitting("saw.blade", body(2, 1))
    told.at(datetime(2010, 1, 1, tzinfo=UTC)).sitting("saw.blade", body(3, 1))
    told.at(START + timedelta(days=9)).sitting("saw.blade", body(4, 1))
    trace = gather_trace(SHOP, "saw.blade", told.journal)
    times = drawn_times(trace)
    assert [one.clock_ok for one in trace.records] == [False, True, False, True]
    assert [(times[one.seq] - START).days for one in trace.records] == [0, 0, 0, 9]
