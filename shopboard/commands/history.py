"""Results of one point, newest first, and how it wanders.

A point that the shop file no longer has has results, but no tolerance that a wander counts by.
"""

from __future__ import annotations

import argparse
from contextlib import closing
from typing import TYPE_CHECKING

from shopboard.base.state_words import state_word
from shopboard.base.text import plain_signs
from shopboard.base.who import by_words
from shopboard.commands.errors import UsageError
from shopboard.commands.history_plot import print_plot
from shopboard.commands.output import moment_json, out, out_json, say
from shopboard.commands.shared import point_named, shop_opened, short_uid
from shopboard.metrology.kind import in_units, with_expanded
from shopboard.reports.plot_scene import SPANS
from shopboard.results.record import CheckRecord
from shopboard.shop.problems import shorten

if TYPE_CHECKING:
    from shopboard.metrology.kind import Kind
    from shopboard.metrology.quantity import Unit
    from shopboard.wander.outlook import Outlook

_MOST = 1_000_000
"""More results than a lifetime of checks at one point."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("point", metavar="MACHINE.POINT")
    parser.add_argument("--limit", default="200", metavar="N", help="at most so many")
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.add_argument("--plot", action="store_true", help="a picture through the years")
    parser.add_argument("--span", choices=SPANS, default=SPANS[0], help="time of the picture")
    parser.add_argument("--ascii", action="store_true", help="draw the picture with ASCII alone")
    parser.epilog = (
        "How fast a point creeps or drifts, by days or by hours run, is worked out from the"
        " changes between one result and the next, never across a setting. As soon as either"
        " shows, a result that proves the point true is due when it may be out by then (5 %,"
        " unless risk in the shop file says otherwise), never later than its every."
    )


def run(options: argparse.Namespace) -> int:
    """Print one result a line; how the point wanders is said on stderr."""
    name, words, seen = options.point, list[str](), None
    most = _most(options.limit)
    with closing(shop_opened(options)) as open_shop:
        if options.plot:
            return print_plot(open_shop, options.point, options.span, plain=options.ascii)
        unit = open_shop.shop.unit
        records = open_shop.history(name, most)
        if not records:
            point_named(open_shop.shop, name)  # a point of the past has results, or is none
        point = open_shop.shop.points.get(name)
        if point is not None:
            seen, words = open_shop.outlook(name), open_shop.wander_words(name)
    if options.json:
        told = _wander_json(seen, point.tolerance.kind) if seen and point and words else None
        results = [_json(record) for record in records]
        out_json({"point": name, "results": results, "wander": told})
        return 0
    widest = max((len(record.method) for record in records), default=0)
    out(*(_line(record, unit, widest) for record in records))
    say(*(words if records else ("No result yet.",)))
    if seen is not None and point is not None and seen.usual is not None:
        from shopboard.wander.outlook import usual_words

        say(usual_words(seen, point, unit))
    return 0


def _line(record: CheckRecord, unit: Unit, widest: int) -> str:
    """Write a result; the methods' names take as many columns as the widest."""
    local = f"{record.when.astimezone():%Y-%m-%d %H:%M}{' ' if record.clock_ok else '?'}"
    found, size = (record.error, record.expanded, record.kind), record.spread.size
    error = with_expanded(*found, unit, (15, 0), size=size)
    void = f"  WITHDRAWN: {record.void}" if record.void is not None else ""
    by = f"  {by_words(record.by)}" if record.by else ""
    note = f"  NOTE: {record.remark}" if record.remark else ""
    how = f"{record.run:<8} {record.method:<{widest}}"
    line = f"{short_uid(record.uid):<11}  {local} {how} {error}  {state_word(record.verdict):<5}"
    return f"{line} {record.lean}{by}{note}{void}"


def _most(text: str) -> int:
    """Read how many results are wanted at the most.

    Raises:
        UsageError: when it is no count from 1 up.
    """
    said = plain_signs(text).strip()
    if not (said.isascii() and said.isdigit() and int(said[:9]) > 0):
        raise UsageError(f"--limit {shorten(text)}: a count of results, 1 or more")
    return min(int(said[:9]), _MOST)


def _json(record: CheckRecord) -> dict[str, object]:
    return {
        "uid": record.uid,
        "when": moment_json(record.when),
        "clock_ok": record.clock_ok,
        "by": record.by or None,
        "run": record.run,
        "method": record.method,
        "error": in_units(record.error, record.kind),
        "expanded": in_units(record.expanded, record.kind),
        "tolerance": record.tolerance,
        "verdict": record.verdict,
        "lean": record.lean,
        "note": record.note,
        "remark": record.remark or None,
        "void": record.void,
        "readings": dict(record.readings),
    }


_PER = {"days": ("day", 1.0), "minutes": ("hour", 60.0)}
"""What a rate is told per, by the clock that the wander goes by, and how much of it that is."""


def _wander_json(seen: Outlook, kind: Kind) -> dict[str, object]:
    wander, due, usual = seen.wander, seen.due, seen.usual
    told: dict[str, object] = {
        "checks": len(seen.found),
        "clock": None,
        "due": None if due is None else {"days": due.days, "minutes": due.minutes},
        "by_wander": due is not None and due.by_wander,
        "usual": None if usual is None else [in_units(usual.low, kind), in_units(usual.high, kind)],
    }
    if wander is None:
        return told
    per, times = _PER[wander.clock]
    rates = {"rate": wander.rate, "low": wander.low, "high": wander.high}
    return told | {
        "clock": "days" if wander.clock == "days" else "running",
        "shows": wander.shows,
        "per": per,
        **{name: in_units(rate * times, kind) for name, rate in rates.items()},
        "changes_used": wander.changes,
        "few": wander.few,
        "steps": [
            {
                "found": seen.found[step.number].record.uid,
                "excess": in_units(step.excess, kind),
                "cause": step.cause,
                "perhaps": step.beside,
            }
            for step in wander.steps
        ],
    }
