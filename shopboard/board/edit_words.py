"""Words for what the shop file holds, on the screens that change it."""

from __future__ import annotations

from shopboard.handbook.explaining import key_lines
from shopboard.shop.declared import sorts

_CALLED = {
    "adjuster": "what sets it",
    "feeler": "a set of feeler leaves",
    "shims": "shim stock",
    "question": "a question of the daily safety walk",
    "shop-question": "a question about the shop",
    "gauge": "a gauge with a plug",
}
"""What a sort of thing is called where its own word would not tell."""


def called(sort: str) -> str:
    """Say what a sort of thing is called: ``a cutter``."""
    return _CALLED.get(sort) or (f"an {sort}" if sort[0] in "aeiou" else f"a {sort}")


def explained_key(table: str, key: str) -> list[str]:
    """Explain a setting: when it must be there, what it is for, what may stand there.

    Args:
        table: of the thing: ``machine.point``.
        key: of a table below it with a dot.
    """
    *below, last = key.split(".")
    sort = sorts().get(".".join([table, *below]))
    return list(key_lines(sort, last)) if sort is not None and last in sort.keys else []
