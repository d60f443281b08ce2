"""Each method is done by the demo's person, and U holds what was planted: of every one of them."""

from __future__ import annotations

import random
from collections import Counter
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from shopboard.checks import registry
from shopboard.demo.checking import check
from shopboard.demo.world import begin
from shopboard.journal.in_one_go import MadeUpJournal
from shopboard.journal.kinds import MadeUp
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.shop.watched import WatchedShop
from tests.bench.covering import least
from tests.shop_head import metric_head

TIMES, MOST_MISSES = 8, 2
"""Of eight that are each missed once in twenty, three are missed once in 170 (binomial)."""

TOLERANCES = {"angle": "4 mm/m", "length": "0.3 mm", "stress": "80 to 140 MPa", "time": "0 to 9 s"}

DRAWER = """
[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "1200 mm"
within = "0.02 mm"

[[drawer.indicator]]
id = "dial"
name = "Dial indicator"
reach = "10 mm"
within = "0.01 mm"

[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "300 mm"
within = "0.02 mm"

[[machine]]
id = "all"
name = "All there is to check"
"""

POINT = """
[[machine.point]]
id = "{name}"
name = "By {name}"
check = "{name}"
{more}
"""

SQUARE = 'datum = "table"\nface = "face"\nlever = "90 mm"\nturn = "other side"\n'


def shop_text() -> str:
    """Write a shop that has a point for each method."""
    points = []
    for name in registry.names():
        method = registry.method(name)
        more = SQUARE if name == "square" else 'face = "face"\n'
        if method.kind in TOLERANCES:
            more += f'tolerance = "{TOLERANCES[method.kind]}"\n'
        if method.proves:
            more += f'proves = "{"edge" if method.proves == "straightedge" else "square"}"\n'
        points.append(POINT.format(name=name, more=more))
    return metric_head("All") + DRAWER + "".join(points)


def test_u_holds_what_was_planted_by_every_method(tmp_path: Path) -> None:
    """Each time with other tools: what one is off by stays with it."""
    file = tmp_path / "shop.toml"
    file.write_text(shop_text(), encoding="utf-8")
    shop = WatchedShop(file, thorough=True).shop
    now = [datetime(2026, 1, 1, tzinfo=UTC)]
    missed, told = Counter[str](), 0
    with closing(MadeUpJournal(tmp_path / "j", lambda: now[0], MadeUp(0, "", ""))) as journal:
        for time in range(TIMES):
            world = begin(shop, random.Random(time), now[0])
            world.write_in(journal)
            for name, point in shop.points.items():
                found = check(world, point, corrects=False, long_ago=True)
                assert found is not None, f"{point.id} came to no result"
                if point.tolerance.kind in YES_NO_WORDS:
                    planted = world.truths[name].error
                    assert found.verdict in ("noted", "out" if planted >= 0.5 else "true")
                    continue
                told += 1
                missed[point.id] += abs(found.error - world.told[found.uid]) > found.expanded
    assert told > 20 * TIMES
    assert told - missed.total() >= least(told)
    assert max(missed.values()) <= MOST_MISSES, missed.most_common(3)
