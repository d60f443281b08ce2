"""What holds between parts of the shop file: ids, references, circles, levers and squares."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import CHANGED_BY, Cutter, Machine, Point
from shopboard.shop.model import Shop
from shopboard.shop.problems import shorten
from shopboard.shop.renames import renames_of
from shopboard.shop.report import Fault, Path, Report

_LISTED = 12
"""Names listed in a message at the most."""


def check_links(shop: Shop, report: Report) -> None:
    """Find everything that is wrong between parts that are each right."""
    _find_same_ids(shop, report)
    _find_empty(shop, report)
    _check_bodies(shop, report)
    _find_taken_words(shop, report)
    where = dict(_points_with_paths(shop))
    by_name = {point.full_name: point for point in where.values()}
    paths = {point.full_name: path for path, point in where.items()}
    for path, point in where.items():
        _check_references(point, path, by_name, report)
        _check_lever(point, path, shop, report)
        _check_proves(point, path, shop, report)
    _find_circles(by_name, paths, report)
    _check_tools(where, shop, report)
    for i, machine in enumerate(shop.machines):
        if machine.cutters:
            _check_cutters(shop, machine, ("machine", i, "cutter"), report)
    if any(machine.cutters and machine.body for machine in shop.machines) or shop.serving:
        from shopboard.shop.check_serves import check_serves

        check_serves(shop, report)
    renames = renames_of(shop)
    if shop.tools_were:
        from shopboard.shop.check_renames import check_tools

        check_tools(shop.drawer, report)
    if renames is not None:
        from shopboard.shop.check_renames import check_renames

        check_renames(shop, renames, report)


def _points_with_paths(shop: Shop) -> Iterator[tuple[Path, Point]]:
    for i, machine in enumerate(shop.machines):
        for j, point in enumerate(machine.points):
            yield ("machine", i, "point", j), point


def _find_same_ids(shop: Shop, report: Report) -> None:
    """Report ids that are used twice: of tools, of machines, of what is on one machine."""
    drawer = shop.drawer
    tools: list[tuple[Path, str]] = []
    groups = {
        "square": [tool.id for tool in drawer.squares],
        "feeler": [tool.id for tool in drawer.feelers],
        "shims": [tool.id for tool in drawer.shims],
    }
    for other in drawer.others:
        groups.setdefault(other.kind, []).append(other.id)
    for key, ids in groups.items():
        tools += [(("drawer", key, i), ident) for i, ident in enumerate(ids)]
    _report_same("tool", tools, report)
    _report_same("machine", [(("machine", i), m.id) for i, m in enumerate(shop.machines)], report)
    asked = [(("safety", i), question.id) for i, question in enumerate(shop.safety)]
    _report_same("safety question", asked, report)
    made = [(("project", i), project.id) for i, project in enumerate(shop.projects)]
    _report_same("project", made, report)
    for i, machine in enumerate(shop.machines):
        for key, ids in _ids_on(machine):
            below = [(("machine", i, key, j), ident) for j, ident in enumerate(ids)]
            sort = "safety question" if key == "safety" else key
            _report_same(f"{sort} of this machine", below, report)


def _ids_on(machine: Machine) -> Iterator[tuple[str, list[str]]]:
    yield "point", [point.id for point in machine.points]
    yield "task", [task.id for task in machine.tasks]
    yield "cutter", [cutter.id for cutter in machine.cutters]
    yield "safety", [question.id for question in machine.safety]


def _report_same(kind: str, ids: Iterable[tuple[Path, str]], report: Report) -> None:
    first: dict[str, Path] = {}
    for path, ident in ids:
        if ident and ident in first:
            what = f"another {kind} has the id {shorten(ident)}"
            report.add(Fault((*path, "id"), what, "each id once", first=(*first[ident], "id")))
        first.setdefault(ident, path)


def _find_empty(shop: Shop, report: Report) -> None:
    """Warn of a shop without points, and of machines with nothing on them."""
    if shop.machines and not any(machine.points for machine in shop.machines):
        _warn(report, ("machine", 0), "no points to check in this shop", "add [[machine.point]]")
        return
    for i, machine in enumerate(shop.machines):
        if not (machine.points or machine.tasks or machine.cutters or machine.safety):
            _warn(report, ("machine", i), "nothing on this machine yet", "add [[machine.point]]")


def _find_taken_words(shop: Shop, report: Report) -> None:
    """Warn of a machine whose id is a word of a command: there it stands for something else."""
    for i, machine in enumerate(shop.machines):
        if machine.id in TAKEN_WORDS:
            what = f'"{machine.id}" stands for {TAKEN_WORDS[machine.id]}'
            allowed = "only one of the two can be named there; take another id"
            _warn(report, ("machine", i, "id"), what, allowed)


def _check_bodies(shop: Shop, report: Report) -> None:
    """Warn of a combination machine with one mode alone."""
    bodies = [machine.body for machine in shop.machines]
    if not any(bodies):
        return
    for i, body in enumerate(bodies):
        spot: Path = ("machine", i, "body")
        if body and bodies.count(body) == 1 and not report.has_error(spot):
            others = [other for other in bodies if other and other != body]
            what = f"no other machine is a mode of {shorten(body)}"
            _warn(
                report, spot, what, "write body the same at each mode", did_you_mean(body, others)
            )


TAKEN_WORDS = {
    "all": "the whole shop in `shopboard export`",
    "shop": "the shop itself in `shopboard happened`",
}
"""Words that commands take in place of a machine's id."""


