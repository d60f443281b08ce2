"""List what is on record under names that the shop file no longer has."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.base.dates import day
from shopboard.commands.output import moment_json, out, out_json
from shopboard.commands.shared import shop_opened
from shopboard.upkeep.rename_hints import hint_words
from shopboard.upkeep.retired import Retired, what_it_is


def points_retired(options: argparse.Namespace) -> int:
    """Print one name a line, with the date of its newest record."""
    with closing(shop_opened(options)) as open_shop:
        retired = open_shop.retired()
    if options.json:
        out_json({"retired": [_json(one) for one in retired]})
        return 0
    widest = max((len(one.full_name) for one in retired), default=0)
    for one in retired:
        verdict = one.verdict or what_it_is(one) or "no result"
        out(f"{one.full_name:<{widest}}  {day(one.when):<15}  {verdict:<16}  {one.name}".rstrip())
        out(*((f"    {'; '.join(hint_words(one))}",) if one.became else ()))
    return 0


def _json(one: Retired) -> dict[str, object]:
    return {
        "id": one.full_name,
        "sort": one.sort if one.point else "machine",
        "name": one.name,
        "last": moment_json(one.when),
        "verdict": one.verdict,
        "became": one.became or None,
        "was": one.was if one.became else None,
    }
