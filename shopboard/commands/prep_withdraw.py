"""What was said of a prep day by mistake is withdrawn; the day follows."""

from __future__ import annotations

import argparse

from shopboard.commands.acts import on_record
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.shared import few_words
from shopboard.journal.kinds import VOID
from shopboard.open_shop import OpenShop
from shopboard.prep.day_said import said_of_days, withdraw


def withdraw_newest(open_shop: OpenShop, options: argparse.Namespace, uid: str) -> None:
    """Withdraw what was said last of the prep day in progress, or of the last one.

    Raises:
        UsageError: when nothing stands that was said of it.
        JournalError: when it cannot be recorded.
    """
    reason = few_words(options.take_back, "a reason")
    if on_record(open_shop, options, VOID.name, "", "") is not None:
        return
    journal, now = open_shop.journal, open_shop.now()
    said = said_of_days(journal, open_shop.shop, now)
    newest = next((one for one in said if not one.why_not), None)
    if newest is None:
        raise UsageError("nothing that was said of a prep day stands")
    told = withdraw(journal, newest, reason, now, uid)
    say(f"{newest.words[0].upper()}{newest.words[1:]}.", told)
