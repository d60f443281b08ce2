"""What settles a borderline point of which another check as before would tell nothing new."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.checks.outcome import Outcome
from shopboard.checks.settle import reading_again_helps
from shopboard.metrology.own_hand import BRACKET
from shopboard.metrology.sources import SQUARE_TURNED
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from shopboard.prep.begun_day import day_under_way
from shopboard.prep.day_end import found_since
from shopboard.prep.open_points import left_to_do
from shopboard.prep.options import what_settles
from shopboard.prep.stays_open import TWICE
from shopboard.results.own_hand import BRACKETS

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop
    from shopboard.standing.model import PointStanding


def to_settle(open_shop: OpenShop, one: PointStanding) -> str:
    """Say what would settle a point, where that is no further check as before; empty: check it.

    So it is with one that was found borderline twice today (of a prep day in progress: on it),
    nothing having moved since, or that no check with the tools at hand can prove true; and with one
    of which its newest result says that reading again is no help.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if one.state != "near" or one.doubted:
        return ""
    found = what_settles(open_shop, one.point.full_name)
    how = found.how if found is not None else ""
    if found is not None and not found.at_hand:
        return how
    journal = open_shop.journal
    day = day_under_way(journal)
    since = day.seq if day is not None else journal.seq_at(_midnight(open_shop.now()))
    if found_since(journal, since, one) < TWICE and _may_help(one, open_shop.shop.proof_level):
        return ""
    return how or left_to_do(open_shop.shop, one)


def _may_help(one: PointStanding, level: float) -> bool:
    """Tell whether another check as before may settle a point, as far as its result tells."""
    record, point = one.record, one.point
    if record is None or not record.budget or not one.stands:
        return True
    sources = (
        Source(each.id, each.label, each.u, hand=BRACKET if each.id in BRACKETS else "")
        for each in record.budget
    )
    estimate = Estimate(record.error, Budget(tuple(sources)), record.spread.size)
    able = point.geometry.turn != "no" and all(each.id != SQUARE_TURNED for each in record.budget)
    about = (record.method, estimate, point.tolerance, record.kind, level)
    again = Outcome(*about, readings=record.readings, can_turn=able)
    return again.verdict != "near" or reading_again_helps(again)


def _midnight(now: datetime) -> datetime:
    return now.astimezone().replace(hour=0, minute=0, second=0, microsecond=0)