def _warn(report: Report, path: Path, what: str, allowed: str = "", hint: str = "") -> None:
    report.add(Fault(path, what, allowed, hint, severity="warning"))


def _check_references(point: Point, path: Path, by_name: dict[str, Point], report: Report) -> None:
    """Report what a point rests on that is not there, is the point itself, or is there twice."""
    for index, name in enumerate(point.rests_on):
        spot = (*path, "rests_on", index)
        if name.endswith(".") or report.has_error(spot):
            continue  # refused already
        if name == point.full_name:
            report.add(Fault(spot, f"{shorten(point.name)} rests on itself", "name another point"))
        elif name not in by_name:
            _report_no_such_point(name, point, spot, by_name, report)
        elif name in point.rests_on[:index]:
            _warn(report, spot, "this point is there twice")


def _report_no_such_point(
    name: str, point: Point, spot: Path, by_name: dict[str, Point], report: Report
) -> None:
    """Report a reference to nothing, with the points that could be meant."""
    machine = name.partition(".")[0]
    here = [known for known in by_name if known.startswith(f"{machine}.")]
    listed = here or [known for known in by_name if known != point.full_name]
    more = " ..." if len(listed) > _LISTED else ""
    what = f"there is no point {shorten(name, 81)}"
    now = next((one.full_name for one in by_name.values() if name in _old_names(one)), "")
    if now:
        report.add(Fault(spot, what, hint=f"it is {now} now"))
        return
    allowed = f"points: {', '.join(listed[:_LISTED])}{more}" if listed else ""
    report.add(Fault(spot, what, allowed, did_you_mean(name, by_name)))


def _old_names(point: Point) -> list[str]:
    return [old if "." in old else f"{point.machine}.{old}" for old in point.was]


def _find_circles(by_name: dict[str, Point], paths: dict[str, Path], report: Report) -> None:
    """Report each circle of points that rest on each other, at the reference that closes it."""
    done: set[str] = set()
    seen: set[frozenset[str]] = set()
    for start in by_name:
        if start in done:
            continue
        chain = [start]
        places = {start: 0}
        waiting = [iter(enumerate(by_name[start].rests_on))]
        while waiting:
            step = next(waiting[-1], None)
            if step is None:
                waiting.pop()
                left = chain.pop()
                del places[left]
                done.add(left)
                continue
            index, name = step
            if name in places and name != chain[-1]:
                circle = chain[places[name] :]
                if frozenset(circle) not in seen:
                    seen.add(frozenset(circle))
                    spot = (*paths[chain[-1]], "rests_on", index)
                    report.add(Fault(spot, _in_words(circle), "a circle: leave one of them out"))
            elif name in by_name and name not in done and name not in places:
                places[name] = len(chain)
                chain.append(name)
                waiting.append(iter(enumerate(by_name[name].rests_on)))


