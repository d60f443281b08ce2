"""What the words of a shop file tell where no key does: a cutter that comes off, dirt, wax, edges.

They are those of English; the keys tell it in any language. This is the one place that reads words
so: whatever comes after the shop file goes by the fields of the model.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import cast

from shopboard.metrology.adjuster import Side
from shopboard.shop.machine import CutterMove, Leaves, Task, TaskStep

_CUTTER = r"(?:blade|band|knife|knives|bit|cutter|head)s?"
_OFF = rf"\b{_CUTTER}\b[^,;.]*\b(?:off|out)\b|\b(?:take|lift)\b.*\b{_CUTTER}\b"
_ON = rf"\b{_CUTTER}\b[^,;.]*\b(?:on|in|back)\b"
_COATS = r"\b(?:wax|oil|polish|varnish)"
_DIRTY = r"\b(?:empty|clean|blow|brush|dust|sweep|vacuum|scrape|hone|grind|pitch|chips?)\b"
_GRINDS, _HONES = r"\bgrind", r"\b(?:hone|strop)"
_LONG_WORDS = r"\w{5,}"


def cutter_moves(steps: Sequence[TaskStep]) -> tuple[TaskStep, ...]:
    """Tell of each step whether the cutter comes off in it: ``Blade off, flat on a tray``.

    It is on again in a later one alone.
    """
    first = next((at for at, one in enumerate(steps) if _says(_OFF, one.words)), len(steps))

    def move(at: int, words: str) -> CutterMove:
        if at == first:
            return "off"
        return "on" if at > first and _says(_ON, words) else "stays"

    return tuple(one._replace(cutter=move(at, one.words)) for at, one in enumerate(steps))


def what_is_left(task: Task) -> Leaves:
    """Tell what a task leaves on its machine, by all of its words."""
    words = " ".join((task.name, *(step.words for step in task.steps)))
    if _says(_COATS, words):
        return "wax"
    return "dirt" if _says(_DIRTY, words) else "nothing"


def undone_tasks(task: Task, others: Iterable[Task]) -> tuple[str, ...]:
    """Give the ids of tasks whose work another one undoes at the same edges: grinding, honing.

    Told by their names: ``Grind the gouges anew`` and ``Hone the gouges``.
    """
    if not _says(_GRINDS, task.name):
        return ()
    mine = _long_words(task.name)
    return tuple(
        one.id
        for one in others
        if one.id != task.id and _says(_HONES, one.name) and mine & _long_words(one.name)
    )


def says_cutter_off(*words: str) -> bool:
    """Tell whether a check is made with the cutter off: ``arbor flange, blade off``."""
    return _says(_OFF, ", ".join(words))


def side_in(words: str) -> Side:
    """Give the side that words name; empty: none, or both."""
    found = {side.lower() for side in re.findall(r"\b(?:left|right)\b", words, re.IGNORECASE)}
    return cast(Side, found.pop()) if len(found) == 1 else ""


def side_of_datum(datum: str, face: str) -> Side:
    """Give the side of the face on which its datum is: ``table, right of the blade``.

    A fence that stands right of a slot has the slot on its left.
    """
    return opposite(side_in(face)) if is_slot(face) else side_in(datum)


def opposite(side: Side) -> Side:
    """Give the other side."""
    return {"left": "right", "right": "left", "": ""}[side]  # type: ignore[return-value]


def is_slot(datum: str) -> bool:
    """Tell whether something is a slot, or is told by one."""
    return "slot" in datum.lower()


def side_in_name(name: str) -> Side:
    """Give the side on which a part is that bears it in its name: ``the left post``."""
    left, right = "left" in name.lower(), "right" in name.lower()
    return "" if left == right else "left" if left else "right"


def _says(pattern: str, words: str) -> bool:
    return re.search(pattern, words, re.IGNORECASE) is not None


def _long_words(name: str) -> set[str]:
    return {*re.findall(_LONG_WORDS, name.lower())}
