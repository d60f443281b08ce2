"""What a check is told about a point: of the shop file, and of what the journal knows by then."""

from __future__ import annotations

import hashlib
import re
from functools import partial

from shopboard.checks.job import CheckContext
from shopboard.checks.need import Need
from shopboard.journal import Store
from shopboard.journal.kinds import CHECK, MOVED
from shopboard.results.own_hand import own_hands
from shopboard.results.record import read_all
from shopboard.results.references import proven_drawer
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.shop.one_body import served
from shopboard.shop.words_before import words_before


def job_for(
    shop: Shop,
    point: Point,
    journal: Store | None,
    before: int | None = None,
    need: Need | None = None,
) -> CheckContext:
    """Put together what a check is told about a point.

    Args:
        shop: the shop.
        point: the point.
        journal: where it is looked up what the point's screw did; None: nowhere.
        before: number of an entry; what was learnt after it is left out.
        need: what the work asks of the point.
    """
    adjuster = point.adjuster if point.tolerance.kind in ("angle", "length") else None
    return CheckContext(
        machine=shop.machines_by_id[point.machine].name,
        point=point.name,
        geometry=point.geometry,
        tolerance=point.tolerance,
        drawer=proven_drawer(shop, journal, before) if journal else shop.drawer,
        unit=shop.unit,
        level=shop.proof_level,
        cutter_near=point.cutter_near,
        lock=point.lock,
        sizes=point.sizes,
        proves=point.proves,
        was_moved=was_moved(journal, point, before) if journal else False,
        adjuster=adjuster,
        mm_per_turn=learnt_advance(journal, point, before) if journal and adjuster else None,
        hands=own_hands(journal, shop, before) if journal else (),
        need=need,
        knives=_knives(shop, point),
    )


def _knives(shop: Shop, point: Point) -> tuple[int, ...]:
    """Give how many knives the sets have that go on the point's machine, or serve it."""
    found = {
        cutter.pieces
        for home in (point.machine, *shop.serving.get(point.machine, ()))
        for cutter in shop.machines_by_id[home].cutters
        if cutter.sort == "knives"
        if home == point.machine or point.machine in served(shop.machines_by_id[home], cutter.kind)
    }
    return tuple(sorted(found))


_LATER = (
    r", hands=\(\)|, need=None|, wanders=None|, knives=\([0-9, ]*\)"
    r"|, (?:turned_)?side='(?:left|right|)'|, in_slot=(?:True|False)"
)
"""What no fingerprint takes in, as `repr` writes it."""

_LEAVES_WERE = r"(FeelerSet\((?:[^()]|\([^()]*\))*), was=\([^()]*\)"
"""The ids that a set of leaves had before: not told when the first fingerprints were taken."""

_FIRST_NAME = "Job"
"""What the class was called when the first fingerprints were taken; they hold its name."""


def fingerprint(job: CheckContext) -> str:
    """Sum up what the steps of a check follow from, so that a change of the shop file shows.

    An answer speaks of the leaf that its step asked for; with another tolerance or drawer the
    same step would have asked for another leaf.
    """
    told = repr(
        job._replace(machine="", point="", mm_per_turn=None, hands=(), need=None, wanders=None)
    )
    # Checks begun before these were known go on; a need stands with the beginning. On which side
    # something is changes what is drawn and said, and no step.
    told = re.sub(_LEAVES_WERE, r"\1", told)
    told = _FIRST_NAME + re.sub(_LATER, "", told).removeprefix(type(job).__name__)
    return hashlib.sha256(told.encode()).hexdigest()[:16]


def same_job(told: str, job: CheckContext) -> bool:
    """Tell whether a check that was begun by such a fingerprint still follows from the same.

    The words of a usual point that the shop file does not say itself may have changed since: the
    program's doing, of which no answer is worth less.
    """
    if told == fingerprint(job):
        return True
    geometry = job.geometry
    before = geometry._replace(datum=words_before(geometry.datum), face=words_before(geometry.face))
    return told == fingerprint(job._replace(geometry=before, lock=words_before(job.lock)))


def learnt_advance(journal: Store, point: Point, before: int | None) -> float | None:
    """Middle one of the last three advances that the point's screw was seen to make.

    Each was seen between two results of one check; it counts only while both of them stand.
    """
    entries = journal.recent(CHECK.name, point.machine, point.id, limit=30)
    stands: dict[str, bool] = {}  # of each check, whether its newest result so far does
    both = []
    for one in reversed(entries):
        if one.void is None and stands.get(one.refers, True):
            both.append(one)
        stands[one.refers] = one.void is None
    shown: list[float] = []
    for one in reversed(both):
        if len(shown) < 3 and (before is None or one.seq < before):
            shown += [read.mm_per_turn for read in read_all([one]) if read.mm_per_turn is not None]
    return sorted(shown)[len(shown) // 2] if shown else None


def was_moved(journal: Store, point: Point, before: int | None) -> bool:
    """Tell whether the point was moved after its newest result that stands.

    Args:
        journal: the journal.
        point: the point.
        before: number of an entry; what was recorded after it is left out.
    """
    newest = []
    for kind in (MOVED.name, CHECK.name):
        asked = partial(journal.recent, kind, point.machine, point.id, include_void=False)
        last = asked(limit=1) if before is None else []
        entries = last or asked(limit=60)  # the last one may be damaged
        known = [one.seq for one in entries if before is None or one.seq < before]
        newest.append(max(known, default=0))
    moved, checked = newest
    return moved > checked
