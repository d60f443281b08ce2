"""A point and all that it is judged by, and what each part of that says of it, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import stands_words
from shopboard.metrology.duration import hours_words
from shopboard.results.doubt import Doubt
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.standing.model import RANKS, Past, PointStanding, Undoing


class PointCase(NamedTuple):
    """A point, and all that it is judged by."""

    point: Point
    shop: Shop
    past: Past
    now: datetime
    bases: Sequence[PointStanding]
    """Of what it rests on."""
    undoings: Mapping[int, Undoing]
    """What undid it or what it rests on, by number."""
    found: Mapping[str, PointStanding]
    """What was judged before it, all that it rests on among it."""
    total: float
    """How many minutes its machine has run in all."""
    moved: int
    """Number of the newest move of all below it; 0: none."""
    doubt: Doubt | None
    """What is known today of the tool that it was measured with; None: nothing new."""

    @property
    def here(self) -> tuple[str, str]:
        """Its place in what the journal says."""
        return self.point.machine, self.point.id

    @property
    def record(self) -> CheckRecord | None:
        """Its newest result that stands."""
        return self.past.latest.get(self.here)

    @property
    def cast(self) -> Doubt | None:
        """What throws its newest result over: the tool was bad; None: nothing does."""
        return self.doubt if self.doubt is not None and self.doubt.cast else None

    @property
    def is_note(self) -> bool:
        """Whether it is only noted; that says neither that it is true nor that it is not."""
        return self.point.tolerance.kind == "note"


def run_out(record: CheckRecord, total: float) -> str:
    """Say that the machine has run longer since than the result holds; empty when it has not."""
    holds = record.holds
    if holds is None or holds.minutes is None:
        return ""
    ran = total - holds.total_minutes
    if ran < holds.minutes:
        return ""
    return f"{hours_words(ran)} run since, good for {hours_words(holds.minutes)}: {holds.why}"


def set_anew(case: PointCase, record: CheckRecord) -> str:
    """Say which base was set anew after a result was taken; empty when none was."""
    for base in case.bases:
        move = case.past.moves.get((base.point.machine, base.point.id))
        if move is not None and move.seq > record.seq:
            name = _named(base.point, case.point, case.shop)
            return f"depends on {name}, re-set on {day(move.when)}"
    return ""


def to_check_first(case: PointCase) -> str:
    """Name what is checked before a point, the worst of what its bases hang on; empty: nothing."""
    roots = (_root(case, base) for base in case.bases if base.is_open)
    worst = min(roots, key=lambda one: RANKS[one.state], default=None)
    return worst.point.full_name if worst is not None else ""


def rests_on(case: PointCase) -> str:
    """Say what a point rests on and is not true; empty when all is, and of what is only noted."""
    point, shop = case.point, case.shop
    bases = [one for one in case.bases if one.is_open]
    found = [*(_root(case, base) for base in bases), *(one for one in bases if one.state == "out")]
    by_name = {one.point.full_name: one for one in found}
    roots = sorted(by_name.values(), key=lambda one: RANKS[one.state])
    if not roots or case.is_note:
        return ""
    if len(roots) == 1 and roots[0].state not in ("near", "out"):
        return _one_root(case, roots[0])
    each = (
        f"on {_named(one.point, point, shop)}, which {stands_words(one.state)}" for one in roots
    )
    near = roots[0].state == "near"
    vain = f": checking {point.name} again cannot help" if near else ""
    return f"depends {', and '.join(each)}{vain}"


def _root(case: PointCase, base: PointStanding) -> PointStanding:
    """Give what is checked first of what a base hangs on, which may be itself."""
    return case.found[base.first] if base.first else base


def _one_root(case: PointCase, root: PointStanding) -> str:
    """Say what came over the one thing that a point rests on and is not true."""
    if root.undone is not None:
        return cause_words(root.undone, case.point, case.shop)
    which = "which " if root.base_moved else ""
    return f"depends on {_named(root.point, case.point, case.shop)}, {which}{root.reason}"


def cause_words(cause: Undoing, point: Point, shop: Shop) -> str:
    """Name what happened and, where that is another point, the one that it undid."""
    words = f"{cause.happening.what} on {cause.happening.day_words}"
    if cause.root is point:
        return words
    return f"{words}; depends on {_named(cause.root, point, shop)}"


def _named(root: Point, point: Point, shop: Shop) -> str:
    """Name a point, with its machine where that is another one."""
    if root.machine == point.machine:
        return root.name
    return f"{root.name} ({shop.machines_by_id[root.machine].name})"
