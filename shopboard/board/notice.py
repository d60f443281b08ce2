"""The most pressing sentence about the whole shop, on every screen that has none of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.base.dates import day
from shopboard.base.text import counted
from shopboard.board.keys import PROBLEMS, RESUME, ROUND, Key
from shopboard.board.paint import Line, said
from shopboard.board.under_way import named
from shopboard.journal import JournalError
from shopboard.up_next.under_way import all_under_way
from shopboard.upkeep.safety_record import round_words

if TYPE_CHECKING:
    from shopboard.board.screens.base import ShopScreen
    from shopboard.upkeep.rename_hints import Hint

GOES_ON, UNDER_WAY = "0: go on with", "In progress:"
"""How a notice begins; where no key of the screen goes on with it."""


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


def board_notice(screen: ShopScreen, *, listed: bool = False) -> Line:
    """Give the most pressing sentence about the whole shop.

    It names a key only where that key does it on the screen.

    Args:
        screen: where it is said.
        listed: whether what is under way stands there by itself.
    """
    told = (tell for tell in _PRESSING if not (listed and tell is _under_way))
    return next((line for tell in told if (line := tell(screen))), ())


def _broken_file(screen: ShopScreen) -> Line:
    problems = screen.open_shop.problems
    if not problems:
        return ()
    errors = [each for each in problems if each.severity == "error"] or problems
    one, files = errors[0], {each.file for each in errors}
    file = one.file if len(files) == 1 and one.file else "the shop file"
    words = f"{counted(len(errors), 'error')} in {file}; the last good one is shown. "
    words += f"Line {one.line}{f' of {one.file}' if len(files) > 1 and one.file else ''}"
    words = f"{words}: {one.what}"
    return ((f" ! {_to_problems(screen)}{said(words)}", "out"),)


def _to_problems(screen: ShopScreen) -> str:
    return f"{screen.way_to(PROBLEMS)}: " if _has(screen, PROBLEMS) else ""


def _other_journal(screen: ShopScreen) -> Line:
    differs = screen.open_shop.journal_differs
    if differs is None:
        return ()
    key = "0: " if _has(screen, RESUME) else ""
    held = "Nothing is recorded in it until you say that it is the right one."
    return ((f" ! {key}This journal {said(differs.what)}. {held}", "out"),)


def _broken_journal(screen: ShopScreen) -> Line:
    """Say that nothing can be recorded, or not all can be read."""
    open_shop = screen.open_shop
    refusal, damage, strange = (
        open_shop.journal.refusal,
        open_shop.journal.damage,
        open_shop.unreadable,
    )
    if refusal is not None:
        words = said(f"Nothing can be recorded. {refusal.title} {refusal.advice}")
    elif damage is not None:
        from shopboard.journal.faults import way_back

        words = said(f"{damage.says} {way_back(screen.board.journal_file)}")
        words = words[0].upper() + words[1:]
    elif strange:
        results = counted(strange, "result is", "results are")
        words = f"{results} from a newer shopboard; this one cannot show what was found."
    else:
        return ()
    return ((f" ! {words}", "out"),)


def _wrong_clock(screen: ShopScreen) -> Line:
    open_shop = screen.open_shop
    if not open_shop.clock_is_wrong:
        return ()
    from shopboard.journal.shop_clock import clock_trouble

    words = clock_trouble(open_shop.clock(), open_shop.journal.newest_when())
    return ((f" ! {words}", "out"),)


def _no_copy(screen: ShopScreen) -> str:
    copying = screen.board.copying
    return f" ! {said(copying.words)}" if copying is not None and copying.words else ""


def _under_way(screen: ShopScreen) -> Line:
    """Say what was begun and goes on with a key."""
    found = all_under_way(screen.open_shop)
    if not found:
        return ()
    go_on = GOES_ON if _has(screen, RESUME) else UNDER_WAY
    return ((f" {go_on} {named(found)}.{_no_copy(screen)}", "due"),)


def _round_left(screen: ShopScreen) -> Line:
    left = screen.open_shop.standing.round_left(screen.open_shop.now())
    if left is None:
        return ()
    about = said(left) if left else "the shop"
    go_on = f"{screen.way_to(ROUND)}: go on with" if _has(screen, ROUND) else UNDER_WAY
    return ((f" {go_on} the daily safety walk of {about}.{_no_copy(screen)}", "due"),)


def _round_words(screen: ShopScreen) -> str:
    about = screen.open_shop.standing.round
    return f"Daily safety walk of the shop: {said(round_words(about, screen.open_shop.now()))}."


def _wrong_round(screen: ShopScreen) -> Line:
    about = screen.open_shop.standing.round
    return ((f" ! {_round_words(screen)}", "out"),) if about is not None and about.wrong else ()


def _not_copied(screen: ShopScreen) -> Line:
    words = _no_copy(screen)
    return ((words, "out"),) if words else ()


def _renamed(screen: ShopScreen) -> Line:
    words = _newly_renamed(screen)
    return ((f" {_to_problems(screen)}{said(words)}", "due"),) if words else ()


def _next_due(screen: ShopScreen) -> Line:
    """Say what becomes due next and, where there is room, how the safety round stands."""
    standing = screen.open_shop.standing
    due = standing.next_due
    words = (
        f"Next check due: {said(due.point.name)}, {day(due.due_on)}." if due and due.due_on else ""
    )
    both = f" {words}   {_round_words(screen)}" if standing.round is not None else f" {words}"
    words = both if len(both) < screen.size.width or not words else f" {words}"
    return ((words, "dim"),) if words.strip() else ()


_PRESSING = (
    *(_broken_file, _other_journal, _broken_journal, _wrong_clock),
    *(_under_way, _round_left, _wrong_round, _not_copied, _renamed, _next_due),
)
"""The most pressing first; each says nothing where all is well."""
