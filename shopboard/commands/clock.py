"""The computer's clock held against the journal; and a way to say that it is right."""

from __future__ import annotations

import argparse
from contextlib import closing
from datetime import datetime

from shopboard.commands.acts import act, on_record, uid_argument
from shopboard.commands.errors import UsageError, to_the_letter
from shopboard.commands.output import out, say
from shopboard.commands.shared import shop_opened
from shopboard.journal import kinds
from shopboard.journal.commit import EARLIEST
from shopboard.journal.shop_clock import clock_trouble
from shopboard.open_shop import OpenShop


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "--right",
        action="store_true",
        help="record that the clock is right: later times recorded before it came from a"
        " clock that was ahead",
    )
    uid_argument(parser)
    parser.epilog = (
        "Every time is kept as universal time and shown in this computer's local time, wherever"
        " it was recorded. Order is by recording, never by the clock."
    )


def run(options: argparse.Namespace) -> int:
    """Tell the clock, the newest record and who wrote it."""
    with (
        act(options, records=options.right) as uid,
        closing(shop_opened(options, about_clock=False, records=options.right)) as open_shop,
    ):
        if options.right and on_record(open_shop, options, kinds.CLOCK.name, "", "") is None:
            _set_right(open_shop, uid)
        newest = open_shop.journal.newest_when()
        out(f"this computer's clock  {_local(open_shop.clock())}")
        out(f"newest record          {_local(newest) if newest else 'none'}")
        wrong, other = open_shop.clock_is_wrong, open_shop.other_computer()
        trouble = clock_trouble(open_shop.clock(), newest)
    if wrong:
        say(to_the_letter(trouble, options.journal))
    say(*((other,) if other else ()))
    return 0


def _local(when: datetime) -> str:
    local = when.astimezone()
    offset = f"{local:%z}"
    return f"{local:%Y-%m-%d %H:%M} ({local.tzname()}, UTC{offset[:3]}:{offset[3:5]})"


def _set_right(open_shop: OpenShop, uid: str) -> None:
    if open_shop.clock() < EARLIEST:
        raise UsageError(
            f"the clock says {_local(open_shop.clock())}; that cannot be right: set it first"
        )
    if not open_shop.clock_is_wrong:
        say("The clock is not behind any record: nothing was recorded.")
        return
    open_shop.journal.append([kinds.CLOCK.new(uid, kinds.Bare())])
    open_shop.refresh()
    say("Recorded: the clock is right from here on.")
