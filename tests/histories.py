"""Results of a point over the years, made by hand or by a person who checks it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from typing import Any

from shopboard.journal import Store
from shopboard.metrology.spread import Spread
from shopboard.results.record import CheckRecord
from shopboard.shop.model import Shop
from shopboard.sittings.check import start
from tests.builders import Person
from tests.journal.helpers import Clock

FIRST = datetime(2026, 6, 1, 8, tzinfo=UTC)
THOU_PER_FT = 1e-3 / 12
"""rad."""


def result(
    seq: int, error: float, days: float, run: str = "as-found", **changes: Any
) -> CheckRecord:
    """A result of the saw's blade: its number, error in rad, days after the first; u is 20 urad.

    Of that the tools' own error makes 12 urad, and 16 urad are left to a second reading.
    """
    when = FIRST + timedelta(days=days)
    return CheckRecord(
        f"uid-{seq}", seq, when, "saw", "blade", run, "square", "angle",
        Spread(error, (), 20e-6), 40e-6, "0.1 deg", "true", "it leans out", {"square": "Square"},
        k=2.0, u_repeat=16e-6,
    )._replace(**changes)  # fmt: skip


def check_over_the_years(
    journal: Store,
    clock: Clock,
    shop: Shop,
    name: str,
    errors: Iterable[float | tuple[float, float]],
    days: float = 90,
) -> None:
    """Check a point every so many days; a pair of errors is set from the first to the second."""
    for one in errors:
        clock.pass_by(days=days)
        found, *left = one if isinstance(one, tuple) else (one,)
        sitting, person = start(journal, shop, shop.points[name]), Person(found, then=tuple(left))
        while sitting.step is not None:
            sitting.answer(person.answer(sitting.step, sitting.job))


GROWING: tuple[float | tuple[float, float], ...] = (
    0.0, 7 * THOU_PER_FT, 14 * THOU_PER_FT, (25 * THOU_PER_FT, 0.0),
    7 * THOU_PER_FT, 14 * THOU_PER_FT, (25 * THOU_PER_FT, 0.0), 7 * THOU_PER_FT,
)  # fmt: skip
"""Seven thou/ft from check to check; 0.1 deg is 21."""
