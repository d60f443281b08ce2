"""A usual tool that is added stands in a file that the shop's own reader takes."""

from __future__ import annotations

import pytest

from shopboard.checks import registry
from shopboard.metrology.quantity import Unit
from shopboard.shop.reader import read_shop_text
from shopboard.usual.build import NewMachine, NewPoint, NewShop, NewTool, build
from shopboard.usual.offered import usual_tools
from shopboard.usual.tools import tools
from shopboard.writing.new_file import text

_MACHINE = NewMachine("table saw", "saw", "Table saw", [NewPoint("riving-knife")])
SORTS = [one.sort for one in tools("mm")]


@pytest.mark.parametrize("unit", ["inch", "mm"])
@pytest.mark.parametrize("sort", SORTS)
def test_each_is_read_and_none_is_offered_twice(sort: str, unit: Unit) -> None:
    offered = list(usual_tools(sort, unit))
    assert offered
    assert len(dict(offered)) == len(offered)
    for words, says in offered:
        shop = NewShop("Shop", unit, [_MACHINE], [NewTool(sort, says)])
        made = text(build(shop))
        read = read_shop_text(made, "shop.toml", registry.names(), registry.facts())
        assert read.warnings == (), words
