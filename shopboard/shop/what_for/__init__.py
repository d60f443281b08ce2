"""What every key of the shop file is for, in words, table by table.

What may stand there, and whether it must, its reader declares; a test holds that each key that a
reader knows is told here, and no other.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from shopboard.shop.allowed import Allowed
from shopboard.shop.what_for.of_adjusters import OF_ADJUSTERS
from shopboard.shop.what_for.of_drawer import OF_DRAWER
from shopboard.shop.what_for.of_machines import OF_MACHINES
from shopboard.shop.what_for.of_points import OF_POINTS
from shopboard.shop.what_for.of_projects import OF_PROJECTS
from shopboard.shop.what_for.of_shop import OF_SHOP
from shopboard.shop.what_for.of_upkeep import OF_UPKEEP
from shopboard.shop.what_for.told import Page, WhatFor

PAGES: Mapping[str, Page] = {
    **OF_SHOP,
    **OF_DRAWER,
    **OF_MACHINES,
    **OF_POINTS,
    **OF_ADJUSTERS,
    **OF_UPKEEP,
    **OF_PROJECTS,
}
"""What is told of every table, by its name."""


def name_of(header: str) -> str:
    """Give the name of a table by its header: ``machine.point``."""
    found = re.match(r"\[*([a-z._]*)", header)
    return found[1] if found else ""


def told_of(header: str, key: str) -> WhatFor:
    """Give what is told of a key of a table."""
    return PAGES[name_of(header)][key]


def example_of(header: str, key: str, allowed: Allowed) -> str:
    """Give a value that would do there, as the file has it, for both shops (`own_words`)."""
    return told_of(header, key).example or allowed.example
