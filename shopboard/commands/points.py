"""List the points that can be checked."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.commands.output import out, out_json
from shopboard.commands.shared import open_desk


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--json", action="store_true", help="JSON")


def run(options: argparse.Namespace) -> int:
    """Print one point a line."""
    with closing(open_desk(options)) as desk:
        standing = desk.standing
    rows = [
        {
            "id": one.point.full_name,
            "state": one.state,
            "checks": list(one.point.checks),
            "tolerance": one.point.tolerance.typed,
            "name": one.point.name,
        }
        for machine in standing.machines
        for one in machine.points
    ]
    if options.json:
        out_json(rows)
        return 0
    for row in rows:
        checks = ",".join(row["checks"])
        line = f"{row['id']:<28} {row['state']:<9} {checks:<8} {row['tolerance']:<20} {row['name']}"
        out(line)
    return 0
