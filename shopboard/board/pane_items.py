"""The lines of a pane under its machine's name and state, as many as there is room for. Pure.

What comes first is never pushed out: why it is not to be used, what is in progress on it, what
the safety round found.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.board.paint import Line, clip, wrap
from shopboard.board.pane_words import (
    Item,
    comes_first,
    counted_words,
    good_to_know,
    open_items,
)
from shopboard.standing.model import MachineStanding


def pane_lines(
    standing: MachineStanding,
    short: str,
    going: Sequence[str],
    now: datetime,
    size: tuple[int, int],
    *,
    fresh: bool = False,
    tag_is_told: bool = False,
) -> list[Line]:
    """Give what stands in a pane, as many lines as there is room for, the most needed first.

    Args:
        standing: how the machine stands.
        short: what it is called above.
        going: what is in progress on it, in words.
        now: the time, for ages.
        size: columns and rows.
        fresh: whether nothing in the shop is checked yet: what is open is a count.
        tag_is_told: whether the reason of its tag stands above.
    """
    width, room = size
    first = [*comes_first(standing, going, now)][standing.tag != "" and tag_is_told :]
    lines = _drawn(first, width, room)
    left = room - len(lines)
    if left <= 0:
        return lines
    items = [*open_items(standing, fresh=fresh)]
    closing = wrap(counted_words(standing, fresh=fresh), width, max(1, left // 2))
    if not closing[0]:
        closing = [""] if len(items) > left else []
    shown = items[: max(0, left - len(closing))]
    lines += _drawn(shown, width, left - len(closing))
    if len(shown) < len(items):
        more = f"{len(items) - len(shown)} more"
        closing[0] = clip(" · ".join(filter(None, (more, closing[0]))), width)
    lines += [((row, ""),) for row in closing]
    for extra in good_to_know(standing, short, now):
        rows = wrap(extra, width)
        if len(lines) + len(rows) <= room:
            lines += [((row, "dim"),) for row in rows]
    return lines


def least_rows(standing: MachineStanding, going: Sequence[str], now: datetime) -> int:
    """Count the rows in which all is named that is not as it should be, but for a tag's reason."""
    first = [*comes_first(standing, going, now)]
    return len(first) - bool(standing.tag) + sum(1 for _ in open_items(standing)) + 1


def _drawn(items: Sequence[Item], width: int, room: int) -> list[Line]:
    """Draw items on so many rows: one for each, then their names whole, then all of it."""
    items = items[: max(0, room)]
    rows = [1] * len(items)
    spare = room - len(items)
    needed = [(len(item.rows(width, whole=False)), len(item.rows(width))) for item in items]
    for step in (0, 1):
        for at, most in enumerate(needed):
            more = min(spare, max(0, most[step] - rows[at]))
            rows[at] += more
            spare -= more
    lines: list[Line] = []
    for item, given, most in zip(items, rows, needed, strict=True):
        lines += _item_lines(item, width, given, whole=min(most) <= given)
    return lines


def _item_lines(item: Item, width: int, given: int, *, whole: bool) -> list[Line]:
    """Draw an item on the rows that it is given; what has no room ends in an ellipsis."""
    indent = 2 if item.mark else 0
    words = item.words if whole else item.head
    rows = wrap(words, width - indent, given)
    style = item.style if item.first else ""
    return [
        (((f"{item.mark} " if at == 0 else "  ") if indent else "", item.style), (row, style))
        for at, row in enumerate(rows)
    ]
