"""Long tests try each of several things once in the usual run, and each with each by hand.

``SHOPBOARD_TEST_ALL=1 python -m pytest ...`` tries all.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from itertools import cycle, islice, product
from typing import Any

ALL = bool(os.environ.get("SHOPBOARD_TEST_ALL"))


def in_turn(*of: Sequence[Any]) -> list[tuple[Any, ...]]:
    """Give each with each where all is tried; else the longest, the others beside it in turn."""
    if ALL:
        return list(product(*of))
    longest = max(map(len, of))
    return list(zip(*(islice(cycle(one), longest) for one in of), strict=True))


def few(of: Sequence[Any], every: int) -> list[Any]:
    """Give all where all is tried; else each n-th, the first among them."""
    return list(of) if ALL else list(of[::every])


def part(of: int) -> int:
    """Give that number of tries where all is tried; else half of them."""
    return of if ALL else -(-of // 2)
