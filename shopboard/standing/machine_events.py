"""What happened at machines between two moments: tags, clearings, knocks, hours run."""

from __future__ import annotations

from shopboard.base.dates import day, told_on
from shopboard.base.who import with_bench
from shopboard.journal import Entry, Store, kinds
from shopboard.metrology.units import Unit
from shopboard.shop.machine import USES
from shopboard.shop.model import Shop
from shopboard.standing.look_back import PastEvent
from shopboard.upkeep.happenings import project_name
from shopboard.upkeep.safety_record import DO_NOT_USE
from shopboard.upkeep.uses import use_words

MOST = 200
"""Entries of one sort that are told of a machine: the newest."""


def machine_events(
    journal: Store, shop: Shop, after: int, upto: int
) -> list[tuple[str, list[PastEvent]]]:
    """Tell what happened between two entries, by id of the machine; empty: in the whole shop.

    Args:
        journal: the whole journal.
        shop: the shop.
        after: number of the last entry before.
        upto: number of the last entry that is told.

    Returns:
        Each in the order of recording; none without any.
    """
    then = journal.as_of(upto)
    found = []
    for machine in ("", *shop.machines_by_id):
        entries = [
            entry
            for kind in (kinds.HAPPENING.name, kinds.TAG.name)
            for entry in then.machine_entries(kind, machine, MOST)
            if entry.seq > after
        ]
        told = [
            PastEvent(one.when, with_bench(_words(one, shop), one.by), one.void)
            for one in sorted(entries, key=lambda one: one.seq)
        ]
        found += [(machine, told)] if told else []
    return found


def _words(entry: Entry, shop: Shop) -> str:
    if entry.kind == kinds.TAG.name:
        tag = kinds.TAG.read(entry)
        return f"{DO_NOT_USE}: {tag.why}" if tag.out_of_use else f"tag cleared: {tag.why}"
    return _happened(entry, shop, shop.unit)


def _happened(entry: Entry, shop: Shop, unit: Unit) -> str:
    said = kinds.HAPPENING.read(entry)
    on = told_on(said.on, entry.when)
    counted = said.amount is not None and said.what in USES
    words = [
        said.what,
        f"of {day(on)}" if on is not None else "",
        project_name(shop, said.project) if said.project else "",
        use_words(said.what, said.amount, unit) if counted and said.amount is not None else "",
        said.note,
    ]
    return ", ".join(filter(None, words))
