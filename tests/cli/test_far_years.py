"""Records dated in a year that cannot be stop nothing."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.base import exit_codes
from shopboard.open_shop import OpenShop
from shopboard.sittings.check import start
from shopboard.upkeep.happenings import record_happening
from tests.campaigns.byte_damage import ask
from tests.in_turn import in_turn
from tests.journal.helpers import Clock
from tests.two_shops import SHOPS, written

LAST = datetime(9999, 12, 31, 23, 59, 59, tzinfo=UTC)
COMMANDS = (
    ("status",),
    ("status", "--on", "12"),
    ("points",),
    ("prep",),
    ("prep", "--json"),
    ("history", "saw.blade"),
    ("history", "saw.blade", "--plot"),
    ("export", "all", "--csv"),
    ("changes", "30"),
    ("tasks",),
    ("cutters",),
    ("clock",),
    ("verify",),
)


YEARS = (1, 1970, 2150, 2200, 9999)
SMALL = tuple(one for one in SHOPS if one != "sample")
RAN_AWAY = [
    *in_turn(YEARS, (True, False), SMALL),
    *((year, year != LAST.year, "sample") for year in (1, LAST.year)),  # large, and takes its time
]


@pytest.mark.parametrize(("year", "trusted", "shop"), RAN_AWAY)
def test_a_clock_that_ran_away_stops_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, year: int, trusted: bool, shop: str
) -> None:
    """Nor does a journal of a version that believed such a clock (`trusted`)."""
    clock, shop_file = Clock(), written(shop, tmp_path)
    clock.now = LAST.replace(year=year)
    with monkeypatch.context() as earlier:
        if trusted:
            earlier.setattr("shopboard.journal.commit.EARLIEST", datetime.min.replace(tzinfo=UTC))
            earlier.setattr("shopboard.journal.commit.LATEST", datetime.max.replace(tzinfo=UTC))
        with closing(OpenShop(shop_file, tmp_path / "journal", clock)) as open_shop:
            for machine in open_shop.shop.machines:
                for what in ("blade changed", "moved"):
                    record_happening(open_shop.journal, machine.id, what, shop=open_shop.shop)
            start(open_shop.journal, open_shop.shop, next(iter(open_shop.shop.points.values())))
    for words in COMMANDS:
        found = ask(words, shop_file, tmp_path / "journal")
        assert found.code in (exit_codes.ALL_RIGHT, exit_codes.USAGE), (words, found)
        if found.code == exit_codes.USAGE:
            assert "no point" in found.err