def _in_words(circle: list[str]) -> str:
    """Tell a circle as a chain that comes back to where it began."""
    first, *others = circle
    return f"{first} rests on {', which rests on '.join([*others, first])}"


def _check_lever(point: Point, path: Path, shop: Shop, report: Report) -> None:
    """Warn of a lever that no square of the drawer reaches."""
    squares = shop.drawer.squares
    spot = (*path, "lever")
    if squares and not report.has_error(spot):
        longest = max(square.length for square in squares)
        if "square" in point.checks and point.geometry.lever > longest + 1e-6:
            _warn(report, spot, "longer than the blade of every square in the drawer")


def _check_proves(point: Point, path: Path, shop: Shop, report: Report) -> None:
    """Report a point that proves no tool of the drawer, or one of another sort than its checks."""
    drawer, spot = shop.drawer, (*path, "proves")
    sorts = {square.id: "square" for square in drawer.squares}
    sorts |= {one.id: one.kind for one in drawer.others if one.kind == "straightedge"}
    known = {name: report.facts[name].proves for name in point.checks if name in report.facts}
    if not point.proves:
        if any(known.values()):
            what = "this check proves a tool, and the point names none"
            _warn(report, (*path, "check"), what, "add proves, with the id of the tool")
        return
    if point.proves not in sorts:
        listed = f"tools: {', '.join(sorts)}" if sorts else "there is none in the drawer"
        what = f"there is no square or straightedge {shorten(point.proves)} in the drawer"
        report.add(Fault(spot, what, listed, did_you_mean(point.proves, sorts)))
        return
    for name, sort in known.items():
        if sort != sorts[point.proves]:
            what = f"{shorten(point.proves)} is a {sorts[point.proves]}; {name} proves "
            report.add(Fault(spot, what + (f"a {sort}" if sort else "none")))


def _check_tools(where: dict[Path, Point], shop: Shop, report: Report) -> None:
    """Warn once when points are checked with tools that the drawer does not hold."""
    first = next((path for path, point in where.items() if "square" in point.checks), None)
    if first is None or report.has_errors:
        return  # a tool that could not be read is not missing
    for tools, what, header in (
        (shop.drawer.squares, "no square in the drawer", "[[drawer.square]]"),
        (shop.drawer.feelers, "no feeler leaves in the drawer", "[[drawer.feeler]]"),
    ):
        if not tools:
            _warn(report, (*first, "check"), what, f"add {header}")


def _check_cutters(shop: Shop, machine: Machine, path: Path, report: Report) -> None:
    """Report two cutters at one place, spares for nothing, and kinds that undo no check."""
    here = {cutter.id: cutter for cutter in machine.cutters}
    mounted: dict[str, str] = {}
    undoes = _undone_by(shop, machine)
    heard = [kind for kind, what in CHANGED_BY.items() if what in undoes]
    for index, cutter in enumerate(machine.cutters):
        spot = (*path, index)
        if report.has_error((*spot, "kind")) or report.has_error((*spot, "where")):
            continue
        if cutter.where == "on the machine":
            if cutter.kind in mounted:
                what = f"{shorten(mounted[cutter.kind])} of the same kind is on the machine, too"
                report.add(Fault((*spot, "where"), what, "one of a kind at a time"))
            mounted.setdefault(cutter.kind, cutter.name)
        if cutter.spare_for and not report.has_error((*spot, "spare_for")):
            _check_spare(cutter, here, (*spot, "spare_for"), report)
        changed = CHANGED_BY.get(cutter.kind, "")
        if changed and heard and changed not in undoes:
            what = f'putting on a {cutter.kind} is "{changed}", which undoes no check here'
            _warn(report, spot, what, hint=f'did you mean kind = "{heard[0]}"?')


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
