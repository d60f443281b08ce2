"""Digits for a list longer than the keys: of its lines, nine at a time have one. Pure.

Those have them among which the cursor is; + goes on to the next nine, and from the last to the
first.
"""

from shopboard.board.keys import MORE, Key

NINE = 9


def first_of_nine(cursor: int) -> int:
    """Give the first of the lines that have digits; lines are numbered from 0."""
    return cursor // NINE * NINE


def digit_of(line: int, cursor: int) -> str:
    """Give a line's digit; empty when it has none."""
    digit = line - first_of_nine(cursor) + 1
    return str(digit) if 1 <= digit <= NINE else ""


def line_of(digit: int, cursor: int) -> int:
    """Give the line that a digit from 1 to 9 chooses; it may be past the last one."""
    return first_of_nine(cursor) + digit - 1


def next_nine(cursor: int, lines: int) -> int:
    """Give the first line of the next nine."""
    following = first_of_nine(cursor) + NINE
    return following if following < lines else 0


def without_more(keys: tuple[Key, ...], lines: int) -> tuple[Key, ...]:
    """Leave out the key that gives the digits to further lines where every line has one."""
    return keys if lines > NINE else tuple(key for key in keys if key is not MORE)


def out_of_sight(above: int, below: int) -> str:
    """Say how many lines are out of sight, above and below those that are shown."""
    words = [f"▲ {above} more"] if above > 0 else []
    return "   ".join([*words, f"▼ {below} more"] if below > 0 else words)
