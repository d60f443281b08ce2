"""What the tools of a shop can prove, what would help, and what to check first: before any record.

A tool that a point of the shop proves counts as proven, as well as that can be.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from itertools import combinations, islice
from typing import Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks import registry
from shopboard.checks.ranking import Rank, nearest_to_proof, rank
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import own_words
from shopboard.prep.minutes import usual_minutes
from shopboard.results.references import NORMAL_K
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from shopboard.sittings.point_job import job_for
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import Past
from shopboard.usual.build import NewMachine, NewPoint, NewShop, NewTool, build
from shopboard.usual.lookup import machine as usual_machine
from shopboard.usual.parts import Fineness
from shopboard.usual.tools import tools as usual_tools
from shopboard.writing.new_file import text

_SORTS = {
    "square": "square",
    "leaves": "feeler",
    "straightedge": "straightedge",
    "calliper": "calliper",
    "indicator": "indicator",
}
"""The sort of a tool in the drawer, by the word that methods declare it with."""


class Helping(NamedTuple):
    """What would let more points be proven."""

    tools: tuple[str, ...]
    """Sorts of tools, all of them needed: ``indicator``."""
    words: str
    """As they are asked for: ``a dial indicator``."""
    points: tuple[str, ...]
    """Full names of the points that could be proven then."""


class FirstCheck(NamedTuple):
    """A check to begin with."""

    point: Point
    minutes: float


def read(data: Mapping[str, Any]) -> Shop:
    """Read the data of a shop file as the program reads the file.

    Raises:
        ShopFileError: with everything that is wrong in it.
        NotWritableError: when it is no data of such a file.
    """
    return read_shop_text(text(data), "shop.toml", registry.names(), registry.facts()).shop


def unproven(shop: Shop) -> dict[str, str]:
    """Say of each point, by its full name, what it takes to prove it; empty: its tools can."""
    shop = replace(shop, drawer=_as_proven(shop))
    return {name: _takes(_ranks(shop, point)) for name, point in shop.points.items()}


def usual_unproven(
    kind: str, tools: Sequence[NewTool], unit: Unit, fineness: Fineness = "furniture"
) -> dict[str, str]:
    """Say of each usual point of a sort of machine, by its id, what it takes to prove it."""
    usual = usual_machine(kind)
    points = [NewPoint(one.id, fineness) for one in usual.points]
    new = NewMachine(kind, usual.id, usual.name, points)
    shop = read(build(NewShop("Shop", unit, [new], tools)))
    found = unproven(shop)
    return {one.id: found[f"{usual.id}.{one.id}"] for one in usual.points}


def _ranks(shop: Shop, point: Point) -> tuple[Rank, ...]:
    return rank(job_for(shop, point, None), point.checks)


def _takes(ranks: Sequence[Rank]) -> str:
    if any(one.proves for one in ranks):
        return ""
    return nearest_to_proof(ranks).help or "a wider tolerance"


def _as_proven(shop: Shop) -> Drawer:
    """Give the drawer as it is once its tools are proven that a point of the shop proves."""
    drawer = shop.drawer
    for point in sorted(shop.points.values(), key=lambda one: "square" in one.proves):
        if not point.proves:
            continue
        ranks = _ranks(replace(shop, drawer=drawer), point)
        bests = [one.expanded for one in ranks if one.best is not None]
        if not bests:
            continue
        squares = tuple(
            one._replace(limit=0.0, known_error=0.0, known_u=min(bests) / NORMAL_K)
            if one.id == point.proves and min(bests) / NORMAL_K < one.u
            else one
            for one in drawer.squares
        )
        others = tuple(
            one._replace(limit=min(one.limit, min(bests))) if one.id == point.proves else one
            for one in drawer.others
        )
        drawer = drawer._replace(squares=squares, others=others)
    return drawer


def helping(shop: Shop) -> tuple[Helping, ...]:
    """Give which usual tools would let more points be proven, those that help most first."""
    shop = replace(shop, drawer=_as_proven(shop))
    more = _usual_drawer(shop.unit)
    found: dict[tuple[str, ...], list[str]] = {}
    for name, point in shop.points.items():
        if _takes(_ranks(shop, point)):
            sorts = _that_would_do(shop, point, more)
            if sorts:
                found.setdefault(sorts, []).append(name)
    wanted = {one.sort: own_words(one.wanted, shop.unit) for one in usual_tools(shop.unit)}
    helps = [
        Helping(sorts, " and ".join(wanted[one] for one in sorts), tuple(points))
        for sorts, points in found.items()
    ]
    return tuple(sorted(helps, key=lambda one: -len(one.points)))


def _usual_drawer(unit: Unit) -> Drawer:
    tools = [NewTool(one.sort, one.table(unit)) for one in usual_tools(unit)]
    bench = NewMachine("", "bench", "Bench")
    return read(build(NewShop("Shop", unit, [bench], tools))).drawer


def _that_would_do(shop: Shop, point: Point, more: Drawer) -> tuple[str, ...]:
    """Give the fewest usual tools with which a point could be proven; none where none would do."""
    words = " ".join(registry.method(name).tools for name in point.checks)
    needed = [sort for word, sort in _SORTS.items() if re.search(rf"\b{word}\b", words)]
    for number in range(1, len(needed) + 1):
        for sorts in combinations(needed, number):
            drawer = _with(shop.drawer, more, sorts)
            if not _takes(_ranks(replace(shop, drawer=drawer), point)):
                return sorts
    return ()


def _with(drawer: Drawer, more: Drawer, sorts: Sequence[str]) -> Drawer:
    return drawer._replace(
        squares=(*drawer.squares, *(more.squares if "square" in sorts else ())),
        feelers=(*drawer.feelers, *(more.feelers if "feeler" in sorts else ())),
        others=(*drawer.others, *(one for one in more.others if one.kind in sorts)),
    )


def first_checks(shop: Shop, most: int = 3) -> tuple[FirstCheck, ...]:
    """Give what to check first: tools that are to be proven, then what most others rest on.

    Of the tools that which is proven soonest: a square takes a board and a knife, a straightedge
    two more of them.
    """
    order = shop_standing(shop, Past(), datetime.min.replace(tzinfo=UTC)).order

    def rank_of(name: str) -> tuple[bool, float]:
        point = shop.points[name]
        return not point.proves, _minutes(point) if point.proves else 0.0

    names = sorted(order, key=rank_of)
    with_proven = replace(shop, drawer=_as_proven(shop))
    points = (shop.points[name] for name in names)
    can = (one for one in points if not _takes(_ranks(with_proven, one)))  # no more than are asked
    return tuple(FirstCheck(one, _minutes(one)) for one in islice(can, most))


def _minutes(point: Point) -> float:
    return point.minutes or usual_minutes(point)
