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
from shopboard.upkeep.safety_record import DO_NOT_USE, RoundStanding, round_words

SCHEMA = 1


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--json", action="store_true", help="JSON, every point")
    parser.add_argument(
        "--exit-code",
        action="store_true",
        help="exit 1 when not all is true or a machine is tagged",
    )


def run(options: argparse.Namespace) -> int:
    """Print the standing of the shop."""
    with closing(open_desk(options)) as desk:
        standing, name, now = desk.standing, desk.shop.name, desk.now()
    if options.json:
        out_json({"schema": SCHEMA, "shop": name, **_shop_json(standing)})
    else:
        out(*(_line(machine, now) for machine in standing.worst_first))
        if standing.round is not None:
            out(f"safety round of the shop: {round_words(standing.round, now)}")
    if options.exit_code and (standing.tagged or not standing.all_true):
        return exit_codes.NOT_TRUE
    return exit_codes.ALL_RIGHT


def _line(one: MachineStanding, now: datetime) -> str:
    worst, last = one.worst, one.last
    reason = f"{worst.point.id}: {worst.reason}" if worst and one.state != "true" else ""
    age = ago(last.when, now) if last else "never"
    if one.tag:
        reason = f"{DO_NOT_USE}: {one.tag}{f'; {reason}' if reason else ''}"
    if one.round is not None and one.round.wrong:
        reason = f"{reason}{'; ' if reason else ''}safety round: {round_words(one.round, now)}"
    return f"{one.machine.id:<16} {one.state:<9} {age:<14} {one.machine.name:<24} {reason}".rstrip()


def _shop_json(standing: ShopStanding) -> dict[str, object]:
    return {
        "all_true": standing.all_true,
        "safety_round": _round_json(standing.round),
        "machines": [
            {
                "id": one.machine.id,
                "name": one.machine.name,
                "state": one.state,
                "tag": one.tag or None,
                "safety_round": _round_json(one.round),
                "points": [_point_json(point) for point in one.points],
            }
            for one in standing.machines
        ],
    }


def _round_json(one: RoundStanding | None) -> dict[str, object] | None:
    """Give what was answered and when; whether that will do is for a person to say."""
    if one is None:
        return None
    return {
        "when": one.when.isoformat(),
        "finished": one.finished,
        "answered": len(one.answers),
        "of": one.of,
        "not_as_wanted": [
            {
                "question": each.question,
                "answer": each.text,
                "when": (each.when or one.when).isoformat(),
            }
            for each in one.wrong
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
            "error": in_units(record.error, record.kind),
            "expanded": in_units(record.expanded, record.kind),
            "verdict": record.verdict,
        },
    }
