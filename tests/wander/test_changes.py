"""The changes of a point: between settings only, with what is known of the time between."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import SqliteJournal
from shopboard.metrology.drift import Change
from shopboard.shop.machine import HOURS_RUN, PROJECT_FINISHED, STOP_RESET
from shopboard.upkeep.happenings import Happening, record_happening
from shopboard.wander.changes import PointPast, changes_of, total_minutes
from shopboard.wander.point_history import point_past
from tests.builders import make_point
from tests.histories import FIRST, result
from tests.in_turn import part

POINT = make_point(undone_by=("knocked", STOP_RESET, PROJECT_FINISHED))


def happened(seq: int, what: str, total: float = 0.0, machine: str = "saw") -> Happening:
    return Happening(seq, FIRST, machine, what, total)


def changes(past: PointPast) -> list[Change]:
    return [one.change for one in changes_of(POINT, past)]


def test_a_change_runs_from_what_was_left_to_what_is_found_next() -> None:
    """As found, set, as left: then only as left to the next as found."""
    records = [
        result(2, 5e-4, 0),
        result(4, 1e-4, 0.01, "as-left"),
        result(6, 3e-4, 90),
        result(8, 4e-4, 150),
    ]
    found = changes_of(POINT, PointPast(records, moves=[3]))
    assert [one.record.seq for one in found] == [6, 8]
    first, second = (one.change for one in found)
    assert first.change == pytest.approx(2e-4)
    assert first.days == pytest.approx(89.99)
    assert second.change == pytest.approx(1e-4)
    assert second.days == pytest.approx(60)


def test_a_result_in_common_is_named_and_a_new_one_is_not() -> None:
    """Nothing set: one result ends a change and begins the next; set and measured anew: none."""
    alone = changes(PointPast([result(seq, 0.0, 30 * seq) for seq in (1, 2, 3)]))
    assert [one.shared for one in alone] == [0, pytest.approx(16e-6)]
    set_once = [
        result(1, 0.0, 0),
        result(2, 0.0, 30),
        result(4, 0.0, 30.1, "as-left"),
        result(5, 0.0, 60),
    ]
    assert [one.shared for one in changes(PointPast(set_once, moves=[3]))] == [0, 0]


@pytest.mark.parametrize("moved", [2, 3])
def test_nothing_is_learnt_across_a_setting_whatever_was_voided(moved: int) -> None:
    """The as-left result is withdrawn: what was found next was not left as the one before."""
    records = [
        result(1, 5e-4, 0),
        result(4, 0.0, 0.1, "as-left", void="wrong leaf"),
        result(5, 1e-4, 90),
    ]
    assert changes(PointPast(records, moves=[moved])) == []
    assert len(changes(PointPast(records))) == 1


def test_a_stop_set_by_hand_is_a_setting() -> None:
    """Where the point says that it undoes the check; otherwise it is another stop."""
    records = [result(1, 5e-4, 0), result(5, 1e-4, 90)]
    past = PointPast(records, happenings=[happened(3, STOP_RESET)])
    assert changes(past) == []
    assert len(changes_of(POINT._replace(undone_by=("knocked",)), past)) == 1


def test_a_result_taken_back_is_stepped_over() -> None:
    records = [result(1, 0.0, 0), result(2, 9e-4, 45, void="wrong leaf"), result(3, 1e-4, 90)]
    (change,) = changes(PointPast(records))
    assert change.days == 90
    assert change.change == pytest.approx(1e-4)


def test_an_as_left_result_ends_no_change() -> None:
    """Even if the journal lost the word that it was moved."""
    records = [result(1, 5e-4, 0), result(2, 0.0, 0.1, "as-left")]
    assert changes(PointPast(records)) == []


def test_a_result_of_another_kind_and_one_of_a_wrong_clock_say_nothing() -> None:
    records = [result(1, 0.0, 0), result(2, 0.1, 45, kind="length"), result(3, 1e-4, 90)]
    (change,) = changes(PointPast(records))
    assert change.days == 90
    records[1] = result(2, 1e-4, 45, clock_ok=False)
    assert changes(PointPast(records)) == []


def test_what_happened_between_is_a_likely_cause() -> None:
    """Only what undoes the point, on its machine or in the shop, and each thing once."""
    records = [result(2, 0.0, 0), result(10, 1e-4, 90), result(20, 1e-4, 180)]
    past = PointPast(
        records,
        happenings=[
            happened(1, "knocked"),
            happened(4, "blade changed"),
            happened(5, "knocked"),
            happened(6, "knocked"),
            happened(7, PROJECT_FINISHED, 3, machine=""),
            happened(8, "knocked", machine="jointer"),
            happened(21, "knocked"),
        ],
    )
    assert [one.sudden for one in changes(past)] == ["knocked and project finished", ""]
    assert [one.beside for one in changes(past)] == ["blade changed", ""]


def test_what_else_happened_is_read_from_the_journal_too(journal: SqliteJournal) -> None:
    """A shop file that forgot the knock: then it is not said that nothing was recorded."""
    point = POINT._replace(undone_by=("blade changed",))
    for what in ("knocked", "machine moved", PROJECT_FINISHED):
        record_happening(journal, "" if what == PROJECT_FINISHED else point.machine, what)
    record_happening(journal, "jointer", "belt changed")
    past = point_past(journal, point)
    assert sorted(one.what for one in past.happenings) == ["knocked", "machine moved"]
    records = [result(0, 0.0, 0), result(99, 1e-4, 90)]
    (found,) = changes_of(point, past._replace(records=records))
    assert (found.change.sudden, found.change.beside) == ("", "knocked and machine moved")


def test_running_between_two_results_comes_from_the_totals() -> None:
    """Not known before the first entry; nothing recorded since is nothing run."""
    records = [result(seq, 0.0, seq) for seq in (2, 10, 20, 30, 40)]
    runs = [(5, 120.0), (12, 300.0), (18, 420.0), (25, 600.0)]
    past = PointPast(records, happenings=[happened(seq, HOURS_RUN, total) for seq, total in runs])
    assert [one.minutes for one in changes(past)] == [None, 300, 180, 0]
    assert total_minutes(past, "saw") == 600
    assert total_minutes(past, "jointer") == 0
    assert [one.minutes for one in changes(PointPast(records))] == [None] * 4


def test_hours_of_another_machine_do_not_count() -> None:
    records = [result(2, 0.0, 0), result(10, 0.0, 9)]
    runs = [happened(seq, HOURS_RUN, seq * 60.0, machine="jointer") for seq in (1, 5)]
    assert changes(PointPast(records, happenings=runs))[0].minutes is None


@pytest.mark.parametrize(
    ("later", "u"),
    [
        ({}, math.hypot(16e-6, 16e-6)),
        ({"u_repeat": None}, math.hypot(20e-6, 20e-6)),
        ({"method": "flip"}, math.hypot(20e-6, 20e-6)),
        ({"readings": {"square": "Long square"}}, math.hypot(20e-6, 20e-6)),
        ({"u_repeat": 20e-6}, math.hypot(20e-6, 20e-6)),
    ],
    ids=["the same tools", "an old entry", "another method", "another square", "a proven square"],
)
def test_the_tools_own_error_drops_out_only_with_the_same_tools(
    later: dict[str, Any], u: float
) -> None:
    """Of u = 20 urad the square makes 12: 20^2 - 12^2 = 16^2."""
    (change,) = changes(PointPast([result(1, 0.0, 0), result(2, 0.0, 9, **later)]))
    assert change.u == pytest.approx(u)


@st.composite
def pasts(draw: st.DrawFn) -> PointPast:
    """Any order of results, voids, settings and happenings."""
    records, moves, things = [], list[int](), list[Happening]()
    for seq in range(1, draw(st.integers(1, 25))):
        what = draw(st.sampled_from(["as-found", "as-left", "void", "move", "knocked", HOURS_RUN]))
        if what == "move":
            moves.append(seq)
        elif what in ("knocked", HOURS_RUN):
            things.append(happened(seq, what, seq * 60.0))
        else:
            run, void = ("as-found", "x") if what == "void" else (what, None)
            own = draw(st.sampled_from([None, 16e-6]))
            records.append(result(seq, seq * 1e-5, seq, run, void=void, u_repeat=own))
    draw(st.randoms(use_true_random=False)).shuffle(records)
    return PointPast(records, moves, things)


@given(pasts())
@settings(max_examples=part(200), deadline=None)
def test_no_change_ever_spans_a_setting_or_rests_on_a_void(past: PointPast) -> None:
    """Each goes from one standing result to the next, and shares no more than it is known to."""
    standing = {one.seq: one for one in past.records if one.void is None}
    for one in changes_of(POINT, past):
        last = one.record.seq
        first = round(last - one.change.days)
        assert {first, last} <= standing.keys()
        assert standing[last].run == "as-found"
        assert not [seq for seq in past.moves if first < seq < last]
        assert not [seq for seq in standing if first < seq < last]
        assert one.change.change == pytest.approx((last - first) * 1e-5)
        assert one.change.shared <= one.change.u
        assert one.change.minutes is None or 0 <= one.change.minutes <= last * 60
