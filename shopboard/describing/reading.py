"""What was told, as the text of a shop file, proofread by the shop's own reader."""

from __future__ import annotations

from functools import lru_cache

from shopboard.checks import registry
from shopboard.describing.chosen import Described
from shopboard.shop.model import Shop
from shopboard.shop.problems import ShopFileError
from shopboard.shop.reader import read_shop_text
from shopboard.usual.build import build
from shopboard.writing.new_file import text


class NotRightError(Exception):
    """What was told makes no shop file; one sentence a line says why."""


def file_text(told: Described) -> str:
    """Give the text of the shop file."""
    return text(build(told.shop))


def read_back(told: Described) -> Shop:
    """Read it as the board will.

    Raises:
        NotRightError: with the reader's words.
    """
    return _read(file_text(told))


@lru_cache(maxsize=4)
def _read(made: str) -> Shop:
    try:
        return read_shop_text(made, "shop.toml", registry.names(), registry.facts()).shop
    except ShopFileError as error:
        told = [one.sentence for one in error.problems if one.severity == "error"]
        raise NotRightError("\n".join(told[:5])) from None
