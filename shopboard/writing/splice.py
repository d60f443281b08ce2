"""A stretch of a text that another text takes the place of, and which lines that changes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from itertools import pairwise

from shopboard.base.light_tuple import NamedTuple


class Splice(NamedTuple):
    """One stretch of the old text, and what stands there in the new one."""

    start: int
    end: int
    text: str


class LineChange(NamedTuple):
    """Lines that stand one below the other, before and after."""

    old_line: int
    """Number of the first old one, from 1; where none goes: of the one that others come before."""
    old: tuple[str, ...]
    new_line: int
    """Number of the first new one; where none comes: of the line that now stands there."""
    new: tuple[str, ...]


def in_order(splices: Iterable[Splice]) -> list[Splice]:
    """Sort splices by their place.

    Raises:
        ValueError: when two of them want the same stretch.
    """
    found = sorted(splices, key=lambda one: (one.start, one.end))
    for one, after in pairwise(found):
        if after.start < one.end:
            raise ValueError("two changes at one place")
    return found


def spliced(text: str, splices: Sequence[Splice]) -> str:
    """Give the text with every splice (in order) in its place, all else as it is."""
    parts, at = [], 0
    for one in splices:
        parts += [text[at : one.start], one.text]
        at = one.end
    return "".join([*parts, text[at:]])


def changed_lines(text: str, splices: Sequence[Splice]) -> tuple[LineChange, ...]:
    """Give the lines that splices (in order) change, old and new."""
    new = spliced(text, splices)
    starts, new_starts = _starts(text), _starts(new)
    groups: list[tuple[int, int, int, int]] = []  # first and last old line, first and last new one
    shift = 0
    for one in splices:
        begin = one.start + shift
        shift += len(one.text) - (one.end - one.start)
        lines = (
            *(_line(starts, one.start), _line(starts, one.end)),
            *(_line(new_starts, begin), _line(new_starts, one.end + shift)),
        )
        if groups and lines[0] <= groups[-1][1]:
            groups[-1] = (groups[-1][0], lines[1], groups[-1][2], lines[3])
        else:
            groups.append(lines)
    old_lines, new_lines = text.split("\n"), new.split("\n")
    found = (_unlike(a, old_lines[a : b + 1], c, new_lines[c : d + 1]) for a, b, c, d in groups)
    return tuple(one for one in found if one.old or one.new)


def _starts(text: str) -> list[int]:
    starts = [0]
    at = text.find("\n")
    while at >= 0:
        starts.append(at + 1)
        at = text.find("\n", at + 1)
    return starts


def _line(starts: Sequence[int], at: int) -> int:
    """Give the line of a place, from 0."""
    return bisect_right(starts, at) - 1


def _unlike(first: int, old: list[str], new_first: int, new: list[str]) -> LineChange:
    """Leave out the lines at both ends that are the same."""
    head = 0
    while head < min(len(old), len(new)) and old[head] == new[head]:
        head += 1
    tail = 0
    while tail < min(len(old), len(new)) - head and old[-1 - tail] == new[-1 - tail]:
        tail += 1
    was, now = old[head : len(old) - tail], new[head : len(new) - tail]
    plain = (tuple(line.removesuffix("\r") for line in lines) for lines in (was, now))
    return LineChange(first + head + 1, next(plain), new_first + head + 1, next(plain))
