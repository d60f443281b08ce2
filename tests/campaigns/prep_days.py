"""Prep days of shops by chance, held against a constraint solver and the rules told once more.

Each shop is written as a file, read, and planned as a user's is. Up to 12 jobs the plan has to take
no longer than the solver's (Google OR-Tools CP-SAT), of more jobs within 3 % of it, and to know it;
every third shop has hours, to which its plan has to keep.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.campaigns.frame import Campaign, Try, chance
from tests.prep.random_shop import some_shop
from tests.prep.shop_oracle import planned, wrong, wrong_in_hours

_MACHINES = ((1, 2), (1, 3), (2, 3), (1, 3), (2, 3), (1, 2), (2, 4), (4, 7), (2, 3), (8, 13))
"""How many machines a shop has, by turns."""


@contextmanager
def _begin(seed: int) -> Iterator[Try]:
    def attempt(index: int) -> str | None:
        draw = chance(seed, index)
        hours = index % 3 == 2
        made = some_shop(draw, draw.randint(*_MACHINES[index % 10]), hours=hours)
        with tempfile.TemporaryDirectory() as folder:
            plan = planned(made, Path(folder))
        return wrong_in_hours(made, plan) if hours else wrong(made, plan)

    yield attempt


CAMPAIGN = Campaign(_begin, count=200, in_ci=6)
