"""A result as the journal keeps it: nothing is lost, and what is strange is left aside."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import Entry
from shopboard.metrology.conformity import Tolerance
from shopboard.results.record import Holds, UnreadableRecordError, read_all, read_check
from tests.builders import SCREW, Person, check_body, follow, found, make_job
from tests.in_turn import part

WHEN = datetime(2026, 6, 1, 8, tzinfo=UTC)
ODD: list[Any] = [
    None,
    True,
    "x",
    -1,
    1.5,
    [],
    [1],
    {},
    {"a": 1},
    10**400,
    float("inf"),
    [["a", "b"]],
]


def entry(body: dict[str, Any], seq: int = 1) -> Entry:
    return Entry(seq, f"uid-{seq}", WHEN, "check", "saw", "blade", "visit", body, None, True)


def body_of(error: float = 0.004) -> dict[str, Any]:
    """The body of a result, as it comes back from JSON."""
    body = check_body(found(follow(make_job(), Person(error))), "as-found")
    return dict(json.loads(json.dumps(body, allow_nan=False)))


BODY = body_of()


@given(st.floats(-0.012, 0.012))
@settings(max_examples=part(30), deadline=None)
def test_a_result_comes_back_as_it_was_recorded(error: float) -> None:
    """Error, uncertainty and verdict to a nanoradian; words and readings letter by letter."""
    outcome = found(follow(make_job(), Person(error)))
    record = read_check(entry(json.loads(json.dumps(check_body(outcome, "as-found")))))
    assert record.error == pytest.approx(outcome.estimate.error, abs=1e-9)
    assert record.expanded == pytest.approx(outcome.estimate.budget.expanded, abs=1e-9)
    assert record.spread.u == pytest.approx(outcome.estimate.spread.u, abs=3e-9)
    assert record.expanded / record.k == pytest.approx(outcome.estimate.budget.u, rel=1e-4)
    assert record.verdict == outcome.verdict
    assert record.working == outcome.working
    assert record.readings == outcome.readings
    sources = outcome.estimate.budget.sources
    assert [one[:2] for one in record.budget] == [one[:2] for one in sources]


@given(st.floats(-0.006, 0.006), st.sampled_from([0.0005, 0.00175, 0.004]))
@settings(max_examples=part(30), deadline=None)
def test_the_verdict_can_be_worked_out_again(error: float, half: float) -> None:
    """From the record alone the same probability follows, and another tolerance's as well."""
    outcome = found(follow(make_job(), Person(error)))
    record = read_check(entry(check_body(outcome, "as-found")))
    assert outcome.tolerance is not None
    _, probability = record.verdict_for(outcome.tolerance, outcome.level)
    assert probability == pytest.approx(outcome.probability, abs=1e-4)
    other = Tolerance(-half, half)
    again = replace(outcome, tolerance=other)
    assert record.verdict_for(other, 0.95)[1] == pytest.approx(again.probability, abs=1e-4)


def test_lengths_and_angles_are_whole_numbers() -> None:
    """Nothing drifts by being read and written."""
    assert isinstance(BODY["error"], int)
    assert all(isinstance(half, int) for half in BODY["even"])
    assert BODY["unit"] == "nrad"
    assert BODY["readings"]["lever_nm"] == 152_400_000


@pytest.mark.parametrize(
    "key", ["kind", "run", "method", "error", "even", "sigma", "expanded", "lean"]
)
def test_a_body_that_lacks_something_is_said_to_be_unreadable(key: str) -> None:
    """With the number of the entry."""
    with pytest.raises(UnreadableRecordError, match="entry 1 "):
        read_check(entry({name: value for name, value in BODY.items() if name != key}))


def test_a_later_version_is_left_aside() -> None:
    """It stays in the journal; this program does not guess at it."""
    with pytest.raises(UnreadableRecordError, match="later version"):
        read_check(entry({**BODY, "v": 2}))
    good, late = entry(BODY, 1), entry({**BODY, "v": 2}, 2)
    assert [one.seq for one in read_all([late, good])] == [1]


@given(st.sampled_from(sorted(BODY)), st.sampled_from(ODD))
@settings(max_examples=part(200), deadline=None)
def test_no_strange_value_breaks_the_reading(key: str, value: object) -> None:
    """Whatever stands in a body, it is read or refused as unreadable, and then usable."""
    for record in read_all([entry({**BODY, key: value})]):
        assert record.mm_per_turn is None
        assert record.verdict_for(Tolerance(-1e-3, 1e-3), 0.95)[0] in ("true", "near", "out")


@pytest.mark.parametrize("shown", [None, "1", -5, 0, 10**400, [1], True])
def test_a_screw_that_taught_nothing_sensible_teaches_nothing(shown: object) -> None:
    """Only a positive advance below a metre per turn counts."""
    readings = {**BODY["readings"], "screw": {"nm_per_turn": shown}}
    record = read_check(entry({**BODY, "readings": readings}))
    assert record.mm_per_turn in (None, 1e-6)


def test_what_the_screw_did_is_read_back() -> None:
    """In mm per turn."""
    job = make_job(adjuster=SCREW)
    left = follow(job, Person(0.003, then=(0.0,))).findings[1].outcome
    screw = left.readings["screw"]
    assert isinstance(screw, dict)
    record = read_check(entry(check_body(left, "as-left")))
    assert record.mm_per_turn == screw["nm_per_turn"] / 1e6


def test_what_a_second_reading_does_not_share_is_read_back() -> None:
    """All but the square's own error; the whole uncertainty of an entry that is older than that."""
    outcome = found(follow(make_job(), Person(0.004)))
    budget = outcome.estimate.budget
    record = read_check(entry(check_body(outcome, "as-found")))
    assert record.u_repeat == pytest.approx(budget.u_repeat, abs=1e-9)
    assert budget.u_repeat < record.u
    assert record.u == pytest.approx(budget.u, rel=1e-4)
    old = read_check(entry({name: one for name, one in BODY.items() if name != "u_of_change"}))
    assert old.u_repeat is None
    assert old._replace(u_repeat=read_check(entry(BODY)).u_repeat) == read_check(entry(BODY))


@pytest.mark.parametrize(
    "holds",
    [
        None,
        Holds(41, None, 0.0, "it wandered"),
        Holds(None, 1500, 620.0, ""),
        Holds(9, 60, 1.5, "x"),
    ],
)
def test_how_long_it_holds_comes_back_as_it_was_recorded(holds: Holds | None) -> None:
    outcome = found(follow(make_job(), Person(0.0)))
    body = json.loads(json.dumps(check_body(outcome, "as-found", holds), allow_nan=False))
    assert read_check(entry(body)).holds == holds
    assert ("holds" in body) == (holds is not None)


GOOD = {"days": 41, "minutes": 60, "total_minutes": 0, "why": "it wandered"}


@pytest.mark.parametrize("key", GOOD)
@pytest.mark.parametrize("odd", ODD, ids=str)
def test_a_strange_holding_limits_nothing_or_can_be_used(key: str, odd: Any) -> None:
    """A result that can be read is never lost for it."""
    holds = read_check(entry({**BODY, "holds": {**GOOD, key: odd}})).holds
    if holds is not None:
        assert holds.days is None or WHEN + timedelta(days=holds.days) > WHEN
        assert holds.minutes is None or holds.minutes > 0
        assert 0 <= holds.total_minutes < 1e12
    assert read_check(entry({**BODY, "holds": odd})).holds is None
    assert read_check(entry({**BODY, "holds": {**GOOD, "days": 10**9}})).holds == Holds(
        None, 60, 0.0, "it wandered"
    )
