"""How every machine stands, plain or as JSON; the exit code can tell whether all is true."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime

from shopboard.base import exit_codes
from shopboard.commands.cutters import cutter_json
from shopboard.commands.output import moment_json, out, out_json
from shopboard.commands.shared import shop_opened
from shopboard.commands.status_lines import machine_lines, next_lines, point_json, short
from shopboard.commands.tasks import task_json
from shopboard.open_shop import OpenShop
from shopboard.standing.model import ShopStanding
from shopboard.up_next.items import NextItem
from shopboard.up_next.known import known_minutes, worked_out
from shopboard.up_next.under_way import all_under_way, said_of
from shopboard.upkeep.safety_record import RoundStanding, round_words
from shopboard.upkeep.standing_tags import reasons, standing_tags
from shopboard.upkeep.tags import tagged_by

_MOST_NEXT = 9
"""Things to do that the JSON lists."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--json", action="store_true", help="JSON, every point, task and cutter")
    parser.add_argument(
        "--on",
        metavar="DAY",
        help="as it was known at the end of a past day: 2026-05-01, 12 (days ago), or a moment:"
        ' "2026-05-01 14:30"; local time, by the shop file of today',
    )
    parser.add_argument(
        "--exit-code",
        action="store_true",
        help="exit 1 when not all is true or a machine is tagged; a dull cutter does not count",
    )


def run(options: argparse.Namespace) -> int:
    """Print the standing of the shop."""
    if getattr(options, "on", None) is not None:
        from shopboard.commands.status_on import status_on

        standing = status_on(options)
    else:
        standing = _status_now(options)
    if options.exit_code and (standing.tagged or not standing.all_true):
        return exit_codes.NOT_TRUE
    return exit_codes.ALL_RIGHT


def _status_now(options: argparse.Namespace) -> ShopStanding:
    with closing(shop_opened(options)) as open_shop:
        standing, now = open_shop.standing, open_shop.now()
        if options.json:
            data = shop_json(open_shop)
        else:
            lines = list(_lines(open_shop, now))
    if options.json:
        out_json(data)
    else:
        out(*short(lines))
    return standing


def _lines(open_shop: OpenShop, now: datetime) -> Iterator[str]:
    standing, waits = open_shop.standing, open_shop.waits()
    checks = [one for one in all_under_way(open_shop) if one.point]
    for one in standing.worst_first:
        ident = one.machine.id
        here = [f"in progress: {said_of(each)}" for each in checks if each.machine == ident]
        here += [wait.words for wait in waits if wait.machine == ident]
        yield from machine_lines(one, now, here)
    if standing.round is not None:
        yield f"daily safety walk of the shop: {round_words(standing.round, now)}"
    yield from next_lines(open_shop)


def shop_json(open_shop: OpenShop) -> dict[str, object]:
    """Give how everything stands as data."""
    differs = open_shop.journal_differs
    standing, damage = open_shop.standing, open_shop.journal.damage
    up_next, minutes = worked_out(open_shop, _MOST_NEXT), known_minutes(open_shop)
    return {
        "shop": open_shop.shop.name,
        "demo": open_shop.is_demo,
        "journal_differs": {"how": differs.how, "words": differs.title} if differs else None,
        "all_true": standing.all_true,
        "damage": None if damage is None else {"entry": damage.seq or None, "what": damage.what},
        "safety_round": _round_json(standing.round),
        "check_order": list(standing.order),
        "next": [_next_json(one, minutes.get(one.key)) for one in up_next[:_MOST_NEXT]],
        "next_of": len(up_next),
        "machines": [
            {
                "id": one.machine.id,
                "name": one.machine.name,
                "state": one.state,
                "tag": one.tag or None,
                "tags": reasons(standing_tags(one.machine.id, open_shop.journal)),
                "tagged_by": tagged_by(one.machine.id, open_shop.journal) if one.tag else None,
                "safety_round": _round_json(one.round),
                "under_way": one.changing.what if one.changing else None,
                "dull": [f"{cutter.machine}.{cutter.id}" for cutter in one.blunt],
                "cutters": [cutter_json(cutter) for cutter in one.cutters],
                "check_first": one.first.point.full_name if one.first else None,
                "tasks": [task_json(open_shop, one.machine.id, task) for task in one.tasks],
                "points": [point_json(point) for point in one.points],
            }
            for one in standing.machines
        ],
    }


def _next_json(one: NextItem, takes: str | None) -> dict[str, object]:
    """Give what is to be done; of what is in progress, since when and by which bench."""
    begun = one.going.begun if one.going is not None else None
    return {
        "sort": one.sort,
        "id": one.full_name or None,
        "words": one.said,
        "takes": takes or None,
        "begun": moment_json(begun) if begun is not None else None,
        "by": (one.going.by or None) if one.going is not None else None,
    }


def _round_json(one: RoundStanding | None) -> dict[str, object] | None:
    """Give what was answered and when; whether that will do is for a person to say."""
    if one is None:
        return None
    return {
        "when": moment_json(one.when),
        "finished": one.finished,
        "answered": len(one.answers),
        "of": one.of,
        "not_as_wanted": [
            {
                "question": each.question,
                "answer": each.text,
                "when": moment_json(each.when or one.when),
            }
            for each in one.wrong
        ],
    }
