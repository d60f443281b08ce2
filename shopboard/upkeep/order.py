"""In which order points are checked again: first what others rest on, then what rests on it.

Pure: names in, names out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import heapify, heappop, heappush


def chain_order(bases: Mapping[str, Sequence[str]], ranks: Mapping[str, int]) -> tuple[str, ...]:
    """Put points into an order in which none comes before what it rests on.

    Of those that could come next, the one comes first on which the longest chain of others
    rests; then that on which the most rest directly; then that of the lowest rank; then that
    which was named first.

    Args:
        bases: the points, each with those that it rests on; others than these are left out.
        ranks: by point, how pressing it is, 0 the most.

    Returns:
        Every point once; of points that rest on each other in a circle, none.
    """
    above: dict[str, list[str]] = {name: [] for name in bases}
    for name, below in bases.items():
        for base in dict.fromkeys(below):
            if base in above:
                above[base].append(name)
    heights = dict.fromkeys(bases, 0)
    chained = any(above.values())  # in most shops few points rest on another
    for name in reversed(_sorted(above, dict.fromkeys(bases, (0,)))) if chained else ():
        heights[name] = max((heights[one] + 1 for one in above[name]), default=0)
    keys = {
        name: (-heights[name], -len(above[name]), ranks[name], place)
        for place, name in enumerate(bases)
    }
    return _sorted(above, keys)


def _sorted(
    above: Mapping[str, Sequence[str]], keys: Mapping[str, tuple[int, ...]]
) -> tuple[str, ...]:
    """Give points so that each comes before those above it, and else by their keys."""
    missing = dict.fromkeys(above, 0)
    for names in above.values():
        for name in names:
            missing[name] += 1
    ready = [(keys[name], name) for name, number in missing.items() if number == 0]
    heapify(ready)
    order: list[str] = []
    while ready:
        _, name = heappop(ready)
        order.append(name)
        for one in above[name]:
            missing[one] -= 1
            if missing[one] == 0:
                heappush(ready, (keys[one], one))
    return tuple(order)
