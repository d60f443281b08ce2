"""A machine that is not to be used: large on its pane, a bar on its other screens. Pure.

Red is for this alone, and never alone: word and cross say the same without colour.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.base.dates import ago, day
from shopboard.board.asked import asked_lines
from shopboard.board.glyphs import TAG_MARK
from shopboard.board.paint import Line, clip, fit, said, with_words, wrap
from shopboard.upkeep.safety_record import DO_NOT_USE


def tag_bar(why: str, width: int) -> Line:
    """Say it in one line across a screen: with this above, nobody overlooks it."""
    words = clip(f" {TAG_MARK} {DO_NOT_USE}: {said(why)}", width - 3)
    return fit(((f"{words} {TAG_MARK}", "danger bar"),), width, "danger bar")


def choice_lines(
    heading: str,
    choices: Sequence[str],
    chosen: int,
    own_words: str,
    size: tuple[int, int],
    last: str = "",
) -> list[Line]:
    """List reasons by their digits, one of which takes words of one's own, and what is last."""
    lines = asked_lines(heading, size)
    for number, reason in enumerate((*choices, own_words, *([last] if last else [])), 1):
        mark = "►" if number == chosen else " "
        shown, *more = wrap(reason, size[0] - 6)
        lines.append(((f" {mark}{number} ", "key"), (f" {shown}", "bold")))
        lines += [((f"     {one}", "bold"),) for one in more]
    return lines


def those(many: int) -> str:
    """Name what is cleared: the tag, or so many."""
    return f"{many} tags" if many > 1 else "the tag"


def taken_off(why: Sequence[str], more: int) -> list[str]:
    """List what a clearing takes off, and say how many it leaves on."""
    stay = "1 newer one stays" if more == 1 else f"{more} newer ones stay"
    rows = ["Clearing takes off all of these; look at each:", *(f"{TAG_MARK} {one}" for one in why)]
    return rows + ([f"{stay} on; look at the screen again after that."] if more else [])


def taken_off_lines(rows: Sequence[str], width: int) -> list[Line]:
    """Write that, a reason in a line."""
    return [*(((f"  {one}", "bold"),) for row in rows for one in wrap(said(row), width - 4)), ()]


def past_lines(
    past: Sequence[tuple[datetime, bool, str]], now: datetime, width: int, *, sure: bool = True
) -> list[Line]:
    """List tags and clearings, newest first: when, whether it went up, why.

    Args:
        past: the tags and clearings.
        now: the time, for ages.
        width: columns.
        sure: whether what is on record is all there was.
    """
    none = "Never tagged." if sure else "The record of its tag cannot be read."
    lines: list[Line] = [((f"  {'On record, newest first:' if past else none}", "dim"),)]
    for when, up, why in past:
        what = f"{TAG_MARK} {DO_NOT_USE}" if up else "  cleared"
        lines += with_words(f"  {day(when)}, {ago(when, now):<14} {what:<12} ", why, "dim", width)
    return lines
