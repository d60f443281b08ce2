"""A general library's table of units, read once and only where it is asked."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pint


@cache
def registry() -> pint.UnitRegistry[float]:
    import pint

    return pint.UnitRegistry()
