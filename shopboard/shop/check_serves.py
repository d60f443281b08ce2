"""What `serves` of a cutter may not say: a machine of another body, a second set in its place."""

from __future__ import annotations

from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import Cutter, Machine
from shopboard.shop.model import Shop
from shopboard.shop.one_body import changed_by, served
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault, Path, Report


def check_serves(shop: Shop, report: Report) -> None:
    """Report every `serves` that cannot be, and warn of one that was probably forgotten."""
    for i, machine in enumerate(shop.machines):
        first: dict[str, Cutter] = {}
        for j, cutter in enumerate(machine.cutters):
            spot: Path = ("machine", i, "cutter", j, "serves")
            if cutter.serves and not report.has_error(spot):
                _check_names(shop, machine, cutter, spot, report)
                other = first.setdefault(cutter.kind, cutter)
                if {*other.serves} - {machine.id} != {*cutter.serves} - {machine.id}:
                    what = f"{shorten(other.name)}, of the same kind, serves others"
                    report.add(Fault(spot, what, "the same at both: they go in one place"))
        paths = (("machine", i, "cutter", j, "serves") for j, _ in enumerate(machine.cutters))
        if machine.body and not any(map(report.has_error, paths)):
            _forgotten(shop, machine, ("machine", i, "cutter"), report)


def _check_names(shop: Shop, machine: Machine, cutter: Cutter, spot: Path, report: Report) -> None:
    modes = [one.id for one in shop.machines if machine.body and one.body == machine.body]
    others = [ident for ident in modes if ident != machine.id]
    listed = f"its other modes: {', '.join(others)}" if others else "leave serves out"
    for name in cutter.serves:
        if not name or name in modes:
            continue
        if name not in shop.machines_by_id:
            hint = did_you_mean(name, others)
            report.add(Fault(spot, f"there is no machine {shorten(name)}", listed, hint))
        elif not machine.body:
            what = f"{shorten(machine.name)} is not a mode of a combination machine"
            report.add(Fault(spot, what, "body says so, the same at each of its modes"))
        else:
            what = f"{shorten(name)} is not a mode of {shorten(machine.body)}"
            report.add(Fault(spot, what, listed))
    _check_place(shop, machine, cutter, spot, report)


def _check_place(shop: Shop, machine: Machine, cutter: Cutter, spot: Path, report: Report) -> None:
    """Report a mode with a cutter of its own where one is said to serve it."""
    for name in served(machine, cutter.kind):
        there = shop.machines_by_id.get(name)
        own = [one for one in there.cutters if one.kind == cutter.kind] if there else []
        if there is not None and own and name in cutter.serves:
            what = f"{shorten(there.name)} has {shorten(own[0].name)}, which goes in the same place"
            allowed = f"write it under {shorten(machine.name)}, too"
            report.add(Fault(spot, what, allowed))


def _forgotten(shop: Shop, machine: Machine, path: Path, report: Report) -> None:
    """Warn of a mode that a change of cutter undoes, and that has no cutter of its own for it."""
    for other in shop.machines:
        if other.body != machine.body or other is machine:
            continue
        heard = {what for point in other.points for what in point.undone_by}
        known = {what for one in shop.cutters_at(other.id) for what in changed_by(one.sort)}
        for j, cutter in enumerate(machine.cutters):
            missing = [what for what in changed_by(cutter.sort) if what in heard - known]
            if missing:
                what = f'"{missing[0]}" undoes a point of {shorten(other.name)}, where none is'
                hint = f'if this one cuts there, too: serves = ["{other.id}"]'
                spot = (*path, j, "name")
                report.add(Fault(spot, what, hint=hint, severity="warning"))
                break
