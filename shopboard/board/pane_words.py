"""What there is to say of a machine on the board: only what is not as it should be. Pure.

What is true is a count.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import said, wrap
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.wording import share
from shopboard.standing.model import RANKS, MachineStanding, PointStanding
from shopboard.upkeep.cutter_words import blunt_words, due_off_mark
from shopboard.upkeep.safety_record import round_words, wrong_words


class Item(NamedTuple):
    """One thing that is not as it should be."""

    mark: str
    """One character; empty: none."""
    head: str
    """What it is about."""
    rest: str = ""
    """Why, where there is room."""
    style: str = ""
    """Of the mark; of the words, too, where it comes first."""
    first: bool = False
    """Whether it is never pushed out."""

    @property
    def words(self) -> str:
        """What it is about, and why."""
        return f"{self.head}: {self.rest}" if self.rest else self.head

    def rows(self, width: int, *, whole: bool = True) -> list[str]:
        """Break it into rows of so many columns; without `whole` what it is about alone."""
        indent = "  " if self.mark else ""
        words = self.words if whole else self.head
        return [f"{indent}{row}" for row in wrap(words, width - len(indent))]


def comes_first(standing: MachineStanding, going: Sequence[str], now: datetime) -> Iterator[Item]:
    """Give what is never pushed out: the tag's reason, what is in progress, what a round found."""
    if standing.tag:
        yield Item("", said(standing.tag), style="danger", first=True)
    if standing.changing is not None:
        words = f"{standing.changing.what.upper()} IN PROGRESS"
        yield Item("", words, style="danger", first=True)
    for words in going:
        yield Item("»", said(words), style="due", first=True)
    if standing.round is not None and standing.round.wrong:
        words = wrong_words(standing.round, now, standing.tag)
        if words:
            yield Item("!", said(words), style="out", first=True)


def open_items(standing: MachineStanding, *, fresh: bool = False) -> Iterator[Item]:
    """Give what is open, the worst first: points, dull cutters, tasks that are due.

    In a fresh shop dull cutters alone: all else is a count.
    """
    if fresh:
        yield from _blunt(standing)
        return
    for one in sorted(standing.points, key=lambda point: RANKS[point.state]):
        if one.is_open:
            style = "" if standing.tag else one.state  # no green on what is not to be used
            rest = ", ".join(filter(None, (said(one.reason), used_words(one))))
            yield Item(STATE_MARKS[one.state], said(one.point.name), rest, style)
    yield from _blunt(standing)
    for task in standing.to_do:
        if task.begun is None:
            yield Item(STATE_MARKS["due"], said(task.task.name), said(task.reason), "due")


def _blunt(standing: MachineStanding) -> Iterator[Item]:
    for one in standing.due_off:
        yield Item(due_off_mark(one), said(blunt_words(one)), style="due")


def worst_of(standing: MachineStanding) -> str:
    """Name why a machine stands as it does, in a few words; empty where nothing is open."""
    first = next(open_items(standing), None)
    return said(standing.tag) or (first.head if first is not None else "")


def used_words(point: PointStanding) -> str:
    """Say how much of the tolerance an error uses that is out or close to it."""
    judged = point.point.tolerance.kind not in YES_NO_WORDS
    if point.used is None or not judged or point.state not in ("out", "near"):
        return ""
    return f"{share(point.used)} of tolerance"


def _to_begin(standing: MachineStanding) -> str:
    """Count what there is to check and to do, where nothing is known yet."""
    tasks = len(standing.to_do)
    counts = [f"{standing.to_check} to check"] if standing.points else []
    return " · ".join([*counts, f"{tasks} to do"] if tasks else counts)


def counted_words(standing: MachineStanding, *, fresh: bool = False) -> str:
    """Count what is as it should be, in a fresh shop what there is to begin with.

    Nothing of a machine that is not to be used.
    """
    if fresh:
        return _to_begin(standing)
    if standing.tag:
        return ""
    true = sum(one.state == "true" for one in standing.points)
    noted = sum(one.state == "noted" for one in standing.points)
    words = []
    if true:
        others = len(standing.points) - noted - true
        single = "1 other true" if true == 1 else f"{true} others true"
        words.append(single if others else f"all {true} true" if true > 1 else "1 true")
    if noted:
        words.append(f"{noted} noted" if true else "only notes: nothing is judged")
    if not standing.points:
        words.append("" if standing.to_do else _without_points(standing))
    return ", ".join(filter(None, words))


def _without_points(standing: MachineStanding) -> str:
    return "all tasks done" if standing.tasks else "no points in the shop file"


def good_to_know(standing: MachineStanding, short: str, now: datetime) -> Iterator[str]:
    """Give what is good to know where there is room: its name, what comes next, the round."""
    yield from _name(standing, short)
    if standing.tag:
        return
    dates = [(one.due_on, one.point.name) for one in standing.points if one.due_on is not None]
    dates += [(one.due_on, one.task.name) for one in standing.tasks if one.due_on is not None]
    coming = min((one for one in dates if one[0] > now), default=None)
    if coming is not None and standing.state in ("true", "noted", "kept"):
        yield f"next due {day(coming[0])}: {said(coming[1])}"
    if standing.round is not None and not standing.round.wrong:
        yield said(f"safety walk: {round_words(standing.round, now)}")


def _name(standing: MachineStanding, short: str) -> list[str]:
    """Give the machine's name in full, where it is another one than stands above."""
    name = said(standing.machine.name)
    return [name] if name.upper() != short else []
