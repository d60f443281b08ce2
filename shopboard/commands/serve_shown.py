"""What `shopboard serve` shows at a glance: the shop as `shopboard status` tells it."""

from __future__ import annotations

import argparse
from collections.abc import Mapping

from shopboard.commands.output import SCHEMA
from shopboard.commands.shared import shop_opened
from shopboard.commands.status import shop_json
from shopboard.journal.shop_clock import clock_trouble
from shopboard.open_shop import OpenShop
from shopboard.web.shown import AtAGlance


def shown(options: argparse.Namespace) -> AtAGlance:
    """Give what answers `/glance` and `/status.json`."""
    return AtAGlance(lambda: shop_opened(options), _data, _troubles)


def _data(open_shop: OpenShop) -> Mapping[str, object]:
    return {"schema": SCHEMA, **shop_json(open_shop)}


def _troubles(open_shop: OpenShop) -> list[str]:
    """Say what is the matter with shop file, journal and clock."""
    told = []
    if open_shop.problems:
        first = open_shop.problems[0]
        told.append(f"Shop file, line {first.line}: {first.sentence}; the last good one is shown.")
    if open_shop.journal_differs is not None:
        told.append(f"{open_shop.journal_differs.title} {open_shop.journal_differs.advice}")
    if open_shop.journal.damage is not None:
        told.append(open_shop.journal.damage.says)
    if open_shop.clock_is_wrong:
        told.append(clock_trouble(open_shop.clock(), open_shop.journal.newest_when()))
    return told
