"""Results of one point, newest first; voided ones stay and say why."""

from __future__ import annotations

import argparse

from shopboard.commands.output import out, out_json
from shopboard.commands.shared import open_desk, point_named
from shopboard.metrology.angle import mm_per_m, thou_per_ft
from shopboard.metrology.wording import slope
from shopboard.record import CheckRecord


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("point", metavar="MACHINE.POINT")
    parser.add_argument("--limit", type=int, default=200, metavar="N", help="at most so many")
    parser.add_argument("--json", action="store_true", help="JSON")


def run(options: argparse.Namespace) -> int:
    """Print one result a line."""
    desk = open_desk(options)
    records = desk.history(point_named(desk.shop, options.point), max(options.limit, 1))
    unit = desk.shop.unit
    desk.close()
    if options.json:
        out_json([_json(record) for record in records])
        return 0
    for record in records:
        local = f"{record.when.astimezone():%Y-%m-%d %H:%M}"
        error = f"{slope(record.error, unit, signed=True):>15} ± {slope(record.expanded, unit)}"
        void = f"  VOID: {record.void}" if record.void is not None else ""
        line = f"{record.uid[:12]}  {local}  {record.run:<8} {error}  {record.verdict:<5}"
        out(f"{line} {record.lean}{void}")
    return 0


def _json(record: CheckRecord) -> dict[str, object]:
    return {
        "uid": record.uid,
        "when": record.when.isoformat(),
        "run": record.run,
        "method": record.method,
        "error_thou_per_ft": thou_per_ft(record.error),
        "error_mm_per_m": mm_per_m(record.error),
        "expanded_thou_per_ft": thou_per_ft(record.expanded),
        "tolerance": record.tolerance,
        "verdict": record.verdict,
        "lean": record.lean,
        "note": record.note,
        "void": record.void,
        "readings": dict(record.readings),
    }
