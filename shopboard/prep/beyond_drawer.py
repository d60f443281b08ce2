"""Points that the drawer cannot check at all, and tolerances that it cannot prove, as warnings."""

from __future__ import annotations

from collections.abc import Iterator

from shopboard.checks import registry
from shopboard.checks.asked import Reading
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.ranking import Rank, nearest_to_proof, rank
from shopboard.journal import JournalError, Store
from shopboard.metrology.wording import percent
from shopboard.shop.locate import locate
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem
from shopboard.shop.report import Fault, Path
from shopboard.sittings.point_job import job_for


def beyond_the_drawer(shop: Shop, text: str, journal: Store | None) -> tuple[Problem, ...]:
    """Give a warning at each point that cannot be checked or proven.

    Args:
        shop: the shop.
        text: what it was read from, for the places.
        journal: where tools of the drawer were proven; None: nowhere.
    """
    found = [fault for one in shop.points.values() for fault in faults_of(shop, one, journal)]
    return locate(found, text) if found else ()


def newly_beyond(
    before: Shop, after: Shop, text: str, journal: Store | None
) -> Iterator[tuple[Problem, ...]]:
    """Give, point by point, what a change of the shop file puts beyond the drawer.

    Args:
        before: the shop.
        after: the shop as it would be.
        text: what that was read from.
        journal: where tools of the drawer were proven.
    """
    for name, point in after.points.items():
        was = before.points.get(name)
        if was is not None and job_for(before, was, None) == job_for(after, point, None):
            continue
        told = {one.what for one in faults_of(before, was, journal)} if was is not None else set()
        new = [one for one in faults_of(after, point, journal) if one.what not in told]
        yield locate(new, text) if new else ()


def faults_of(shop: Shop, point: Point, journal: Store | None) -> list[Fault]:
    """Say of a point what the drawer cannot do."""
    i = next(at for at, one in enumerate(shop.machines) if one.id == point.machine)
    path: Path = ("machine", i, "point", shop.machines[i].points.index(point))
    try:
        job = job_for(shop, point, journal)
    except JournalError:
        job = job_for(shop, point, None)
    ranks = rank(job, point.checks)
    checks: Path = (*path, "check")
    cannot = [*_sizes_of_no_use(job, point, path)]
    cannot += [
        Fault(
            (*checks, point.checks.index(one.method)) if len(ranks) > 1 else checks,
            f"{point.full_name} cannot be checked by {one.method}: {one.help}",
            severity="warning",
        )
        for one in ranks
        if one.best is None
    ]
    if all(one.best is None for one in ranks) or any(one.proves for one in ranks):
        return cannot
    return [*cannot, _not_proven(point, path, nearest_to_proof(ranks))]


def _sizes_of_no_use(job: CheckContext, point: Point, path: Path) -> Iterator[Fault]:
    """Name sizes that no check of the point goes by."""
    takes: dict[str, None] = {}
    for method in map(registry.method, point.checks):
        takes |= dict.fromkeys(method.takes_sizes)
        if isinstance(method, DeclaredCheck):
            takes |= {one.size: None for one in method.asked(job) if isinstance(one, Reading)}
    allowed = ", ".join(filter(None, takes))
    by = " and ".join(point.checks)
    for size in point.sizes:
        if size not in takes:
            what = f"the size {size} is not used here: {by} takes {allowed or 'none'}"
            yield Fault((*path, "sizes", size), what, severity="warning", at_key=True)


def _not_proven(point: Point, path: Path, nearest: Rank) -> Fault:
    sure = percent(nearest.probability)
    what = f"your tools cannot prove {point.full_name} true that closely ({sure} certain at most)"
    return Fault((*path, "tolerance"), what, f"it takes {nearest.help}", severity="warning")
