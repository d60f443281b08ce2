"""The order in which keys are written is that of the sample shop, and no key is missing in it."""

from __future__ import annotations

import re
import tomllib
from itertools import combinations

import pytest

from shopboard.shop import read_project
from shopboard.shop.read_machines import FLAT_LIGHT
from shopboard.shop.table import READERS, keys_of
from shopboard.writing.order import ORDER, names_of, rank
from tests.whole_shop import WHOLE_SHOP
from tests.writing.test_any_spelling import paths

assert read_project, "it declares its own readers"


def by_names() -> dict[str, set[str]]:
    """Give every key that a reader knows, by the names in its header."""
    found: dict[str, set[str]] = {}
    for header in READERS:
        names = re.match(r"\[+([a-z_.]+)\]+", header)
        assert names, header
        found.setdefault(names[1], set()).update(keys_of(header))
    return found


@pytest.mark.parametrize("names", by_names())
def test_every_key_that_is_read_has_its_place(names: str) -> None:
    keys = by_names()[names] | (set(FLAT_LIGHT) if names == "machine.point" else set())
    assert set(ORDER[names]) == keys
    assert len(ORDER[names]) == len(keys)


def test_the_sample_has_them_in_that_order() -> None:
    """But for sizes that it has both ways, as each method and each kind of joint names them."""
    data = tomllib.loads(WHOLE_SHOP.read_text(encoding="utf-8"))
    tables = [(path, one) for path, one in paths(data) if isinstance(one, dict)]
    assert len(tables) > 150
    pairs = {
        (names_of(path), key, after): rank(path, key) < rank(path, after)
        for path, table in [((), data), *tables]
        for key, after in combinations(table, 2)
    }
    assert not [
        one for one, right in pairs.items() if not right and (one[0], one[2], one[1]) not in pairs
    ]
