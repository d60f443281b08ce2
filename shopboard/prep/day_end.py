"""How a prep day ends: how often a point was found the same on it, what its project may glue up."""

from __future__ import annotations

from collections.abc import Iterable

from shopboard.journal import Entry, Store, kinds
from shopboard.prep.begun_day import PrepDay, day_under_way, read_day
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.plan import DayPlan
from shopboard.prep.stays_open import StaysOpen
from shopboard.standing.model import PointStanding

_LOOKED_AT = 20
"""Entries of prep days among which the newest end is sought."""


def found_today(journal: Store, day: PrepDay | None, one: PointStanding) -> int:
    """Count the results of a prep day that tell how a point stands: nothing upset it since.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return found_since(journal, day.seq, one) if day is not None else 0


def found_since(journal: Store, since: int, one: PointStanding) -> int:
    """Count the results after an entry that tell how a point stands: nothing upset it since.

    Raises:
        JournalError: when the journal cannot be read.
    """
    after = max(since, one.upset)
    if one.record is None or one.record.seq <= after:
        return 0
    place = (one.point.machine, one.point.id)
    found = journal.between(kinds.CHECK.name, *place, after, one.record.seq)
    return sum(entry.void is None for entry in found)


def with_answers(plan: DayPlan, answers: Iterable[GlueUpAnswer], project: str) -> DayPlan:
    """Say of a plan that is done which joints of its project go, and which are on hold and why.

    Args:
        plan: the plan.
        answers: before a glue-up, of each joint; what was said of one on hold before gives way.
        project: name of the project.
    """
    told = [*answers]
    held = [one for each in told for one in _on_hold(each, project)]
    targets = {one.target for one in held}
    others = [one for one in plan.stays_open if one.target not in targets]
    goes = tuple(one.joint.name for one in told if one.go)
    return plan._replace(stays_open=(*others, *held), goes=goes, holds=())


def _on_hold(one: GlueUpAnswer, project: str) -> list[StaysOpen]:
    """Give what holds a joint up, as the answer before a glue-up tells it."""
    ids = "", one.joint.full_name
    return [
        StaysOpen("joint", *ids, project, one.joint.name, f"{one.word}, {each.words}", each.to_do)
        for each in one.told
    ]


def last_day(journal: Store) -> tuple[PrepDay | None, Entry | None]:
    """Give the prep day in progress, or else the last one, and its end; None: it has none.

    Raises:
        JournalError: when the journal cannot be read.
    """
    day = day_under_way(journal)
    if day is not None:
        return day, None
    for one in journal.recent(kinds.PREP.name, "", "", _LOOKED_AT, include_void=False):
        if kinds.PREP.read(one).what == "ended" and one.refers:
            begun = journal.get(one.refers)
            if begun is not None and begun.void is None:
                return read_day(begun), one
    return None, None
