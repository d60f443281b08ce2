"""A disk that fails, or a program that ends, at one of the calls by which files are changed."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

CALLS = ("write", "fsync", "ftruncate", "link", "replace", "rename", "unlink")
"""Of the module `os`, by which what lies on a disk is changed, or waited for."""


class EndedError(BaseException):
    """The program ended there: nothing after it is done, not even what cleans up."""


class Disk:
    """Counts calls, and strikes at one of them."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self._patch = patch
        self.made = 0

    @contextmanager
    def struck(self, at: int, full: bool = False) -> Iterator[None]:
        """Let the call of that number, from 1, end the program; or from it on the disk is full."""
        self.made = 0
        with self._patch.context() as patch:
            for name in CALLS:
                patch.setattr(os, name, self._struck(name, getattr(os, name), at, full=full))
            yield

    def _struck(self, name: str, real: Callable[..., Any], at: int, *, full: bool) -> Any:
        def call(*given: Any, **named: Any) -> Any:
            self.made += 1
            ends = self.made >= at
            if ends and name == "write":  # the first half of it is there
                real(given[0], bytes(given[1])[: len(given[1]) // 2])
            if ends and not full:
                raise EndedError
            if ends and name in ("write", "fsync", "link"):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return real(*given, **named)

        return call
