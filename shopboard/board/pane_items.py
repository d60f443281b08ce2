"""What a pane says under its machine's name and state: only what is not as it should be. Pure.

What comes first is never pushed out: why it is not to be used, what is in progress on it, what
the safety round found. What is true is a count.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import Line, clip, said, wrap
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


def pane_lines(
    standing: MachineStanding,
    short: str,
    going: Sequence[str],
    now: datetime,
    size: tuple[int, int],
    *,
    fresh: bool = False,
    tag_is_told: bool = False,
) -> list[Line]:
    """Give what stands in a pane, as many lines as there is room for, the most needed first.

    Args:
        standing: how the machine stands.
        short: what it is called above.
        going: what is in progress on it, in words.
        now: the time, for ages.
        size: columns and rows.
        fresh: whether nothing in the shop is checked yet: what is open is a count.
        tag_is_told: whether the reason of its tag stands above.
    """
    width, room = size
    first = [*_comes_first(standing, going, now)][standing.tag != "" and tag_is_told :]
    lines = _drawn(first, width, room)
    left = room - len(lines)
    if left <= 0:
        return lines
    items = [*(_blunt(standing) if fresh else _open(standing))]
    closing = wrap(_to_begin(standing) if fresh else _settled(standing), width, max(1, left // 2))
    if not closing[0]:
        closing = [""] if len(items) > left else []
    shown = items[: max(0, left - len(closing))]
    lines += _drawn(shown, width, left - len(closing))
    if len(shown) < len(items):
        more = f"{len(items) - len(shown)} more"
        closing[0] = clip(" · ".join(filter(None, (more, closing[0]))), width)
    lines += [((row, ""),) for row in closing]
    for extra in _extras(standing, short, now):
        rows = wrap(extra, width)
        if len(lines) + len(rows) <= room:
            lines += [((row, "dim"),) for row in rows]
    return lines


def sentences(
    standing: MachineStanding, short: str, going: Sequence[str], now: datetime, *, fresh: bool
) -> tuple[list[str], list[str]]:
    """Say what stands in a pane where no room is short: the worst first, what is in progress last.

    Behind it what is good to know.

    Args:
        standing: how the machine stands.
        short: what it is called before them.
        going: what is in progress on it, in words.
        now: the time, for ages.
        fresh: whether nothing in the shop is checked yet: what is open is a count.
    """
    fresh = fresh and not standing.tag
    items = [*_comes_first(standing, (), now), *(_blunt(standing) if fresh else _open(standing))]
    words = [" ".join(filter(None, (one.mark, one.words))) for one in items]
    words += [f"» {said(one)}" for one in going]
    more = [_to_begin(standing) if fresh else _settled(standing), *_extras(standing, short, now)]
    return words, [*filter(None, more)]


def least_rows(standing: MachineStanding, going: Sequence[str], now: datetime) -> int:
    """Count the rows in which all is named that is not as it should be, but for a tag's reason."""
    first = [*_comes_first(standing, going, now)]
    return len(first) - bool(standing.tag) + sum(1 for _ in _open(standing)) + 1


def worst_of(standing: MachineStanding) -> str:
    """Name why a machine stands as it does, in a few words; empty where nothing is open."""
    first = next(_open(standing), None)
    return said(standing.tag) or (first.head if first is not None else "")


def _name(standing: MachineStanding, short: str) -> list[str]:
    """Give the machine's name in full, where it is another one than stands above."""
    name = said(standing.machine.name)
    return [name] if name.upper() != short else []


def _to_begin(standing: MachineStanding) -> str:
    """Count what there is to check and to do, where nothing is known yet."""
    tasks = len(standing.to_do)
    counts = [f"{standing.to_check} to check"] if standing.points else []
    return " · ".join([*counts, f"{tasks} to do"] if tasks else counts)


def _drawn(items: Sequence[Item], width: int, room: int) -> list[Line]:
    """Draw items on so many rows: one for each, then their names whole, then all of it."""
    items = items[: max(0, room)]
    rows = [1] * len(items)
    spare = room - len(items)
    needed = [(len(item.rows(width, whole=False)), len(item.rows(width))) for item in items]
    for step in (0, 1):
        for at, most in enumerate(needed):
            more = min(spare, max(0, most[step] - rows[at]))
            rows[at] += more
            spare -= more
    lines: list[Line] = []
    for item, given, most in zip(items, rows, needed, strict=True):
        lines += _item_lines(item, width, given, whole=min(most) <= given)
    return lines


def _item_lines(item: Item, width: int, given: int, *, whole: bool) -> list[Line]:
    """Draw an item on the rows that it is given; what has no room ends in an ellipsis."""
    indent = 2 if item.mark else 0
    words = item.words if whole else item.head
    rows = wrap(words, width - indent, given)
    style = item.style if item.first else ""
    return [
        (((f"{item.mark} " if at == 0 else "  ") if indent else "", item.style), (row, style))
        for at, row in enumerate(rows)
    ]


def _comes_first(standing: MachineStanding, going: Sequence[str], now: datetime) -> Iterator[Item]:
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


def _open(standing: MachineStanding) -> Iterator[Item]:
    """Give what is open, the worst first: points, dull cutters, tasks that are due."""
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


def used_words(point: PointStanding) -> str:
    """Say how much of the tolerance an error uses that is out or close to it."""
    judged = point.point.tolerance.kind not in YES_NO_WORDS
    if point.used is None or not judged or point.state not in ("out", "near"):
        return ""
    return f"{share(point.used)} of tolerance"


def _settled(standing: MachineStanding) -> str:
    """Count what is as it should be; nothing of a machine that is not to be used."""
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


def _extras(standing: MachineStanding, short: str, now: datetime) -> Iterator[str]:
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
