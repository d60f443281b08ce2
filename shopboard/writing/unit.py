"""Another unit of the shop: a length that was written without one gets the old one behind it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from shopboard.metrology.units import by_unit
from shopboard.shop.model import Shop
from shopboard.shop.problems import ShopFileError
from shopboard.shop.report import Path
from shopboard.writing.edits import Data, Put
from shopboard.writing.meant import Rules
from shopboard.writing.rewrite import InPlaceError, rewritten

_NUMBER = r"[+\d.,/ ¼-¾⅐-⅞-]*[\d¼-¾⅐-⅞]"
_BARE = re.compile(rf"\s*(?:±|\+/-)?{_NUMBER}(?:\s+to\s+{_NUMBER})?\s*")


def units_written(text: str, data: Data, rules: Rules, before: Shop) -> list[Put]:
    """Give the edits that write the unit behind each length that has none.

    A number is a length where the shop reads the same with the unit behind it.

    Args:
        text: of the file.
        data: its values.
        rules: what it is read by.
        before: the shop as it reads.
    """
    sign = by_unit(before.unit, "in", "mm")
    puts = [Put(path, f"{str(value).strip()} {sign}") for path, value in _bare(data, ())]
    return [one for one in puts if _reads_same(text, one, rules, before)]


def _bare(value: object, path: Path) -> Iterator[tuple[Path, object]]:
    """Give every number without a unit, with the way to it."""
    if isinstance(value, dict):
        for key, one in value.items():
            yield from _bare(one, (*path, key))
    elif isinstance(value, list):
        for index, one in enumerate(value):
            yield from _bare(one, (*path, index))
    elif _is_bare(value):
        yield path, value


def _is_bare(value: object) -> bool:
    if isinstance(value, str):
        return _BARE.fullmatch(value) is not None
    return isinstance(value, int | float) and not isinstance(value, bool)


def _reads_same(text: str, one: Put, rules: Rules, before: Shop) -> bool:
    try:
        return rules.read(rewritten(text, [one]).text).shop == before
    except (ShopFileError, InPlaceError):
        return False
