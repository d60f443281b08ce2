"""Which phones and tablets may open the board, and the code by which one pairs. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.base.dates import ago, day
from shopboard.base.text import counted
from shopboard.board.edit_view import EditRow, rows_lines
from shopboard.board.glyphs import big, is_roomy
from shopboard.board.paint import Line, wrap
from shopboard.web.devices import Device, PairingCode


def devices_lines(
    devices: Sequence[Device],
    code: PairingCode | None,
    cursor: int,
    now: datetime,
    size: tuple[int, int],
) -> list[Line]:
    """Show the code, where one is good, and list the devices.

    Args:
        devices: those that may come in.
        code: the code that is good now.
        cursor: line that the cursor is on.
        now: the time.
        size: columns and lines.
    """
    width, room = size
    lines = [*_code_lines(code, now, size), ()]
    rows = [
        EditRow(
            "thing",
            "",
            f"{one.name}: {'only looks, ' if one.looks_only else ''}since {day(one.since)}, "
            f"seen {ago(one.seen, now)}",
        )
        for one in devices
    ]
    if not rows:
        return [*lines, (("  No phone or tablet is paired with this computer.", ""),)]
    return [*lines, *rows_lines(rows, cursor, (width, room - len(lines)))]


def _code_lines(code: PairingCode | None, now: datetime, size: tuple[int, int]) -> list[Line]:
    """Show the code large enough to be read from the machine."""
    if code is None:
        words = (
            "Enter shows a code by which a phone or tablet pairs with this computer, where"
            " `shopboard serve` runs."
        )
        return [(), *(((f"  {line}", ""),) for line in wrap(words, size[0] - 4))]
    digits = f"{code.digits[:4]} {code.digits[4:]}"
    shown = big(digits, is_roomy(size))
    left = max(1, round((code.until - now).total_seconds() / 60))
    words = f"Type {digits} on the page that this computer serves: good once, for "
    words += f"{counted(left, 'minute')},"
    words += f" {counted(code.tries, 'try', 'tries')}."
    return [
        (),
        *(((f"  {row}", "bold"),) for row in shown),
        (),
        *(((f"  {line}", ""),) for line in wrap(words, size[0] - 4)),
    ]
