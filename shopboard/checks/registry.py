"""Finds the guided checks by their trade names.

Every module of `shopboard.checks.methods` is one method; its file name is its
name, with ``_`` for ``-``. It is imported only when it is asked for: the
board's first frame waits for none.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import TYPE_CHECKING

from shopboard.checks import methods

if TYPE_CHECKING:
    from shopboard.checks.walk import Method


@cache
def names() -> tuple[str, ...]:
    """Give the names that a shop file may use, in alphabetical order."""
    return tuple(sorted(found.name.replace("_", "-") for found in iter_modules(methods.__path__)))


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
