"""Pieces of work as a person does them in one go, and what their words say of the cutter. Pure.

Times are minutes of a person's work.
"""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from shopboard.shop.machine import CHANGED_BY, Point, Task

PieceSort = Literal["task", "cutter", "check"]

_CUTTER = r"(?:blade|band|knife|knives|bit|cutter|head)s?"
_OFF = re.compile(rf"\b{_CUTTER}\b[^,;.]*\b(?:off|out)\b|\b(?:take|lift)\b.*\b{_CUTTER}\b", re.I)
_ON = re.compile(rf"\b{_CUTTER}\b[^,;.]*\b(?:on|in|back)\b", re.I)
_FINISHES = re.compile(r"\b(?:wax|oil|polish|varnish)", re.I)
_DIRTY = re.compile(
    r"\b(?:empty|clean|brush|dust|sweep|vacuum|scrape|hone|grind|pitch|chips?)\b", re.I
)

_GRINDS, _HONES = re.compile(r"\bgrind", re.I), re.compile(r"\b(?:hone|strop)", re.I)
_LONG_WORDS = re.compile(r"\w{5,}")


class Piece(NamedTuple):
    """Something to do in one go."""

    id: str
    sort: PieceSort
    machine: str
    """Id of its machine."""
    name: str
    """Name of the task or the point, or what becomes of the cutter."""
    minutes: float
    words: str = ""
    """What is done: the words of its first step, of a whole task its name."""
    why: str = ""
    target: str = ""
    """Id of the task or the cutter, full name of the point."""
    steps: tuple[int, int] = (0, 0)
    """First and last step of a task, from 1; (0, 0): it has none."""
    of: int = 0
    """Steps of the whole task."""
    wait: float = 0.0
    """Minutes that it is left alone afterwards."""
    act: str = ""
    """What is done with a cutter: ``put on``, ``turn``; empty: a change is under way."""


def takes_cutter_off(task: Task) -> tuple[int, int] | None:
    """Give the numbers of the steps that take the cutter off and put it on again, from 1.

    Told by their words, where hands come near the cutter: ``Blade off, flat on a tray``. Without
    a step that puts it on, it is out until the last one.
    """
    if not task.cutter_near:
        return None
    offs = [n for n, step in enumerate(task.steps, 1) if _OFF.search(step.words)]
    if not offs:
        return None
    ons = [n for n, step in enumerate(task.steps, 1) if n > offs[0] and _ON.search(step.words)]
    return offs[0], ons[-1] if ons else len(task.steps)


def stretches(task: Task, done: int) -> list[tuple[int, int]]:
    """Give the steps left in stretches between waits, as (first, last), from 1.

    A task without steps is (0, 0); one whose last wait is running has only its end left, which
    comes as a stretch of no steps.
    """
    if not task.steps:
        return [(0, 0)]
    found, first = [], done + 1
    for number in range(done + 1, len(task.steps) + 1):
        if task.steps[number - 1].wait_minutes or number == len(task.steps):
            found.append((first, number))
            first = number + 1
    if task.steps[-1].wait_minutes:
        found.append((len(task.steps) + 1, len(task.steps)))
    return found


def rank(task: Task) -> int:
    """0: it makes dirt, 1: it does not matter, 2: it wants a clean machine and stays on it."""
    words = " ".join((task.name, *(step.words for step in task.steps)))
    if _FINISHES.search(task.name) or _FINISHES.search(words):
        return 2
    return 0 if _DIRTY.search(words) else 1


def undoes_edge(task: Task, other: Task) -> bool:
    """Tell whether a task spoils what another one did to the same edges: grinding, the honing.

    Told by their names: ``Grind the chisels anew`` and ``Hone the chisels``.
    """
    if not (_GRINDS.search(task.name) and _HONES.search(other.name)):
        return False
    return bool(
        {*_LONG_WORDS.findall(task.name.lower())} & {*_LONG_WORDS.findall(other.name.lower())}
    )


def cutter_is_off(point: Point) -> bool:
    """Tell whether a check is made with the cutter off: ``arbor flange, blade off``."""
    if not point.cutter_near:
        return False
    return bool(_OFF.search(f"{point.geometry.datum}, {point.geometry.face}"))


def undone_by_change(point: Point) -> bool:
    """Tell whether taking the cutter off and putting it on again undoes a check."""
    return not {*CHANGED_BY.values()}.isdisjoint(point.undone_by)
