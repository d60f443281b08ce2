"""Cutters of a machine among themselves: one of a kind on it, spares that can be spares."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import CHANGED_BY, Cutter, Machine
from shopboard.shop.model import Shop
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault, Path, Report

_LISTED = 12
"""Names listed in a message at the most."""


def check_cutters(shop: Shop, machine: Machine, path: Path, report: Report) -> None:
    """Report two cutters at one place, spares for nothing, and kinds that undo no check."""
    here = {cutter.id: cutter for cutter in machine.cutters}
    mounted: dict[str, str] = {}
    alike: dict[str, Cutter] = {}
    undoes = _undone_by(shop, machine)
    heard = [kind for kind, what in CHANGED_BY.items() if what in undoes]
    for index, cutter in enumerate(machine.cutters):
        spot = (*path, index)
        if report.has_error((*spot, "kind")) or report.has_error((*spot, "where")):
            continue
        other = alike.setdefault(cutter.kind, cutter)
        if other.sort != cutter.sort:
            what = f"{shorten(other.name)}, of the same kind, is changed like a {other.sort}"
            report.add(Fault((*spot, "like"), what, "the same at both, or another kind"))
        if cutter.where == "on the machine":
            if cutter.place in mounted:
                what = f"{shorten(mounted[cutter.place])} of the same kind is on the machine, too"
                report.add(Fault((*spot, "where"), what, "one of a kind at a time"))
            mounted.setdefault(cutter.place, cutter.name)
        if cutter.spare_for and not report.has_error((*spot, "spare_for")):
            _check_spare(cutter, here, (*spot, "spare_for"), report)
        changed = CHANGED_BY.get(cutter.sort, "")
        if changed and heard and changed not in undoes:
            what = f'putting on a {cutter.kind} is "{changed}", which undoes no check here'
            hint = f'did you mean kind = "{heard[0]}"?'
            report.add(Fault(spot, what, hint=hint, severity="warning"))


def _undone_by(shop: Shop, machine: Machine) -> set[str]:
    """Give what undoes a check of a machine, or of a mode that its cutters serve."""
    served = {name for cutter in machine.cutters for name in cutter.serves}
    modes = (machine, *(one for one in shop.machines if one.id in served))
    return {what for one in modes for point in one.points for what in point.undone_by}


def _check_spare(cutter: Cutter, here: Mapping[str, Cutter], spot: Path, report: Report) -> None:
    """Report a spare for itself, for nothing, or for another kind."""
    others = [ident for ident in here if ident != cutter.id]
    name = cutter.spare_for
    if name == cutter.id:
        report.add(Fault(spot, "a cutter is no spare for itself", "name another cutter"))
    elif name not in here:
        what = f"there is no cutter {shorten(name)} on this machine"
        listed = f"cutters: {', '.join(others[:_LISTED])}" if others else ""
        report.add(Fault(spot, what, listed, did_you_mean(name, others)))
    elif here[name].kind != cutter.kind:
        what = f"{shorten(name)} is a {here[name].kind}, this is a {cutter.kind}"
        report.add(Fault(spot, what, "a spare is of the same kind"))
