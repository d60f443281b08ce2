"""What is told of a key of the shop file beside what it is for: its default, and examples."""

from __future__ import annotations

from shopboard.metrology.wording import own_words
from shopboard.shop.sorts import DeclaredKey, Sort
from shopboard.shop.what_for import example_of, told_of


def left_out(sort: Sort, key: DeclaredKey) -> str:
    """Give what holds where a key is left out, as the file would have it; empty: nothing."""
    default = key.asked.default
    if isinstance(default, bool):
        return str(default).lower()
    if isinstance(default, str) and default:
        return f'"{default}"'
    return told_of(sort.header, key.key).left_out


def examples(sort: Sort, key: DeclaredKey) -> tuple[str, ...]:
    """Give a value that would do, as the file has it; in an inch shop and in a metric one."""
    if key.allowed is None:
        return ()
    typed = example_of(sort.header, key.key, key.allowed)
    return tuple(dict.fromkeys(own_words(typed, unit) for unit in ("inch", "mm")))
