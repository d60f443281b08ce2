"""Which change of cutter is under way on a machine, by the newest entries."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import Entry, kinds
from shopboard.shop.model import Shop
from shopboard.shop.one_body import served


class Changing(NamedTuple):
    """A change of cutter that was begun on a machine and is not done yet."""

    what: str
    """What is under way, in words: ``blade change``."""
    machine: str = ""
    """Id of the machine that the cutter belongs to: that, or another mode of it."""
    kind: str | None = None
    act: str = ""
    """What is done with a cutter; empty: the record does not say."""
    cutter: str = ""
    """Id of the one that it is about."""
    off: str = ""
    """Id of the one that comes off; empty: none does."""
    off_is_done: bool = False
    """That one is dull or worn out."""
    on_state: str = "sharp"
    """How sharp the one is that goes on."""
    answered: frozenset[str] = frozenset()
    """Keys of the steps that are done."""


def changing(entries: Mapping[tuple[str, str], Entry], machine: str) -> Changing | None:
    """Tell what change of one of its own cutters is under way on a machine.

    Its newest entry stands in the place of no cutter and holds the whole way gone so far.
    """
    entry = entries.get((machine, ""))
    way = kinds.CHANGE_WAY.read(entry) if entry is not None else None
    if way is None or not way.open:
        return None
    what = change_words(way.kind, way.act) if way.kind else "cutter change"
    told = (way.act, way.cutter, way.off, way.off_is_done, way.on_state)
    return Changing(what, machine, way.kind or None, *told, frozenset(way.answers))


def changing_at(
    shop: Shop, entries: Mapping[tuple[str, str], Entry], machine: str
) -> Changing | None:
    """Tell what change of cutter is under way on a machine, of its own or one that serves it."""
    under_way = changing(entries, machine)
    for home in shop.serving.get(machine, ()) if under_way is None else ():
        other = changing(entries, home)
        if other is not None and other.kind is not None:
            serves = served(shop.machines_by_id[home], other.kind)
            under_way = other if machine in serves else under_way
    return under_way


def change_words(kind: str, act: str = "") -> str:
    """Name a change of cutter: ``blade change``, ``knife change``; ``blade cleaning``.

    Args:
        kind: of the cutter, in the shop's own words or how it is changed.
        act: what is done with it, where that is known.
    """
    does = "cleaning" if act == "clean" else "change"
    return f"{'knife' if kind == 'knives' else kind} {does}"
