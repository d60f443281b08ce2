"""What is to change in the data of a shop file, whatever its text looks like.

A path is the one that tomli's data has before the edit: of several edits none shifts another's.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import deepcopy
from typing import Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.report import Path

Data = Mapping[str, Any]
"""What tomli gives."""


class Put(NamedTuple):
    """A value is to stand at a path, in the place of another one or anew."""

    path: Path
    value: object
    typed: str = ""
    """How a person spelled it, where that is the same value: ``16.50``."""


class Add(NamedTuple):
    """A table is to stand at a path anew; with a list there, behind those that are in it."""

    path: Path
    """Of the table, or of the list."""
    table: Data
    many: bool = True
    """Whether it is one of a list."""


class Drop(NamedTuple):
    """What stands at a path is to go."""

    path: Path


Edit = Put | Add | Drop


class NoSuchPlaceError(ValueError):
    """A path leads nowhere, or through what holds nothing."""


def at_path(data: object, path: Path) -> Any:
    """Give what stands at a path.

    Raises:
        NoSuchPlaceError: when nothing does.
    """
    for part in path:
        try:
            data = data[part]  # type: ignore[index]
        except (KeyError, IndexError, TypeError):
            raise NoSuchPlaceError(f"there is nothing at {dotted(path)}") from None
    return data


def stands(data: object, path: Path) -> bool:
    """Tell whether anything stands at a path."""
    try:
        at_path(data, path)
    except NoSuchPlaceError:
        return False
    return True


def dotted(path: Path) -> str:
    """Name a path for a person, counted from 1: ``machine.1.point.2.sizes.width``."""
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in path)


def settled(data: Data, edits: Iterable[Edit]) -> list[Edit]:
    """Put together what is dropped: a list or table that would be left empty goes as a whole.

    A table that is one of a list stays, and so does what holds something new.
    """
    edits = list(edits)
    gone = {edit.path for edit in edits if isinstance(edit, Drop)}
    filled = [edit.path for edit in edits if not isinstance(edit, Drop)]
    waiting = list(gone)
    while waiting:
        above = waiting.pop()[:-1]
        if above not in gone and _would_be_empty(data, above, gone, filled):
            gone.add(above)
            waiting.append(above)
    outer = [path for path in gone if not any(path[:end] in gone for end in range(len(path)))]
    kept = [edit for edit in edits if not isinstance(edit, Drop)]
    return [*kept, *(Drop(path) for path in sorted(outer, key=_for_order))]


def _would_be_empty(
    data: Data, above: Path, gone: Collection[Path], filled: Sequence[Path]
) -> bool:
    """Tell whether nothing stays in a list or table, and nothing new comes into it."""
    if not above or isinstance(above[-1], int):
        return False
    if any(path[: len(above)] == above for path in filled):
        return False
    there = at_path(data, above)
    keys = there if isinstance(there, Mapping) else range(len(there))
    return all((*above, key) in gone for key in keys)


def wanted(data: Data, edits: Iterable[Edit]) -> dict[str, Any]:
    """Give the data as it shall be.

    Raises:
        NoSuchPlaceError: when a path leads nowhere.
    """
    new: dict[str, Any] = deepcopy(dict(data))
    drops = [edit.path for edit in edits if isinstance(edit, Drop)]
    for path in drops:
        at_path(data, path)
    for edit in edits:
        if isinstance(edit, Drop):
            continue
        holder, last = _holder(new, edit.path[:-1]), edit.path[-1]
        in_list = isinstance(last, int) and isinstance(holder, list) and last < len(holder)
        if not in_list and not (isinstance(last, str) and isinstance(holder, dict)):
            raise NoSuchPlaceError(f"there is nothing at {dotted(edit.path)}")
        if isinstance(edit, Put):
            holder[last] = deepcopy(edit.value)
        elif not edit.many:
            holder[last] = deepcopy(edit.table)
        elif isinstance(there := holder.setdefault(last, []), list):
            there.append(deepcopy(edit.table))
        else:
            raise NoSuchPlaceError(f"{dotted(edit.path)} is not a list")
    for path in sorted(drops, key=_for_order, reverse=True):  # the later first: none is shifted
        del at_path(new, path[:-1])[path[-1]]
    return new


def _for_order(path: Path) -> list[tuple[int, str]]:
    return [(part, "") if isinstance(part, int) else (-1, part) for part in path]


def _holder(data: Any, path: Path) -> Any:
    """Give the table or list at a path, made where it is missing."""
    for part in path:
        if isinstance(data, dict) and isinstance(part, str):
            data = data.setdefault(part, {})
        elif isinstance(data, list) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            raise NoSuchPlaceError(f"there is nothing at {dotted(path)}")
    if not isinstance(data, dict | list):
        raise NoSuchPlaceError(f"{dotted(path)} is not a table")
    return data


def same(one: object, other: object) -> bool:
    """Tell whether two data are alike to the kind of each value: true is not 1, nor is 1.0."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    return type(one) is type(other) and (one == other or (one != one and other != other))
