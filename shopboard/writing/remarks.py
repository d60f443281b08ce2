"""Short remarks beside what is written anew, as a careful person writes them: each one once.

What a setting is for at length is told by `shopboard explain`; here stands what the next one who
opens the file would otherwise ask.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from shopboard.usual.lookup import FILES, machine

WIDEST = 100
"""Columns of a line with a remark behind it."""

_HOW_FAR = "how far it may be off, either way"
_UNSURE = f"{_HOW_FAR}: wide where nobody is sure, until it is proven"

BEHIND: Mapping[str, str] = {
    "shop.unit": "what a bare number means, and what the board shows",
    "shop.money": "what costs are counted in",
    "shop.hours": "when you are there: prep days are planned into it",
    "drawer.square.length": "of its blade",
    "drawer.square.grade": "DIN 875-1",
    "drawer.square.within": _UNSURE,
    "drawer.square.certified": "plus: it shows light at the top against a true face",
    "drawer.square.certified_to": "its uncertainty, k = 2",
    "drawer.feeler.leaf_tolerance": "how far a leaf may be off what is marked on it",
    "drawer.feeler.most_leaves": "in one stack",
    "drawer.straightedge.reach": "its length",
    "drawer.straightedge.within": _UNSURE,
    "drawer.indicator.reach": "its travel",
    "drawer.indicator.within": f"{_HOW_FAR}, in one turn of the dial",
    "drawer.calliper.reach": "how far it opens",
    "drawer.calliper.within": _HOW_FAR,
    "drawer.tape.reach": "its length",
    "machine.body": "the same words at each of its modes",
    "machine.change": "to change over into this mode",
    "machine.point.check": "how it is proven; of several, the first is offered first",
    "machine.point.proves": "the tool proven here: from then on what was found counts",
    "machine.point.datum": "what the square stands on, or what is measured from",
    "machine.point.face": "what its blade touches, or what is looked at",
    "machine.point.lever": "how far from the corner a leaf is tried: the longer, the finer",
    "machine.point.turn": "the square is turned over, and its own error cancels out",
    "machine.point.light_at_top": "what light there means, or an error with plus",
    "machine.point.light_at_bottom": "the same at the bottom, or with minus",
    "machine.point.light_at_tip": "the tip is the free end of the blade",
    "machine.point.tolerance": "how far off it may be",
    "machine.point.every": "check it again by then, whatever happens",
    "machine.point.undone_by": "check it again after these",
    "machine.point.rests_on": "depends on these: they are checked first",
    "machine.point.cutter_near": "the check begins with the plug in your hand",
    "machine.point.cutter_off": "it is checked with the cutter off",
    "machine.point.guards": "it proves what guards you: it comes first where time is short",
    "machine.point.lock": "what to lock after setting it",
    "machine.point.shows_in": "where in the work its error shows",
    "machine.point.sizes": "Sizes that are the same every time, so that Enter takes them.",
    "machine.point.adjuster": "What sets it.",
    "machine.point.adjuster.arm": "from the pivot, or the snug bolt, to where it is moved",
    "machine.point.adjuster.clockwise": "what a clockwise turn does to the top, or to the value",
    "machine.point.adjuster.backlash": "turn so much too far, and come back",
    "machine.point.adjuster.span": "between the two seats",
    "machine.task.minutes": "of work, waits not counted",
    "machine.task.every": "due again then; of several, whichever comes first",
    "machine.task.after": "due at once after these",
    "machine.task.leaves": "what it leaves on the machine: dirt goes first, wax comes last",
    "machine.task.undoes": "done before these",
    "machine.task.before": "done before these tasks, and before these cutters are changed",
    "machine.cutter.where": "when this was written; from then on the records say",
    "machine.cutter.like": "how it is changed, and what that undoes",
    "machine.cutter.lasts": "how long an edge stays sharp",
    "machine.cutter.sharpenings": "how often it can still be sharpened; 0: it is thrown away",
    "machine.cutter.cost": "of a sharpening, or of a new one where it is thrown away",
    "machine.cutter.away": "to be sharpened, or until a new one comes",
    "machine.cutter.spare_for": "whose work it can do, too",
    "machine.cutter.serves": "other modes that it cuts in",
    "machine.cutter.plate": "the riving knife is asked for by plate and kerf",
    "project.start": "the day its wood is cut",
    "project.joint.count": "how many alike",
    "project.joint.alternate": "faces are alternated, so that one error cancels the next",
    "project.joint.made_on": "Where each cut is made.",
    "project.joint.fit": "How well it should fit.",
}
"""Behind a setting or above the header of a table, by the names on the way to it."""


class Remarks:
    """Gives each remark the first time that it is asked for."""

    def __init__(self, told: Iterable[str] = (), kind: str = "") -> None:
        self._told = set(told)
        """Names of settings that stand in the file already."""
        self._kind = kind
        """Of the machine whose points are written."""

    def once(self, names: str) -> str:
        """Give what is told of a setting or a table; nothing the next time."""
        if names in self._told:
            return ""
        self._told.add(names)
        return BEHIND.get(names, "")

    def above(self, names: str, table: Mapping[str, Any]) -> str:
        """Give what stands above a table."""
        if names == "machine":
            self._kind = str(table.get("kind", ""))
        elif names == "machine.point" and self._kind in FILES:
            usual = machine(self._kind).point(str(table.get("id", "")))
            return usual.remark if usual else ""
        return self.once(names)


def told_in(data: object, names: str = "") -> Iterator[str]:
    """Give the names of all settings and tables that some data has."""
    if isinstance(data, Mapping):
        for key, value in data.items():
            name = f"{names}.{key}" if names else str(key)
            yield name
            yield from told_in(value, name)
    elif isinstance(data, list):
        for one in data:
            yield from told_in(one, names)


def with_remark(lines: list[str], words: str) -> list[str]:
    """Put a remark behind a line, or above several and above one that it would make too long."""
    if not words:
        return lines
    behind = f"{lines[0]}  # {words}"
    return [behind] if not lines[1:] and len(behind) <= WIDEST else [f"# {words}", *lines]
