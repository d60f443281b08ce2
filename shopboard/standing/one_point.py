"""How one point stands: its newest result, what undid it since, its age, and what it rests on.

A point is true, near, out, due (was true, but too old or undone since), unproven (never checked)
or waits (true by itself, but what it rests on is not).
"""

from __future__ import annotations

from datetime import datetime

from shopboard.base.dates import OF_NO_AGE, ago, day, days_after
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import counted
from shopboard.metrology.conformity import Verdict, aim_for_the_middle, is_about_nought
from shopboard.results.doubt import Doubt
from shopboard.results.record import CheckRecord
from shopboard.standing.model import PointStanding, State, Undoing
from shopboard.standing.point_case import (
    PointCase,
    cause_words,
    rests_on,
    run_out,
    set_anew,
    to_check_first,
)

_SLACK = 1e-6
"""Minutes."""


def judge_point(case: PointCase) -> PointStanding:
    """Judge a point."""
    point, record = case.point, case.record
    first = to_check_first(case)
    shaken = _shaken(case)
    if shaken:
        return PointStanding(point, "unproven", shaken, record, first=first, stale=shaken)
    if record is None:
        reason = "nothing noted yet" if case.is_note else "never checked"
        if case.here in case.past.taken_back:
            reason = f"not {'noted' if case.is_note else 'checked'} since its result was withdrawn"
        return PointStanding(point, "unproven", reason, first=first)
    if case.doubt is not None and case.cast is None:
        record = case.doubt.record
    return _by_result(case, record, first)


def _by_result(case: PointCase, record: CheckRecord, first: str) -> PointStanding:
    """Judge a point by its newest result."""
    point, move, cast = case.point, case.past.moves.get(case.here), case.cast
    probability: float | None
    verdict, probability = record.verdict_for(point.tolerance, case.shop.proof_level)
    used: float | None = point.tolerance.as_it_counts(size=record.spread.size).used(record.error)
    if move is not None and move.seq > record.seq:
        reason = f"moved on {day(move.when)}, not measured since"
        return PointStanding(point, "unproven", reason, record, used, probability, first=first)
    cause = _undone_since(case, record)
    anew = "" if cause else set_anew(case, record)
    gone = cause_words(cause, point, case.shop) if cause else anew
    if cast is not None and not gone:
        gone, verdict = cast.words, _without_its_tool(case, cast, verdict)
    due_on, stale, rests = (None, gone, "") if gone else _by_now(case, record)
    judged = _Judged(record, verdict, gone, stale, rests)
    state, reason = _state(case, judged)
    if case.is_note and state in ("due", "noted"):
        used = probability = None
    return PointStanding(
        point,
        state,
        reason,
        record,
        used,
        probability,
        due_on if state in ("true", "noted") else None,
        cause,
        first,
        stale or judged.rests_words,
        doubted=cast is not None,
        base_moved=bool(anew) and state in ("due", "unproven"),
    )


class _Judged(NamedTuple):
    """What the parts of the judgement found."""

    record: CheckRecord
    verdict: Verdict
    gone: str
    """What undid the result, in words."""
    stale: str
    """Why it can no longer be gone by, in words."""
    rests: str
    """What it rests on and is not true, in words."""

    @property
    def rests_words(self) -> str:
        """Say what it rests on and is not true, and that itself it is."""
        by_itself = self.rests and self.verdict == "true"
        return f"true by itself; {self.rests}" if by_itself else self.rests


def _state(case: PointCase, judged: _Judged) -> tuple[State, str]:
    """Say in a word how a point stands, and why: what is out before what is old."""
    verdict, gone, lean = judged.verdict, judged.gone, judged.record.lean
    if verdict == "out":
        return "out", f"out before that: {lean}; {gone}" if gone else lean
    if verdict == "near" and gone:
        return "unproven", f"{gone}; it was borderline before that"
    if verdict == "near":
        return "near", _near(case, judged.record)
    if judged.stale:
        return "due", judged.stale
    if case.is_note:
        return "noted", ""
    if judged.rests:
        return "waits", judged.rests_words
    return verdict, case.doubt.words if case.doubt is not None else ""


def _near(case: PointCase, record: CheckRecord) -> str:
    """Say why a point is near, and what to set it to where there is a choice."""
    reason, tolerance = "measured; too close to call", case.point.tolerance
    if is_about_nought(record.spread, record.expanded, tolerance, case.shop.proof_level):
        return f"{reason}: {aim_for_the_middle(tolerance)}"
    return reason


def _without_its_tool(case: PointCase, cast: Doubt, verdict: Verdict) -> Verdict:
    """Withdraw that a point is out where only its bad tool made it so: it may be true."""
    without, _ = cast.record.verdict_for(case.point.tolerance, case.shop.proof_level)
    return "true" if verdict == "out" != without else verdict


def _shaken(case: PointCase) -> str:
    """Say why the newest result may not be the newest, or not as it was kept; empty: it is."""
    record, damage = case.record, case.past.damage
    shaken = case.past.shaken(record.seq if record is not None else 0)
    if shaken or damage is None or record is None or record.holds is None:
        return shaken
    behind = case.total < record.holds.total_minutes - _SLACK  # hours that it knew of are lost
    return damage.why if behind else ""


def _by_now(case: PointCase, record: CheckRecord) -> tuple[datetime | None, str, str]:
    """Say when what nothing undid becomes due, why it no longer counts, and what it rests on."""
    due_on, too_old = _by_calendar(case, record)
    stale, rests = run_out(record, case.total) or too_old, rests_on(case)
    if case.moved > record.seq:
        stale = stale or rests
    return due_on, stale, rests


def _undone_since(case: PointCase, record: CheckRecord) -> Undoing | None:
    """Give what undid a result: the first that happened after it."""
    newer = (number for number in case.undoings if number > record.seq)
    first = min(newer, default=None)
    return case.undoings[first] if first is not None else None


def _by_calendar(case: PointCase, record: CheckRecord) -> tuple[datetime | None, str]:
    """Say when a result becomes too old, None: never; and that it is, in words."""
    days, why, holds = case.point.every_days, "", record.holds
    if holds is not None and holds.days is not None and (days is None or holds.days < days):
        days, why = holds.days, f": {holds.why}"
    if not days:
        return None, ""
    made = min(record.when, case.now)  # a record from the future counts as made now
    due_on = days_after(made, days)
    if not record.clock_ok:
        return due_on, f"{'noted' if case.is_note else 'measured'} {OF_NO_AGE}"
    if case.now < due_on:
        return due_on, ""
    did = "noted" if case.is_note else "checked"
    age = ago(record.when, case.now)
    return due_on, f"{did} {age}, good for {counted(days, 'day')}{why}"
