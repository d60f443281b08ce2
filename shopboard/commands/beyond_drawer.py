"""Points that the drawer cannot check at all, and tolerances that it cannot prove, as warnings."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path as FilePath

from shopboard.checks import registry
from shopboard.checks.asked import Reading
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.ranking import Rank, nearest_to_proof, rank
from shopboard.journal import JournalError, Store
from shopboard.metrology.wording import percent
from shopboard.shop.files import UnreadableFileError, decode, read_bytes
from shopboard.shop.locate import locate
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem
from shopboard.shop.report import Fault, Path
from shopboard.sittings.point_job import job_for


def beyond_the_drawer(
    shop_file: FilePath, shop: Shop, journal: Store | None
) -> tuple[Problem, ...]:
    """Give a warning at each point that cannot be checked or proven.

    Args:
        shop_file: path of the file that the shop was read from; it is read again for the places.
        shop: the shop.
        journal: where tools of the drawer were proven; None: nowhere.
    """
    found: list[Fault] = []
    for i, machine in enumerate(shop.machines):
        for j, point in enumerate(machine.points):
            found += _of_point(shop, point, ("machine", i, "point", j), journal)
    try:
        return locate(found, decode(read_bytes(shop_file)[0])) if found else ()
    except UnreadableFileError:
        return ()  # it is being written


def _of_point(shop: Shop, point: Point, path: Path, journal: Store | None) -> list[Fault]:
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
