"""Withdraw a result, with a reason; the result stays on record, marked."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.commands.acts import act, another, found, say_on_record, uid_argument
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.shared import few_words, point_named, shop_opened, short_uid
from shopboard.journal.kinds import VOID
from shopboard.open_shop import OpenShop
from shopboard.results.remarks import take_back


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("point", metavar="MACHINE.POINT")
    parser.add_argument("result", metavar="UID", help="as `history` shows it; its start is enough")
    parser.add_argument("--reason", required=True, help="why, in a few words")
    uid_argument(parser)


def run(options: argparse.Namespace) -> int:
    """Void one result."""
    with act(options) as uid, closing(shop_opened(options, records=True)) as open_shop:
        machine, _, point = options.point.partition(".")
        before = found(open_shop, options, VOID.name, machine, point)
        if before is not None:
            if options.result != short_uid(before.refers) and not before.refers.startswith(
                options.result
            ):
                raise another(options)
            say_on_record(before)
            return 0
        told = _void(open_shop, options, uid)
    say(told)
    return 0


def _void(open_shop: OpenShop, options: argparse.Namespace, uid: str) -> str:
    records = open_shop.history(options.point, 10_000)
    if not records:
        point_named(open_shop.shop, options.point)  # a point of the past has results, or is none
    meant = [one for one in records if options.result in (one.uid, short_uid(one.uid))]
    meant = meant or [one for one in records if one.uid.startswith(options.result)]
    if len(meant) != 1:
        many = "more than one result begins" if meant else "no result begins"
        raise UsageError(f"{many} with {options.result[:40]!r}; see `history {options.point}`")
    if meant[0].void is not None:
        raise UsageError(f"it is withdrawn already: {meant[0].void}")
    return take_back(open_shop.journal, meant[0].uid, few_words(options.reason, "a reason"), uid)
