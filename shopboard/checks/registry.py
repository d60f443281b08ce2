"""Finds the guided checks by their trade names.

Every module of `shopboard.checks.methods` is one method, every module of
`shopboard.checks.sums` a sum that only `reckon` knows; the file name is the
name, with ``_`` for ``-``, and the module holds a `METHOD`. It is imported only
when it is asked for: the board's first frame waits for none.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from shopboard.checks import methods, sums
from shopboard.checks.job import Facts

if TYPE_CHECKING:
    from collections.abc import Sequence
    from types import ModuleType

    from shopboard.checks.walk import Method, Reckoner


def _names_in(package: ModuleType) -> tuple[str, ...]:
    files = (path for folder in package.__path__ for path in Path(folder).glob("[!_]*.py"))
    return tuple(sorted(path.stem.replace("_", "-") for path in files))


@cache
def names() -> tuple[str, ...]:
    """Give the names that a shop file may use, in alphabetical order."""
    return _names_in(methods)


@cache
def sum_names() -> tuple[str, ...]:
    """Give the names of the sums that only `reckon` knows, in alphabetical order."""
    return _names_in(sums)


def method(name: str) -> Method:
    """Give a method by name.

    Raises:
        KeyError: when there is no such method.
    """
    if name not in names():
        raise KeyError(name)
    module = import_module(f"{methods.__name__}.{name.replace('-', '_')}")
    found: Method = module.METHOD
    return found


def known(name: str) -> Method | None:
    """Give a method by name; None for one that this program does not have."""
    return method(name) if name in names() else None


def is_size(checks: Sequence[str]) -> bool:
    """Tell whether what a point's checks measure is a size, such as run-out, and never below 0.

    Args:
        checks: names of its methods, the first the one that is offered first.
    """
    first = known(checks[0]) if checks else None
    return first is not None and first.is_size


def taking(tool: str) -> frozenset[str]:
    """Give the methods that always take a sort of tool, such as ``straightedge``."""
    return frozenset(name for name in names() if tool in method(name).tools.split(", "))


def facts() -> dict[str, Facts]:
    """Give what a shop file's reader must know of each method; imports them all."""
    found = {name: method(name) for name in names()}
    return {name: Facts(one.kind, one.proves) for name, one in found.items()}


def reckoner(name: str) -> Reckoner:
    """Give a method or a sum by name.

    Raises:
        KeyError: when there is neither.
    """
    if name in names():
        return method(name)
    if name not in sum_names():
        raise KeyError(name)
    found: Reckoner = import_module(f"{sums.__name__}.{name.replace('-', '_')}").METHOD
    return found
