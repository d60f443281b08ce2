"""The most pressing sentence about the whole shop, on every screen that has none of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.base.dates import ago, day
from shopboard.board.keys import PROBLEMS, RESUME, ROUND, Key
from shopboard.board.paint import Line, said
from shopboard.journal import JournalError
from shopboard.upkeep.safety_record import round_words

if TYPE_CHECKING:
    from shopboard.board.screens.base import ShopScreen
    from shopboard.upkeep.rename_hints import Hint

UNDER_WAY = "Under way:"
"""How a notice begins where no key of the screen goes on with it."""


def rename_hints(screen: ShopScreen) -> tuple[Hint, ...]:
    """Give the hints at names that changed; none while the journal cannot be read."""
    try:
        return screen.open_shop.hints()
    except JournalError:
        return ()  # the next look says so


def _newly_renamed(screen: ShopScreen) -> str:
    """Ask whether a name changed, as long as the new one has no records of its own."""
    hints = rename_hints(screen)
    open_shop = screen.open_shop
    return next(
        (one.problem.sentence for one in hints if not open_shop.has_results(one.retired)), ""
    )


def _has(screen: ShopScreen, key: Key) -> bool:
    """Tell whether a key does on this screen what it does on the board."""
    return any(one.action == key.action for one in screen.keys)


_WAY_BACK = "`shopboard restore` puts a copy back, `shopboard salvage` saves what is left."


def board_notice(screen: ShopScreen) -> Line:
    """Give the most pressing sentence about the whole shop.

    It names a key only where that key does it on the screen.
    """
    open_shop = screen.open_shop
    if open_shop.problems:
        errors = [
            each for each in open_shop.problems if each.severity == "error"
        ] or open_shop.problems
        one, files = errors[0], {each.file for each in errors}
        file = one.file if len(files) == 1 and one.file else "the shop file"
        words = f"{len(errors)} to mend in {file}; the last good one is shown. "
        words += f"Line {one.line}{f' of {one.file}' if len(files) > 1 and one.file else ''}"
        words = f"{words}: {one.what}"
        return ((f" ! {'p: ' if _has(screen, PROBLEMS) else ''}{said(words)}", "out"),)
    differs = open_shop.journal_differs
    if differs is not None:
        key = "0: " if _has(screen, RESUME) else ""
        return ((f" ! {key}This journal {said(differs.what)}.", "out"),)
    refusal = open_shop.journal.refusal
    if refusal is not None:
        return ((f" ! Nothing can be recorded. {said(refusal.title)}", "out"),)
    damage = open_shop.journal.damage
    if damage is not None:
        words = f"{damage.says} {_WAY_BACK}"
        return ((f" ! {said(words[0].upper() + words[1:])}", "out"),)
    if open_shop.unreadable:
        results = (
            "1 result is" if open_shop.unreadable == 1 else f"{open_shop.unreadable} results are"
        )
        words = f"{results} of a newer shopboard; this one cannot show what was found."
        return ((f" ! {words}", "out"),)
    if open_shop.clock_is_wrong:
        clock = open_shop.clock()
        return ((f" ! The clock looks wrong: {day(clock)}. `shopboard clock` says more.", "out"),)
    copying = screen.board.copying
    no_copy = f" ! {said(copying.words)}" if copying is not None and copying.words else ""
    waiting = list(open_shop.waiting.items())
    go_on = "0: go on with" if _has(screen, RESUME) else UNDER_WAY
    if waiting:
        name, entry = waiting[0]
        begun = ago(entry.when, open_shop.now())
        about = said(open_shop.shop.points[name].name)
        others = f", and {len(waiting) - 1} more" if len(waiting) > 1 else ""
        return ((f" {go_on} {about}, begun {begun}{others}.{no_copy}", "due"),)
    under_way = open_shop.task_under_way()
    if under_way is not None:
        words = next((one.words for one in open_shop.waits()), "")
        name = said(under_way[1].task.name)
        return ((f" {go_on} {name}{f'. {said(words)}' if words else ''}.{no_copy}", "due"),)
    left = open_shop.standing.round_left(open_shop.now())
    if left is not None:
        about = said(left) if left else "the shop"
        go_on = f"{ROUND.label}: go on with" if _has(screen, ROUND) else UNDER_WAY
        return ((f" {go_on} the safety round of {about}.{no_copy}", "due"),)
    about_round = open_shop.standing.round
    rounds = f"Safety round of the shop: {said(round_words(about_round, open_shop.now()))}."
    if about_round is not None and about_round.wrong:
        return ((f" ! {rounds}", "out"),)
    if no_copy:
        return ((no_copy, "out"),)
    renamed = _newly_renamed(screen)
    if renamed:
        return ((f" {'p: ' if _has(screen, PROBLEMS) else ''}{said(renamed)}", "due"),)
    due = open_shop.standing.next_due
    words = f"Next due: {said(due.point.name)}, {day(due.due_on)}." if due and due.due_on else ""
    both = f" {words}   {rounds}" if about_round is not None else f" {words}"
    words = both if len(both) < screen.size.width or not words else f" {words}"
    return ((words, "dim"),) if words.strip() else ()
