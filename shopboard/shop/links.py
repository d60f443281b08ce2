"""What holds between parts of the shop file: ids, references, circles, levers and squares."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopboard.shop.check_cutters import check_cutters
from shopboard.shop.check_rests_on import check_references, find_circles
from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import Machine, Point
from shopboard.shop.model import Shop
from shopboard.shop.problems import shorten
from shopboard.shop.renames import renames_of
from shopboard.shop.report import Fault, Path, Report


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
        check_references(point, path, by_name, report)
        _check_lever(point, path, shop, report)
        _check_proves(point, path, shop, report)
    find_circles(by_name, paths, report)
    _check_tools(where, shop, report)
    for i, machine in enumerate(shop.machines):
        if machine.cutters:
            check_cutters(shop, machine, ("machine", i, "cutter"), report)
    if any(map(_says_order, shop.machines)):
        from shopboard.shop.check_order import check_order

        check_order(shop.machines, report)
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


def _says_order(machine: Machine) -> bool:
    """Tell whether anything on a machine says what comes after it."""
    return any(one.before for one in machine.tasks) or any(one.before for one in machine.cutters)


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
    _report_same("gauge", [(("gauge", i), one.id) for i, one in enumerate(shop.gauges)], report)
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


def _check_lever(point: Point, path: Path, shop: Shop, report: Report) -> None:
    """Warn of a lever that no square of the drawer reaches."""
    squares = shop.drawer.squares
    spot = (*path, "lever")
    lengths = (("drawer", "square", at, "length") for at, _ in enumerate(squares))
    if squares and not any(map(report.has_error, (spot, *lengths))):
        longest = max(square.length for square in squares)
        if "square" in point.checks and point.geometry.lever > longest + 1e-6:
            _warn(report, spot, "longer than the blade of every square you have")


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
        listed = f"tools: {', '.join(sorts)}" if sorts else "you have none"
        what = f"there is no square or straightedge {shorten(point.proves)} among your tools"
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
        (shop.drawer.squares, "no square among your tools", "[[drawer.square]]"),
        (shop.drawer.feelers, "no feeler leaves among your tools", "[[drawer.feeler]]"),
    ):
        if not tools:
            _warn(report, (*first, "check"), what, f"add {header}")
