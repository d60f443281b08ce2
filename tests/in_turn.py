"""Long tests try each of several things once in the usual run, and each with each by hand.

``SHOPBOARD_TEST_ALL=1 python -m pytest ...`` tries all.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from itertools import cycle, islice, product
from typing import Any

from hypothesis import settings

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


def part(of: int, among: int = 2) -> int:
    """Give that number of tries where all is tried; else half of them, or one among so many."""
    return of if ALL else -(-of // among)


def examples(among: int) -> settings:
    """Try a property on all its examples where all is tried; else on one among so many."""
    return settings(max_examples=part(settings().max_examples, among))
