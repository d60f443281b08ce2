"""What is taken for a shop by the language that a computer is set to.

The codes of countries are those of ISO 3166-1. By CLDR's supplemental data (from memory) all of
the world measures in metres but the United States, Liberia and Myanmar; that shops in Canada
measure in inches is common practice, no source.
"""

from __future__ import annotations

import pytest

from shopboard.describing.here import Here, here, of_locale


@pytest.mark.parametrize(
    ("name", "unit", "money"),
    [
        ("en_US.UTF-8", "inch", "dollars"),
        ("fr_CA", "inch", "dollars"),
        ("en_GB.UTF-8", "mm", "pounds"),
        ("de_AT@euro", "mm", "euros"),
        ("sv_SE", "mm", "kr"),
        ("sr_Latn_RS.UTF-8", "mm", "money"),
        ("C", "inch", ""),
        ("", "inch", ""),
        ("German_Germany", "inch", ""),
    ],
)
def test_a_locale_tells_unit_and_money(name: str, unit: str, money: str) -> None:
    assert of_locale(name) == (unit, money)


def test_the_first_setting_that_is_there_counts() -> None:
    """By POSIX.1-2017, 8.2: LC_ALL, then the category, then LANG; an empty one is none."""
    told = {"LANG": "en_US.UTF-8", "LC_MONETARY": "de_DE.UTF-8", "LC_ALL": ""}
    assert here(told) == Here("inch", "euros")
    assert here({**told, "LC_MEASUREMENT": "en_GB"}) == Here("mm", "euros")
    assert here({**told, "LC_ALL": "ja_JP.UTF-8"}) == Here("mm", "yen")
