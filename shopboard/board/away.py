"""After a long pause within a prep day the next key is answered by a question: were you away?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.board import doors
from shopboard.journal import JournalError
from shopboard.prep.pause import quiet_since, record_pause, was_a_night
from shopboard.prep.plan_words import clock, span

if TYPE_CHECKING:
    from shopboard.board.screens.base import ShopScreen


def asks_whether_away(screen: ShopScreen) -> bool:
    """Ask it where it is to be asked; tell whether that takes the key.

    Over a night nobody need be asked: that is recorded and said. The key was struck at a plan of
    the day before; it does nothing else.
    """
    shop = screen.open_shop
    try:
        now = shop.now()
        since = quiet_since(shop.journal, now) if shop.journal.writable else None
        if since is None:
            return False
        if was_a_night(since, now):
            record_pause(shop.journal, since, away=True)
            shop.refresh()
            lasted = span((now - since).total_seconds() / 60)
            words = f"A new day. On record: away for {lasted}, since {clock(since, now)}."
            if isinstance(screen, doors.AwayScreen):  # left open: its question is answered by that
                screen.board.go_back_saying(words)
            else:
                screen.say(words)
            return True
        if not screen.expects_quiet():
            screen.app.push_screen(doors.AwayScreen(since))
            return True
    except JournalError:
        return False  # what the key does says so
    return False
