"""List the points that can be checked, and what the drawer can prove of each."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from contextlib import closing

from shopboard.base.state_words import state_word
from shopboard.checks.ranking import Rank, at_best, cannot_be_proven
from shopboard.commands.output import out, out_json
from shopboard.commands.shared import shop_opened
from shopboard.metrology.kind import YES_NO_WORDS, in_units
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import percent
from shopboard.standing.model import PointStanding


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.add_argument(
        "--best",
        action="store_true",
        help="and how fine each method usually is, the finest first",
    )
    parser.add_argument(
        "--retired",
        action="store_true",
        help="instead, records under names that the shop file no longer has",
    )


def run(options: argparse.Namespace) -> int:
    """Print one point a line."""
    if options.retired:
        from shopboard.commands.points_retired import points_retired

        return points_retired(options)
    with closing(shop_opened(options)) as open_shop:
        unit = open_shop.shop.unit
        standings = [one for machine in open_shop.standing.machines for one in machine.points]
        names = [one.point.full_name for one in standings]
        ranks = {name: open_shop.ranks(name) for name in names} if options.best else {}
    if options.json:
        out_json({"points": [_row(one, ranks) for one in standings]})
        return 0
    table = [_columns(one, unit if options.best else None) for one in standings]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    for standing, columns in zip(standings, table, strict=True):
        line = " ".join(f"{one:<{width}}" for one, width in zip(columns, widths, strict=True))
        out(f"{line} {standing.point.name}")
        found = ranks.get(standing.point.full_name, ())
        out(*(f"    {rank.method:<20} {_words(rank, unit)}" for rank in found))
        cannot = cannot_be_proven(found)
        out(*((f"    {cannot}",) if cannot else ()))
    return 0


def _row(one: PointStanding, ranks: Mapping[str, Sequence[Rank]]) -> dict[str, object]:
    """Give a point for the JSON, with what each method proves where that is asked for."""
    name = one.point.full_name
    return {
        "id": name,
        "state": one.state,
        "checks": list(one.point.checks),
        "tolerance": one.point.tolerance.typed,
        "name": one.point.name,
        **({"best": [_json(rank) for rank in ranks[name]]} if ranks else {}),
    }


def _columns(one: PointStanding, unit: Unit | None = None) -> tuple[str, str, str, str]:
    """Give name, state, methods and tolerance; what is looked at has no tolerance.

    Args:
        one: the point.
        unit: of the shop, where what its checks can prove stands below in it; None: the tolerance
            is told as it was typed.
    """
    point = one.point
    tolerance = point.tolerance.words(unit) if unit else point.tolerance.typed
    tolerance = "" if point.tolerance.kind in YES_NO_WORDS else tolerance
    return point.full_name, state_word(one.state), ",".join(point.checks), tolerance


def _words(rank: Rank, unit: Unit) -> str:
    if not rank.proves:
        return at_best(rank, unit)
    if rank.kind in YES_NO_WORDS:
        return "by looking"
    return f"{at_best(rank, unit)}, {percent(rank.probability)} certain at most"


def _json(rank: Rank) -> dict[str, object]:
    return {
        "method": rank.method,
        "expanded": in_units(rank.expanded, rank.kind) if rank.best else None,
        "most": in_units(rank.most, rank.kind) if rank.best else None,
        "probability": rank.probability if rank.best else None,
        "proves": rank.proves,
        "help": rank.help,
    }
