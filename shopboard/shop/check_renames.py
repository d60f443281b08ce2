"""What `was` may not say: an id that is still in use, one that two claim, its own."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.metrology.instruments import Drawer, FeelerSet, OtherTool, Square
from shopboard.shop.machine import Cutter, Point, Task
from shopboard.shop.model import Shop
from shopboard.shop.problems import shorten
from shopboard.shop.project import Joint, Project
from shopboard.shop.renames import MachineAndPoint, Renames, old_place
from shopboard.shop.report import Fault, Path, Report

_OLD = "was is for a name that it had before"


def check_renames(shop: Shop, renames: Renames, report: Report) -> None:
    """Report every `was` that cannot be."""
    _check_machines(shop, report)
    first: dict[MachineAndPoint, tuple[Path, Point]] = {}
    for i, machine in enumerate(shop.machines):
        for j, point in enumerate(machine.points):
            for k, old in enumerate(point.was):
                spot: Path = ("machine", i, "point", j, "was", k)
                if old and not report.has_error(spot):
                    _check_point(point, old, spot, shop, renames, first, report)
        _check_parts(("machine", i, "task"), machine.tasks, report)
        _check_parts(("machine", i, "cutter"), machine.cutters, report)
    _check_parts(("project",), shop.projects, report)
    for i, project in enumerate(shop.projects):
        _check_parts(("project", i, "joint"), project.joints, report)


def check_tools(drawer: Drawer, report: Report) -> None:
    """Report every `was` of a tool that cannot be."""
    _check_parts(("drawer", "square"), drawer.squares, report)
    _check_parts(("drawer", "feeler"), drawer.feelers, report)
    for kind in ("straightedge", "indicator", "calliper", "tape"):
        _check_parts(("drawer", kind), [o for o in drawer.others if o.kind == kind], report)


def _check_machines(shop: Shop, report: Report) -> None:
    first: dict[str, tuple[Path, str]] = {}
    for i, machine in enumerate(shop.machines):
        for k, old in enumerate(machine.was):
            spot: Path = ("machine", i, "was", k)
            if not old or report.has_error(spot):
                continue
            if old == machine.id:
                what = f"{shorten(old)} is its id now"
                report.add(Fault(spot, what, f"{_OLD}; leave it out"))
            elif old in shop.machines_by_id:
                what = f"{shorten(old)} is still in use: {shop.machines_by_id[old].name}"
                report.add(Fault(spot, what, f"{_OLD} and nothing has now"))
            elif old in first:
                _report_second(old, *first[old], machine.id, spot, report)
            first.setdefault(old, (spot, machine.id))


def _check_parts(
    path: Path,
    parts: Sequence[Task | Cutter | Square | FeelerSet | OtherTool | Project | Joint],
    report: Report,
) -> None:
    """Report what parts of one machine or project, or tools of one sort, cannot have been."""
    names = {one.id: one.name for one in parts}
    first: dict[str, tuple[Path, str]] = {}
    for j, one in enumerate(parts):
        for k, old in enumerate(one.was):
            spot: Path = (*path, j, "was", k)
            if not old or report.has_error(spot):
                continue
            if old == one.id:
                what = f"{shorten(old)} is its id now"
                report.add(Fault(spot, what, f"{_OLD}; leave it out"))
            elif old in names:
                what = f"{shorten(old)} is still in use: {names[old]}"
                report.add(Fault(spot, what, f"{_OLD} and nothing has now"))
            elif old in first:
                _report_second(old, *first[old], one.id, spot, report)
            first.setdefault(old, (spot, one.id))


def _check_point(
    point: Point,
    old: str,
    spot: Path,
    shop: Shop,
    renames: Renames,
    first: dict[MachineAndPoint, tuple[Path, Point]],
    report: Report,
) -> None:
    place = old_place(point, old, renames.machines)
    now = ".".join(place)
    if old in (point.id, point.full_name):
        what = f"{shorten(old, 81)} is its name now"
        report.add(Fault(spot, what, f"{_OLD}; leave it out"))
    elif now == point.full_name:
        what = f"{shorten(old, 81)} is not needed here: the machine's own was covers it"
        report.add(Fault(spot, what, "leave it out", severity="warning"))
    elif now in shop.points:
        called = f", which is {now} now," if old not in (now, place[1]) else ""
        what = f"{shorten(old, 81)}{called} is still in use: {shop.points[now].name}"
        report.add(Fault(spot, what, f"{_OLD} and nothing has now"))
    elif place in first:
        before, other = first[place]
        _report_second(now, before, other.full_name, point.full_name, spot, report)
    first.setdefault(place, (spot, point))


def _report_second(
    old: str, before: Path, first: str, second: str, spot: Path, report: Report
) -> None:
    """Report an old name that was given before."""
    if first == second:
        report.add(Fault(spot, f"{shorten(old, 81)} is there twice", severity="warning"))
        return
    what = f"{shorten(old, 81)} cannot be two things now: {first} has its records already"
    report.add(Fault(spot, what, "one of them", first=before))
