"""How every machine stands, plain or as JSON; the exit code can tell whether all is true."""

from __future__ import annotations

import argparse

from shopboard import exit_codes
from shopboard.commands.output import out, out_json
from shopboard.commands.shared import open_desk
from shopboard.health import MachineStanding, PointStanding, ShopStanding, ago
from shopboard.metrology.angle import mm_per_m, thou_per_ft

SCHEMA = 1


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--json", action="store_true", help="JSON, every point")
    parser.add_argument("--exit-code", action="store_true", help="exit 1 when not all is true")


def run(options: argparse.Namespace) -> int:
    """Print the standing of the shop."""
    desk = open_desk(options)
    standing = desk.standing
    if options.json:
        out_json({"schema": SCHEMA, "shop": desk.shop.name, **_shop_json(standing)})
    else:
        for machine in standing.worst_first:
            out(_line(machine, desk))
    desk.close()
    if options.exit_code and not standing.all_true:
        return exit_codes.NOT_TRUE
    return exit_codes.ALL_RIGHT


def _line(one: MachineStanding, desk: object) -> str:
    worst, last = one.worst, one.last
    now = getattr(desk, "now")()  # noqa: B009
    reason = f"{worst.point.id}: {worst.reason}" if worst and one.state != "true" else ""
    age = ago(last.when, now) if last else "never"
    return f"{one.machine.id:<16} {one.state:<9} {age:<14} {one.machine.name:<24} {reason}".rstrip()


def _shop_json(standing: ShopStanding) -> dict[str, object]:
    return {
        "all_true": standing.all_true,
        "machines": [
            {
                "id": one.machine.id,
                "name": one.machine.name,
                "state": one.state,
                "points": [_point_json(point) for point in one.points],
            }
            for one in standing.machines
        ],
    }


def _point_json(one: PointStanding) -> dict[str, object]:
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
            "error_thou_per_ft": thou_per_ft(record.error),
            "error_mm_per_m": mm_per_m(record.error),
            "expanded_thou_per_ft": thou_per_ft(record.expanded),
            "verdict": record.verdict,
        },
    }
