"""What comes before what: an order that keeps it, and the circle where there is none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence


def topological(ids: Sequence[str], afters: Sequence[dict[int, int]]) -> tuple[int, ...]:
    """Put the jobs in an order in which each comes after what it waits for.

    Raises:
        ValueError: They wait for each other in a circle.
    """
    waits = [0] * len(afters)
    for later in afters:
        for at in later:
            waits[at] += 1
    order = [at for at, count in enumerate(waits) if not count]
    for at in order:
        for later_one in afters[at]:
            waits[later_one] -= 1
            if not waits[later_one]:
                order.append(later_one)
    if len(order) < len(afters):
        raise ValueError(f"jobs wait for each other in a circle: {_circle(ids, afters, waits)}")
    return tuple(order)


def _circle(ids: Sequence[str], afters: Sequence[dict[int, int]], waits: Sequence[int]) -> str:
    """Name the jobs of one circle: walk back over what is waited for until one comes again."""
    at = next(at for at, count in enumerate(waits) if count)
    walked: list[int] = []
    while at not in walked:
        walked.append(at)
        at = next(other for other, later in enumerate(afters) if waits[other] and at in later)
    circle = [*walked[walked.index(at) :], at]
    return " after ".join(repr(ids[one]) for one in circle)


def reach(afters: Sequence[dict[int, int]], order: Sequence[int]) -> list[int]:
    """Give all jobs that come after each, as bits."""
    later = [0] * len(afters)
    for at in reversed(order):
        for follower in afters[at]:
            later[at] |= 1 << follower | later[follower]
    return later


def bits(mask: int) -> Iterator[int]:
    """Give the numbers in a set of bits, the least first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def all_before(need: Sequence[int], at: int) -> int:
    """Give all jobs that come before one, as bits."""
    found, new = 0, need[at]
    while new:
        low = new & -new
        found |= low
        new = (new | need[low.bit_length() - 1]) & ~found
    return found
