"""How a check is begun, and gone on with where one was left half-way."""

from __future__ import annotations

from datetime import datetime

from shopboard.checks import registry
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.need import Need, need_kept, need_read
from shopboard.checks.possible import need_the_tools
from shopboard.checks.study import can_study, studied
from shopboard.checks.walk import Method
from shopboard.journal import Entry, Store, new_uid
from shopboard.journal.kinds import ANSWER, BEGIN, CheckBegun
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.check_sitting import TAKEN_BACK, CheckSitting
from shopboard.sittings.point_job import fingerprint, job_for, same_job
from shopboard.sittings.waiting import has_void_result, waits_after
from shopboard.upkeep.standing_tags import standing_tags
from shopboard.upkeep.tags import TAG_STEP, standing_tag, tag_caution


def start(
    journal: Store,
    shop: Shop,
    point: Point,
    method_name: str = "",
    *,
    study: bool = False,
    need: Need | None = None,
    from_file: bool = False,
    uid: str = "",
    closes: tuple[CheckSitting, str] | None = None,
) -> CheckSitting:
    """Begin a check of a point by its first or a named method.

    Args:
        journal: the journal.
        shop: the shop.
        point: the point.
        method_name: one of the point's methods; empty: the first.
        study: read it ten times, to learn what the hand repeats to.
        need: what the work that it is checked for asks of it.
        from_file: its answers come from a file: how long it takes says nothing.
        uid: name of its first entry; empty: a new one.
        closes: a check that waits and is closed for this one, and why.

    Raises:
        NotPossibleError: when the shop lacks what the check needs, or no hand's repeating shows in
            such a check; nothing is recorded.
        JournalError: when it cannot be recorded.
    """
    name = method_name or point.checks[0]
    job, method = job_for(shop, point, journal, need=need), registry.method(name)
    if method.kind != job.tolerance.kind:
        raise NotPossibleError(
            f"{method.title} measures {method.kind}, the tolerance is of {job.tolerance.kind}:"
            " see `shopboard proofread`"
        )
    if study and not can_study(method, job):
        raise NotPossibleError(
            f"{method.title} says nothing about how well your hand repeats: take a point read"
            " with leaves, an indicator or a rule, and for which nothing is cut"
        )
    need_the_tools(method, job)
    if closes is not None:
        closes[0].discard(closes[1])
    sitting = _sitting(journal, shop, point, job, studied(method) if study else method, uid)
    told = need_kept(need, method.kind) if need else None
    begun = CheckBegun(name, fingerprint(job), point.name, study, told, from_file)
    sitting.begin(begun)
    _show_tag(sitting, None, journal)
    return sitting


def resume(
    journal: Store, shop: Shop, point: Point, begun: Entry, now: datetime
) -> CheckSitting | None:
    """Go on with an unfinished check; close it and give None when it no longer holds.

    It no longer holds when it is too old, when the shop file changed what it is about, or when a
    result of it was withdrawn: what is to be turned followed from that.

    Raises:
        NotPossibleError: when the shop lacks what the check needs.
        JournalError: when it cannot be recorded.
    """
    told = BEGIN.read(begun)
    if told.method not in registry.names():
        return None
    method = registry.method(told.method)
    need = need_read(told.need, method.kind)
    job = job_for(shop, point, journal, begun.seq, need)
    way = studied(method) if told.study else method
    sitting = _sitting(journal, shop, point, job, way, begun.uid)
    thread = journal.thread(begun.uid)
    sitting.take_up(begun, thread)
    newest = max(one.seq for one in (begun, *thread))
    why = ""
    if not same_job(told.job, job):
        why = "the shop file has changed since"
    elif has_void_result(thread):
        why = TAKEN_BACK
    elif newest <= waits_after(journal, now):
        why = "too old to go on with"
    if why:
        sitting.discard(why)
        return None
    sitting.replay(thread)
    read = [one for one in thread if ANSWER.read(one).key == TAG_STEP]
    _show_tag(sitting, read[-1] if read else None, journal)
    sitting.goes_on(now, [one.id for one in shop.modes_beside(point.machine)], newest)
    return sitting


def _sitting(
    journal: Store, shop: Shop, point: Point, job: CheckContext, way: Method, uid: str
) -> CheckSitting:
    reaches = shop.reached.get(point.machine)
    return CheckSitting(journal, job, point, way, uid or new_uid(), shop.accepted_risk, reaches)


def _show_tag(sitting: CheckSitting, newest: Entry | None, journal: Store) -> None:
    """Begin with the words of the machine's tag, unless they were read after it went up."""
    why = standing_tag(sitting.machine, journal)
    tags = standing_tags(sitting.machine, journal) if why else []
    went_up = tags[0].seq if tags else None  # None: it may be lost
    if why and (newest is None or went_up is None or newest.seq < went_up):
        sitting.ask_ahead(tag_caution(why))
