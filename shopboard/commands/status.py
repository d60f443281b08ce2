"""How every machine stands, plain or as JSON; the exit code can tell whether all is true."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import datetime

from shopboard import exit_codes
from shopboard.commands.output import out, out_json
from shopboard.commands.shared import open_desk
from shopboard.health import MachineStanding, PointStanding, ShopStanding, ago
from shopboard.metrology.kind import in_units

SCHEMA = 1


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--json", action="store_true", help="JSON, every point")
    parser.add_argument(
        "--on",
        metavar="DAY",
        help="as it was known at the end of a past day: 2026-05-01, 12 (days ago), or a moment:"
        ' "2026-05-01 14:30"; local time, by the shop file of today',
    )
    parser.add_argument("--exit-code", action="store_true", help="exit 1 when not all is true")


def run(options: argparse.Namespace) -> int:
    """Print the standing of the shop."""
    if getattr(options, "on", None) is not None:
        from shopboard.commands.status_on import status_on

        standing = status_on(options)
    else:
        with closing(open_desk(options)) as desk:
            standing, name, now = desk.standing, desk.shop.name, desk.now()
        if options.json:
            out_json({"schema": SCHEMA, "shop": name, **shop_json(standing)})
        else:
            out(*(machine_line(machine, now) for machine in standing.worst_first))
    if options.exit_code and not standing.all_true:
        return exit_codes.NOT_TRUE
    return exit_codes.ALL_RIGHT


def machine_line(one: MachineStanding, now: datetime) -> str:
    """Write one machine: id, state, age of its last result, name, why."""
    worst, last = one.worst, one.last
    reason = f"{worst.point.id}: {worst.reason}" if worst and one.state != "true" else ""
    age = ago(last.when, now) if last else "never"
    return f"{one.machine.id:<16} {one.state:<9} {age:<14} {one.machine.name:<24} {reason}".rstrip()


def shop_json(standing: ShopStanding) -> dict[str, object]:
    """Give every machine and point as data."""
    return {
        "all_true": standing.all_true,
        "machines": [
            {
                "id": one.machine.id,
                "name": one.machine.name,
                "state": one.state,
                "points": [point_json(point) for point in one.points],
            }
            for one in standing.machines
        ],
    }


def point_json(one: PointStanding) -> dict[str, object]:
    """Give a point as data."""
    record = one.record
    return {
        "id": one.point.full_name,
        "name": one.point.name,
        "state": one.state,
        "reason": one.reason,
        "tolerance_used": one.used if one.used is None or one.used < 1e9 else None,
        "probability": one.probability,
        "due": one.due_on.isoformat() if one.due_on else None,
        "last": None
        if record is None
        else {
            "uid": record.uid,
            "when": record.when.isoformat(),
            "run": record.run,
            "method": record.method,
            "error": in_units(record.error, record.kind),
            "expanded": in_units(record.expanded, record.kind),
            "verdict": record.verdict,
        },
    }
