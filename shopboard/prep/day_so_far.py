"""What was done on a prep day so far: from when its minutes count, and how the machines stand."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from shopboard.journal import Entry, Store, kinds
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import PrepDay

_ACTS = tuple(
    one.name for one in (kinds.CHECK, kinds.END, kinds.TASK, kinds.TASK_STEP, kinds.CUTTER)
)
"""Kinds of records with which a piece of work is over."""


def newest_act(journal: Store, day: PrepDay | None) -> Entry | None:
    """Give the newest record with which a piece of work of this day was over; None: none yet."""
    if day is None:
        return None
    found = (one for kind in _ACTS for one in journal.latest(kind).values() if one.seq > day.seq)
    return max(found, key=lambda one: one.seq, default=None)


def zero_of(
    open_shop: OpenShop, day: PrepDay | None, newest: Entry | None, now: datetime
) -> datetime:
    """Give the moment from which the minutes count: the newest record of the day, or now.

    A check that was begun later counts from its beginning.
    """
    if day is None:
        return now.replace(second=0, microsecond=0)
    moments = [day.when] if newest is None else [day.when, newest.when]
    begun = open_shop.waiting.get(in_hand(open_shop, day))
    if begun is not None:
        moments.append(begun.when)
    return min(max(moments), now)


def modes_now(journal: Store, bodies: Mapping[str, str]) -> dict[str, str]:
    """Give the mode that each combination machine is in: that in which it was last worked on.

    Args:
        journal: the records.
        bodies: body by machine.
    """
    newest: dict[str, tuple[int, str]] = {}
    for kind in (*_ACTS, kinds.HAPPENING.name) if bodies else ():
        for (machine, _), entry in journal.latest(kind).items():
            body = bodies.get(machine)
            if body is not None and entry.seq > newest.get(body, (0, ""))[0]:
                newest[body] = (entry.seq, machine)
    return {body: machine for body, (_, machine) in newest.items()}


def in_hand(open_shop: OpenShop, day: PrepDay | None) -> str:
    """Give the point whose check was begun on this day and is not done; empty: none."""
    if day is None:
        return ""
    return next((name for name, one in open_shop.waiting.items() if one.seq > day.seq), "")
