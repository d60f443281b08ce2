"""What is checked first after something happened: one order on every screen.

That what others rest on comes before them follows from the shop file: a fence is measured from the
blade.
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from shopboard.open_shop import OpenShop
from shopboard.standing.next_checks import first_due, worst_first
from tests.journal.helpers import Clock
from tests.two_shops import written


def test_what_it_rests_on_comes_first_while_that_is_open(tmp_path: Path, clock: Clock) -> None:
    path = written("metric", tmp_path)
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock, 0.05)) as open_shop:
        fence = open_shop.shop.points["saw.fence"]
        first = first_due(open_shop.standing, fence)
        assert first.full_name == "saw.blade"
        listed = [one.point for one in worst_first(open_shop.standing)]
        assert listed.index(first) < listed.index(fence)
        assert first_due(open_shop.standing, first) == first
