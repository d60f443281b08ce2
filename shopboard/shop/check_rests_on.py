"""What a point rests on: points that are there, each once, and in no circle."""

from __future__ import annotations

from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import Point
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault, Path, Report

_LISTED = 12
"""Names listed in a message at the most."""


def check_references(point: Point, path: Path, by_name: dict[str, Point], report: Report) -> None:
    """Report what a point rests on that is not there, is the point itself, or is there twice."""
    for index, name in enumerate(point.rests_on):
        spot = (*path, "rests_on", index)
        if name.endswith(".") or report.has_error(spot):
            continue  # refused already
        if name == point.full_name:
            report.add(
                Fault(spot, f"{shorten(point.name)} depends on itself", "name another point")
            )
        elif name not in by_name:
            _report_no_such_point(name, point, spot, by_name, report)
        elif name in point.rests_on[:index]:
            report.add(Fault(spot, "this point is there twice", severity="warning"))


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


def find_circles(by_name: dict[str, Point], paths: dict[str, Path], report: Report) -> None:
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
    return f"{first} depends on {', which depends on '.join([*others, first])}"
