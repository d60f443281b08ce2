"""Which tools a record tells of; held against what every method really records."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopboard.checks import registry
from shopboard.checks.inputs import tools_spoken_of
from shopboard.metrology.uncertainty import Budget, Source
from shopboard.reports.tools_used import tools_used
from shopboard.results.old_words import source_called
from shopboard.results.record import CheckRecord, KeptSource
from shopboard.shop.reader import read_shop
from shopboard.sittings.point_job import job_for
from tests.checks.readings import CALLIPER, TOOLS
from tests.cli import test_whole_ways as whole_ways
from tests.reports.pictures import result
from tests.two_shops import SHOPS


def with_budget(*names: str, **readings: object) -> CheckRecord:
    budget = tuple(KeptSource(source_called(name), name, 0.1) for name in names)
    return result(1, 1, 1)._replace(budget=budget, readings=readings)


@pytest.mark.parametrize(
    ("names", "readings", "tools"),
    [
        (("leaf thickness", "lever"), {"square": "Long square", "feelers": "Leaves"},
         ("Long square", "Leaves")),
        (("gap, between the leaves", "gap, leaf thickness", "gap, feel of the leaf"),
         {"feelers": "Feeler set"}, ("Feeler set",)),
        (("front, the indicator", "back, reading it", "angle of the lever"), {}, ("indicator",)),
        (("straightedge, its bow", "a, leaf thickness"), {}, ("straightedge", "leaves")),
        (("left, the calliper", "right, the calliper"), {"sets": [{"left": 1}]}, ("calliper",)),
        (("time, the watch",), {}, ("watch",)),
        ((), {"answer": "yes"}, ()),
        (("square, its own error",), {"square": 5, "feelers": ""}, ("square",)),
    ],
)  # fmt: skip
def test_tools_by_name_where_recorded_else_by_their_sort(
    names: tuple[str, ...], readings: dict[str, object], tools: tuple[str, ...]
) -> None:
    """The names of sources are those that the methods write."""
    assert tools_used(with_budget(*names, **readings)) == tools


MUST = {
    "square": {"square", "leaves"},
    "leaf-gap": {"leaves"},
    "straightness": {"straightedge", "leaves"},
    "flatness": {"straightedge", "leaves"},
    "coplanar": {"straightedge", "leaves"},
    "sweep": {"indicator"},
    "runout": {"indicator"},
    "tram": {"indicator"},
    "flip": {"leaves"},
    "five-cut": {"calliper"},
    "frame": {"leaves"},
    "diagonals": {"rule"},
    "edge-pair": {"leaves"},
    "thickness": {"calliper"},
    "snipe": {"calliper"},
    "drift-angle": {"rule"},
    "carry": {"rule"},
    "centres": {"calliper"},
    "taper": {"calliper"},
    "drilled-angle": {"rule"},
    "wind": {"leaves", "rule"},
    "timed": {"watch"},
    "square-flip": {"calliper"},
    "three-squares": {"leaves"},
    "three-straightedges": {"leaves"},
}
"""Tools of each method by the table in the sample shop file."""


@pytest.mark.parametrize("text", [*SHOPS.values(), whole_ways.shop()], ids=[*SHOPS, "all"])
def test_every_method_that_measures_tells_its_tools(tmp_path: Path, text: str) -> None:
    """By the sources of uncertainty that the method itself makes, at the points of each shop."""
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    shop = read_shop(path, registry.names()).shop
    tried = set()
    for point in shop.points.values():
        for name in point.checks:
            found = registry.method(name).best(job_for(shop, point, None)).budget.sources
            sorts = set(tools_used(with_budget(*(source.label for source in found))))
            assert MUST.get(name, set()) <= sorts, name
            assert bool(sorts) == bool(found), name
            tried.add(name)
    assert len(tried) >= 4
    assert text in SHOPS.values() or tried == set(registry.names())


def test_the_tools_of_typed_readings_are_named_by_the_drawer() -> None:
    worse = CALLIPER._replace(name="Worn calliper", limit=2 * CALLIPER.limit)
    drawer = TOOLS._replace(others=(worse, *TOOLS.others))
    told = ("calliper", "scale", "feel", "rule")
    budget = Budget(tuple(Source(one, one, 0.1) for one in told))
    leaves = drawer.feelers[0]
    assert tools_spoken_of(drawer, budget) == {
        leaves.id: leaves.name,
        CALLIPER.id: CALLIPER.name,
    }
    assert tools_spoken_of(drawer, Budget((Source("repeats", "usual scatter", 0.1),))) == {}
    record = result(1, 0.0, 1.0)._replace(readings={"tools": ["Dial calliper", "Leaves"]})
    assert tools_used(record) == ("Dial calliper", "Leaves")
