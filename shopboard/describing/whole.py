"""All the questions of a shop in their order, and what their answers come to."""

from __future__ import annotations

from ast import literal_eval
from collections.abc import Mapping
from datetime import date
from functools import lru_cache, partial

from shopboard.base.text import counted
from shopboard.describing.ask import choice
from shopboard.describing.chosen import ChosenShop, Described, described
from shopboard.describing.here import Here
from shopboard.describing.of_cutters import cutters_of
from shopboard.describing.of_points import points_of
from shopboard.describing.of_shop import head_of, machines_of
from shopboard.describing.of_tasks import tasks_of
from shopboard.describing.of_tools import tools_of
from shopboard.describing.reading import NotRightError, read_back
from shopboard.describing.talk import Asking, Begin, Talk
from shopboard.prep.first_look import helping, unproven, usual_unproven
from shopboard.shop.model import Shop
from shopboard.shop.problems import ShopFileError
from shopboard.usual.build import NewTool
from shopboard.usual.parts import Fineness


def questions(here: Here, today: date) -> Begin:
    """Give what begins the questions.

    Args:
        here: what is usual where this computer stands.
        today: the day.
    """

    def begin(hurried: bool) -> tuple[Talk, Asking[object]]:
        talk = Talk(here.unit, here.money, today, hurried=hurried)
        return talk, _whole(talk)

    return begin


def _whole(talk: Talk) -> Asking[Described]:
    shop = yield from head_of(talk)
    shop.machines = yield from machines_of(talk)
    talk.part = "what measures"
    shop.tools = yield from tools_of(talk)
    for number, one in enumerate(shop.machines, 1):
        talk.part = f"machine {number} of {len(shop.machines)}"
        yield from points_of(talk, one, partial(_takes, shop))
        yield from cutters_of(talk, one, shop.machines[: number - 1])
        yield from tasks_of(talk, one)
    talk.part = "all of it"
    yield from choice(
        "write",
        f"{shop.name}: write this file?",
        {"write": "write the shop file and open the board"},
        "write",
        *([] if talk.hurried else _cannot(shop)),
    )
    return described(shop)


_NAMED = 3
"""Points and tools that are named, of those that cannot be proven and of those that would help."""


@lru_cache(maxsize=256)
def _unproven(tools: str, kind: str, fineness: Fineness) -> Mapping[str, str]:
    unit, told = literal_eval(tools)
    return usual_unproven(kind, [NewTool(*one) for one in told], unit, fineness)


def _takes(shop: ChosenShop, kind: str, fineness: Fineness) -> Mapping[str, str]:
    """Give what it takes to prove each usual point of a sort of machine, worked out once."""
    tools = [(one.sort, dict(one.says), one.prove_first) for one in shop.tools]
    try:
        return _unproven(repr((shop.unit, tools)), kind, fineness)
    except ShopFileError:  # told in the end, when all of it is read
        return {}


def _unsure(shop: ChosenShop) -> bool:
    """Tell whether nobody vouches for one of the tools."""
    return any(one.prove_first for one in shop.tools)


def _cannot(shop: ChosenShop) -> list[str]:
    """Say what cannot be proven, and what would help."""
    try:
        read = read_back(described(shop))
    except NotRightError as error:
        return ["It cannot be written like this; - goes back:", *str(error).split("\n")]
    tasks = sum(len(one.tasks) for one in read.machines)
    counts = (counted(len(read.points), "point"), counted(tasks, "task"))
    machines = counted(len(shop.machines), "machine")
    bench = " and the bench where tools are proven" if read.machines[len(shop.machines) :] else ""
    lines = [f"{machines}{bench}, {' and '.join(counts)}.", ""]
    if not shop.tools:
        return [*lines, "You told of no tool that measures: only what is looked at can be checked."]
    takes = {name: what for name, what in unproven(read).items() if what}
    if not takes:
        first = ", once they are proven themselves: that comes first" if _unsure(shop) else ""
        return [*lines, f"Your tools can prove all of it{first}."]
    lines.append(f"Your tools cannot prove {len(takes)} of the points:")
    lines += [f"{_named(read, name)}: {what}." for name, what in list(takes.items())[:_NAMED]]
    if len(takes) > _NAMED:
        lines.append(f"And {len(takes) - _NAMED} more.")
    helps = helping(read)[:_NAMED]
    return [*lines, *(f"With {one.words} they can prove {len(one.points)} more." for one in helps)]


def _named(shop: Shop, name: str) -> str:
    point = shop.points[name]
    return f"{shop.machines_by_id[point.machine].name}, {point.name}"
