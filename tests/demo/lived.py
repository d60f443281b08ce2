"""Shops that were lived in, each made once for all tests that look at it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

from shopboard.demo.folder import USUAL_SEED
from shopboard.demo.made import make
from shopboard.demo.world import World
from shopboard.journal import Entry, kinds
from shopboard.open_shop import OpenShop
from shopboard.results.record import CheckRecord, read_check
from tests.once import made_once
from tests.two_shops import SHOPS

OTHER_SEED = 1
"""Of shops that are not the demo's."""


@dataclass(frozen=True)
class Lived:
    """One of them."""

    folder: Path
    world: World
    now: datetime

    @contextmanager
    def opened(self) -> Iterator[OpenShop]:
        """Open it as a command does."""
        files = (self.folder / "shop.toml", self.folder / "journal.sqlite3")
        found = OpenShop(*files, lambda: self.now, begin=False, thorough=True)
        try:
            yield found
        finally:
            found.close()


def lived(name: str, seed: int | None = None) -> Lived:
    """Make one of the shops, or give it again; the sample as the demo has it."""
    usual = USUAL_SEED if name == "sample" else OTHER_SEED
    return _made(name, usual if seed is None else seed)


@lru_cache
def _made(name: str, seed: int) -> Lived:
    def live(folder: Path) -> tuple[World, datetime]:
        now = datetime.now(UTC)
        world = make(SHOPS[name], folder, seed, now)
        return replace(world, _journal=None, _gathered=None), now

    folder, (world, now) = made_once(f"{name}-{seed}", live)
    return Lived(folder, world, now)


def entries(open_shop: OpenShop) -> list[Entry]:
    """Give all that is on record, oldest first."""
    last = open_shop.journal.last_seq()
    return open_shop.journal.newest([*kinds.NAMED], last, last, last)[::-1]


def results(open_shop: OpenShop) -> list[CheckRecord]:
    """Give every result that stands, oldest first."""
    found = entries(open_shop)
    return [read_check(one) for one in found if one.kind == kinds.CHECK.name and one.void is None]
