"""Results of one point, newest first, also of one that the shop file no longer has."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.commands.output import out, out_json
from shopboard.commands.shared import open_desk, point_named, short_uid
from shopboard.metrology.kind import in_units, with_expanded
from shopboard.record import CheckRecord

_MOST = 1_000_000
"""More results than a lifetime of checks at one point."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("point", metavar="MACHINE.POINT")
    parser.add_argument("--limit", type=int, default=200, metavar="N", help="at most so many")
    parser.add_argument("--json", action="store_true", help="JSON")


def run(options: argparse.Namespace) -> int:
    """Print one result a line."""
    with closing(open_desk(options)) as desk:
        unit = desk.shop.unit
        records = desk.history(options.point, min(max(options.limit, 1), _MOST))
        if not records:
            point_named(desk.shop, options.point)  # a point of the past has results, or is none
    if options.json:
        out_json([_json(record) for record in records])
        return 0
    widest = max((len(record.method) for record in records), default=0)
    for record in records:
        local = f"{record.when.astimezone():%Y-%m-%d %H:%M}"
        error = with_expanded(record.error, record.expanded, record.kind, unit, (15, 0))
        void = f"  VOID: {record.void}" if record.void is not None else ""
        how = f"{record.run:<8} {record.method:<{widest}}"
        line = f"{short_uid(record.uid):<11}  {local}  {how} {error}  {record.verdict:<5}"
        out(f"{line} {record.lean}{void}")
    return 0


def _json(record: CheckRecord) -> dict[str, object]:
    return {
        "uid": record.uid,
        "when": record.when.isoformat(),
        "run": record.run,
        "method": record.method,
        "error": in_units(record.error, record.kind),
        "expanded": in_units(record.expanded, record.kind),
        "tolerance": record.tolerance,
        "verdict": record.verdict,
        "lean": record.lean,
        "note": record.note,
        "void": record.void,
        "readings": dict(record.readings),
    }
