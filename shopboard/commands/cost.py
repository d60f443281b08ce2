"""What the last prep day and the last year of upkeep cost and brought."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from contextlib import closing

from shopboard.commands.json_parts import FieldWords
from shopboard.commands.output import moment_json, out, out_json
from shopboard.commands.shared import shop_called, shop_opened
from shopboard.prep.cost import Cost
from shopboard.prep.cost_words import use_lines
from shopboard.prep.year_cost import use_of

_OF_COST = {
    "since": "from when on it is counted",
    "minutes": "of work at all machines",
    "machines[].id": "of the machine",
    "machines[].minutes": "of work at it",
    "machines[].planned_minutes": "as planned when the day was begun, or null",
    "machines[].checked": "results as found",
    "machines[].out": "of these, out",
    "machines[].borderline": "of these, borderline",
    "machines[].set_right": "not true as found, true as left",
}

FIELDS: Mapping[str, FieldWords] = {
    "cost": {
        "shop": "its name",
        "in_progress": "whether the prep day is in progress",
        **{f"day.{name}": words for name, words in _OF_COST.items()},
        "day.left_undone[].machine": "what the day left when it ended; id of its machine",
        "day.left_undone[].words": "what was to be done",
        "day.left_undone[].minutes": "how long it would have taken",
        "day.left_undone[].risk": "what that puts at risk, as it was said then",
        "day.planned_minutes": "as planned when it began, or null; day is null before the first",
        **{f"year.{name}": words for name, words in _OF_COST.items() if "planned" not in name},
        "intervals[].point": "one with an interval in the shop file",
        "intervals[].days": "its interval",
        "intervals[].changes": "checks that tell how it drifts",
        "intervals[].could_be_days": "how long it could be; null: too few checks, or no longer",
    }
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.epilog = (
        "Minutes are what lies between one record and the next, waits, pauses of the shop and"
        " gaps of an hour left out. An interval could be longer where the point, by Bayes' rule"
        " from its changes,"
        " stays within its tolerance that long from the worst of its last results, with the risk"
        " of the shop file; at the most twice as long at once."
    )


def run(options: argparse.Namespace) -> int:
    """Print it."""
    with closing(shop_opened(options)) as open_shop:
        use, risk, called = use_of(open_shop), open_shop.shop.accepted_risk, shop_called(open_shop)
        name = open_shop.shop.name
    if not options.json:
        out(f"{called}: what it cost and brought", *use_lines(use, risk))
        return 0
    day = None
    if use.day is not None:
        left = [one._asdict() for one in use.left]
        planned = use.day.planned
        day = {**_json(use.day, planned=True), "planned_minutes": planned, "left_undone": left}
    intervals = [
        {
            "point": one.point.full_name,
            "days": one.point.every_days,
            "changes": one.found.changes,
            "could_be_days": one.found.days or None,
        }
        for one in use.intervals
    ]
    out_json(
        {
            "shop": name,
            "in_progress": use.in_progress,
            "day": day,
            "year": _json(use.year),
            "intervals": intervals,
        }
    )
    return 0


def _json(cost: Cost, *, planned: bool = False) -> dict[str, object]:
    return {
        "since": moment_json(cost.since),
        "minutes": cost.minutes,
        "machines": [
            {
                "id": one.machine,
                "minutes": one.minutes,
                **({"planned_minutes": one.planned} if planned else {}),
                "checked": one.checks,
                "out": one.out,
                "borderline": one.near,
                "set_right": one.set_right,
            }
            for one in cost.rows
        ],
    }
