"""Prep days of shops by chance, lived through job by job, each sooner or later than planned.

After each job the rest is planned anew. What was really done has to keep every rule told once more
in tests/prep/own_rules.py, nothing is done twice, and the day comes to its end. Every third shop
has hours.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.campaigns.frame import Campaign, Try, chance
from tests.prep.lived import wrong_as_lived
from tests.prep.random_shop import some_shop


@contextmanager
def _begin(seed: int) -> Iterator[Try]:
    def attempt(index: int) -> str | None:
        draw = chance(seed, index)
        made = some_shop(draw, 1 + index % 4, hours=index % 3 == 2)
        with tempfile.TemporaryDirectory() as folder:
            return wrong_as_lived(made, Path(folder), draw)

    yield attempt


CAMPAIGN = Campaign(_begin, count=200, in_ci=3)
