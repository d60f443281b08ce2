"""What a method says of itself to a person, held against what it works out."""

from __future__ import annotations

import pytest

from shopboard.checks import registry
from shopboard.checks.explained import explained
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.shop.read_machines import SIZES


@pytest.mark.parametrize("name", registry.names())
def test_every_method_says_what_it_proves_and_what_its_sign_means(name: str) -> None:
    told = explained(name)
    assert told.finds
    assert not told.finds.endswith(".")
    assert bool(told.signs) == (registry.method(name).kind not in YES_NO_WORDS)
    assert all(one.startswith(("plus", "minus", "it is ")) for one in told.signs)
    assert {*told.sizes} <= {*SIZES}


SIGNS: dict[str, tuple[str, dict[str, str]]] = {
    "square": (
        "light shows at the top",
        {"goes": "3thou", "refused": "4thou", "lever": "6in", "light": "top"},
    ),
    "snipe": ("an end is cut deeper", {"middle": "20mm", "lead": "19.8mm", "tail": "20mm"}),
    "three-squares": (
        "light at the top",
        {"ab": "1mm/m", "ac": "1mm/m", "bc": "0mm/m"},
    ),
    "three-straightedges": ("it is hollow", {"ab": "0.2mm", "ac": "0.2mm", "bc": "0mm"}),
}


@pytest.mark.parametrize("name", SIGNS)
def test_plus_is_what_it_says(name: str) -> None:
    """By a reading that shows just that, worked out without a shop."""
    words, values = SIGNS[name]
    plus = next(one for one in explained(name).signs if one.startswith("plus"))
    assert words in plus
    assert registry.method(name).reckon(values).estimate.error > 0
