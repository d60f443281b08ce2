"""Fixtures of the checks' tests: the program, for what `reckon` prints; nothing worked out yet."""

from __future__ import annotations

import pytest

from shopboard.checks import measured
from tests.cli.conftest import program

__all__ = ["program"]


@pytest.fixture(autouse=True)
def _nothing_known() -> None:
    """Have each test work out what it looks at, whatever another test worked out before."""
    measured._LATELY.clear()
