"""What the hand of the person repeats to, read from the journal: readings that were taken again.

One hand is not another: of results that say who recorded them, only those of this bench count.

Two sorts of them are on record: the sets of readings of one check, and a result that was found
again before anything happened to its machine or to what it is measured from.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import timedelta
from weakref import WeakKeyDictionary

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks import registry
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.own_hand import sort_of
from shopboard.journal import Entry, Store, kinds
from shopboard.metrology import sources
from shopboard.metrology.kind import RECORD_UNITS
from shopboard.metrology.own_hand import LEAF, RULE, Again, OwnHand, learnt, pairs_of
from shopboard.results.record import CheckRecord, read_all
from shopboard.shop.model import Shop

_KINDS = (kinds.CHECK.name, *(one.name for one in kinds.ALL if one.undoes))
_NEWEST = 600
"""Entries of these kinds that are looked at: a year or two of one shop."""
_WINDOW = 20_000
"""Entries of every kind among which they are looked for."""
_LAST = 2**62
_SOON = timedelta(hours=24)
"""Between two results later than that the point has wandered, too."""
_MOST_READINGS = 50
"""Of one result; no check takes so many."""
_ALIKE = 0.1
"""By this share may what two results were to repeat to differ, for the same reading taken again."""


class _Learnt(NamedTuple):
    """What was learnt from a journal last: to read it takes 50 ms, before the first step is asked.

    It holds until something of these kinds is recorded, or something withdrawn.
    """

    follows_from: object
    last: int
    """Number of the newest entry by then."""
    hands: tuple[OwnHand, ...]


_LEARNT: WeakKeyDictionary[Store, _Learnt] = WeakKeyDictionary()


class HandRepeats(NamedTuple):
    """How the readings of one result repeat, rad or mm."""

    errors: tuple[float, ...]
    assumed: Mapping[str, float]
    """Standard uncertainty that was assumed of one reading, by sort of reading."""
    half: float
    """Half-width of the bracket in which one reading lies."""


def own_hands(journal: Store, shop: Shop, before: int | None = None) -> tuple[OwnHand, ...]:
    """Learn from the newest records what the hand repeats to.

    Args:
        journal: the journal.
        shop: tells what each point is measured from.
        before: number of an entry; what was recorded from it on is left out.

    Raises:
        JournalError: when the journal cannot be read.
    """
    upto = _LAST if before is None else before - 1
    newest = next((one.seq for one in journal.newest(_KINDS, upto, _WINDOW, 1)), 0)
    follows_from, last = (newest, shop, journal.by), journal.last_seq()
    kept = _LEARNT.get(journal)
    if kept is not None and kept.follows_from == follows_from:
        since = last - kept.last
        if not since or not journal.newest((kinds.VOID.name,), last, since, 1):
            return kept.hands
    pairs: dict[str, list[Again]] = {}
    for sort, found in _pairs(journal.newest(_KINDS, newest, _WINDOW, _NEWEST), shop, journal.by):
        pairs.setdefault(sort, []).extend(found)
    each = (learnt(sort, found) for sort, found in pairs.items())
    hands = tuple(sorted(one for one in each if one is not None))
    _LEARNT[journal] = _Learnt(follows_from, last, hands)
    return hands


def _pairs(entries: Iterable[Entry], shop: Shop, by: str) -> Iterable[tuple[str, list[Again]]]:
    """Give the pairs of each result that tells something, the newest first, by sort."""
    later: dict[tuple[str, str], tuple[CheckRecord, HandRepeats]] = {}
    for entry in entries:
        if entry.void is not None:
            continue
        if entry.kind == kinds.CHECK.name and entry.by not in ("", by):
            continue
        if entry.kind != kinds.CHECK.name:
            touched = [place for place in later if _is_of(place, entry.machine, shop)]
            for place in touched:
                del later[place]
            continue
        for record in read_all([entry]):
            repeats = repeats_of(record)
            if repeats is None:
                continue
            if len(repeats.errors) > 1:
                yield from _told(
                    repeats.assumed, repeats.errors, [repeats.half] * len(repeats.errors)
                )
                continue
            place = (record.machine, record.point)
            after = later.get(place)
            if after is not None and _same_again(record, repeats, *after):
                errors = (*repeats.errors, *after[1].errors)
                yield from _told(repeats.assumed, errors, [repeats.half, after[1].half])
            later[place] = record, repeats


def _told(
    assumed: Mapping[str, float], errors: tuple[float, ...], halves: list[float]
) -> Iterable[tuple[str, list[Again]]]:
    sort = sort_of(assumed)
    if sort:
        yield sort, pairs_of(errors, halves, math.hypot(*assumed.values()))


def _is_of(place: tuple[str, str], machine: str, shop: Shop) -> bool:
    """Tell whether what happened to a machine, or in the whole shop, may have moved a point."""
    point = shop.points.get(".".join(place))
    bases = point.rests_on if point else ()
    reached = shop.reached.get(place[0], {}).values()
    beside = (mode for modes in reached for mode in modes)
    return machine in ("", place[0], *beside, *(base.partition(".")[0] for base in bases))


def _same_again(
    record: CheckRecord, repeats: HandRepeats, after: CheckRecord, again: HandRepeats
) -> bool:
    """Tell whether a result is the one before, read again in the same way with the same tools."""
    if not (record.clock_ok and after.clock_ok) or record.method != after.method:
        return False
    if not timedelta(0) <= after.when - record.when <= _SOON or record.kind != after.kind:
        return False
    tools = ("square", "feelers", "tools", "lever_nm")
    if any(record.readings.get(name) != after.readings.get(name) for name in tools):
        return False
    one, other = (math.hypot(*each.assumed.values()) for each in (repeats, again))
    return sort_of(repeats.assumed) == sort_of(again.assumed) and math.isclose(
        one, other, rel_tol=_ALIKE
    )


def repeats_of(record: CheckRecord) -> HandRepeats | None:
    """Give how the readings of a result repeat; None where its record does not tell."""
    kept = record.readings.get("repeats")
    if isinstance(kept, dict):
        return _as_kept(kept, RECORD_UNITS[record.kind][1])
    return _from_budget(record)


def _as_kept(kept: Mapping[str, object], per_unit: float) -> HandRepeats | None:
    errors, assumed, half = kept.get("errors"), kept.get("hand"), kept.get("half")
    if not (isinstance(errors, list) and isinstance(assumed, dict) and isinstance(half, int)):
        return None
    whole = [*errors, *assumed.values()]
    if (
        not errors
        or len(errors) > _MOST_READINGS
        or any(isinstance(one, bool) or not isinstance(one, int) for one in whole)
    ):
        return None
    us = {str(sort): u / per_unit for sort, u in assumed.items() if u > 0}
    return HandRepeats(tuple(one / per_unit for one in errors), us, half / per_unit) if us else None


_HAND_OF = {sources.FEEL: LEAF, sources.GAP_FEEL: LEAF, sources.RULE: RULE}
BRACKETS = (sources.LEVER_BRACKET, sources.GAP_BRACKET, sources.SCALE)
"""Sources by which a reading lies between two steps, in records that do not tell it."""


def _from_budget(record: CheckRecord) -> HandRepeats | None:
    """Read it from a record that was written before this was kept beside: by what sources say."""
    if record.method not in registry.names():
        return None
    method = registry.method(record.method)
    hand = (method.hand or method.name) if isinstance(method, DeclaredCheck) else ""
    assumed = _assumed(record, hand)
    half = math.sqrt(3 * sum(one.u**2 for one in record.budget if one.id in BRACKETS))
    sets = record.readings.get("sets")
    if not isinstance(sets, list) or len(sets) <= 1:
        return HandRepeats((record.error,), assumed, half) if assumed else None
    if not isinstance(method, DeclaredCheck):
        return None
    try:
        errors, usual = _of_sets(method, sets)
    except (AttributeError, KeyError, ValueError, ZeroDivisionError):
        return None  # its formula asks for more than was kept
    assumed |= {hand: usual} if usual > 0 else {}
    return HandRepeats(errors, assumed, half) if assumed else None


def _assumed(record: CheckRecord, hand: str) -> dict[str, float]:
    """Give what was assumed of each sort of reading; `hand` is the sort of a declared check."""
    assumed: dict[str, float] = {}
    for one in record.budget:
        sort = hand if hand and one.id == sources.REPEATS else _HAND_OF.get(one.id, "")
        if sort and one.u > 0:
            assumed[sort] = math.hypot(assumed.get(sort, 0.0), one.u)
    return assumed


def _of_sets(
    method: DeclaredCheck, sets: Sequence[Mapping[str, object]]
) -> tuple[tuple[float, ...], float]:
    """Give what each set of readings found, and what one usually repeats to.

    Raises:
        AttributeError, KeyError, ValueError, ZeroDivisionError: when they are not all there.
    """
    values = [{k: v / 1e6 for k, v in one.items() if isinstance(v, int)} for one in sets]
    words = [{k: v for k, v in one.items() if isinstance(v, str)} for one in sets]
    return tuple(map(method.formula, values, words)), method.repeats_to(values[0])
