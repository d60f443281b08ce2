"""What a pane says under its large letters: what makes its state, what to do first. Pure."""

from __future__ import annotations

from datetime import datetime

from rich.cells import cell_len

from shopboard.base.dates import day
from shopboard.base.state_words import state_word
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.wording import share
from shopboard.standing.model import MachineStanding, PointStanding
from shopboard.upkeep.cutter_words import SHARP_MARKS, blunt_words
from shopboard.upkeep.safety_record import round_words, wrong_words

_BESIDES = 6
"""Rows that tag, safety round, a change under way and the last check can take at most."""


def below(standing: MachineStanding, width: int, now: datetime, room: int) -> list[Line]:
    """What is said under the large letters, the most needed first."""
    lines = [
        *_warnings(standing, width, now, room),
        *_what_makes_it(standing, width, now, room),
        *_blunt(standing, width, room),
    ]
    if standing.state == "unproven" and standing.last is not None:
        spare = room - len(lines) - len(standing.points) - len(standing.to_do) - 2
        words = wrap(_last_words(standing, now), width, max(1, spare))
        lines += [((one, "dim"),) for one in words]
    due = _due(standing, width) if standing.worst is not None else []
    if due and room == 1 and standing.state == "true":
        lines.clear()  # what is to be done says more than that all is true
    lines += _points(standing, width, room - len(lines) - min(len(due), 1))
    lines += due
    if standing.round is not None and not standing.round.wrong:
        lines.append(((clip(_about_round(standing, now), width), "dim"),))
    return [fit(line, width) for line in [*lines, *([()] * room)][:room]]


def _warnings(standing: MachineStanding, width: int, now: datetime, room: int) -> list[Line]:
    """Say that it is not to be used, what the safety round found, that its cutter is out."""
    lines: list[Line] = []
    rows = 2 if room > 2 else 1
    if standing.tag:
        lines += [((one, "danger"),) for one in wrap(said(standing.tag), width, rows)]
    answered = standing.round
    if answered is not None and answered.wrong:
        words = said(wrong_words(answered, now)) if rows == 1 else _about_round(standing, now)
        lines += [((one, "out"),) for one in wrap(f"! {words}", width, rows)]
    if standing.changing is not None:
        lines.append(((f"{standing.changing.what.upper()} UNDER WAY", "danger"),))
    return lines


def _about_round(standing: MachineStanding, now: datetime) -> str:
    return said(f"safety round: {round_words(standing.round, now)}")


def _what_makes_it(standing: MachineStanding, width: int, now: datetime, room: int) -> list[Line]:
    """Say what makes the state of a machine."""
    worst = standing.worst
    if worst is None:
        return _without_points(standing, width, room)
    if standing.state in ("true", "noted"):
        return [((_settled_words(standing), ""),), *_next_due(standing, now)]
    return [((one, ""),) for one in _to_check(standing, worst, width, room)]


def _blunt(standing: MachineStanding, width: int, room: int) -> list[Line]:
    words = (said(f"{SHARP_MARKS['dull']} {blunt_words(each)}") for each in standing.blunt)
    rows = 2 if room > 2 else 1
    return [((one, "due"),) for each in words for one in wrap(each, width, rows)]


def _last_words(standing: MachineStanding, now: datetime) -> str:
    last = _shown(standing)
    name = said(last.point.name) if last else ""
    return f"last: {name}, {', '.join(last_check(standing, now))}"


def _settled_words(standing: MachineStanding) -> str:
    """Say how its points are where none of them is open."""
    noted = sum(one.state == "noted" for one in standing.points)
    if not noted:
        return "all points true"
    return "only notes: nothing is judged" if standing.state == "noted" else f"true; {noted} noted"


def last_check(standing: MachineStanding, now: datetime) -> list[str]:
    """How long ago, by what result, how much of the tolerance is used."""
    point = _shown(standing)
    if point is None or point.record is None:
        return []
    words = [point.record.age(now), said(state_word(point.record.verdict)), used_words(point)]
    return [one for one in words if one]


def _shown(standing: MachineStanding) -> PointStanding | None:
    """Choose the point whose result stands beside the state: the one that makes it, if checked."""
    worst = standing.worst
    if worst is not None and worst.record is not None and standing.state != "true":
        return worst
    return next((one for one in standing.points if one.record is standing.last), None)


def used_words(point: PointStanding) -> str:
    """Say how much of the tolerance the error uses; a yes uses nothing of it."""
    if point.used is None or point.point.tolerance.kind in YES_NO_WORDS:
        return ""
    return f"uses {share(point.used)}"


def _to_check(standing: MachineStanding, worst: PointStanding, width: int, room: int) -> list[str]:
    """Say what makes the machine's state and, where there are several, what to check first."""
    first = standing.first
    words = f"{said(worst.point.name)}: {said(worst.reason)}"
    others = len(standing.points) + len(standing.to_do) + len(standing.blunt) * 2 + _BESIDES
    most = max(2 if room > 2 else 1, room - others)  # in full where nothing else goes for it
    if first is None or standing.to_check <= 1:
        return wrap(words, width, most)
    if first == worst:
        return wrap(f"{first.comes_first} first: {words}", width, most)
    told = wrap(words, width, max(1, most - 1))
    return [*told, clip(f"{first.comes_first} first: {first_words(standing)}", width)]


def first_words(standing: MachineStanding) -> str:
    """Name the point to check first, with the id of its machine where that is another one."""
    first = standing.first
    if first is None:
        return ""
    elsewhere = first.point.machine != standing.machine.id
    return said(first.point.name) + (f" ({first.point.machine})" if elsewhere else "")


def _without_points(standing: MachineStanding, width: int, room: int) -> list[Line]:
    """Say what is to be done on a machine that has tasks alone, or what comes next."""
    if not standing.tasks:
        return [(("no points in the shop file", "dim"),)]
    if standing.to_do:
        first = standing.to_do[0]
        words = wrap(f"{said(first.task.name)}: {said(first.reason)}", width, 2 if room > 2 else 1)
        return [*(((one, ""),) for one in words), *_due(standing, width)[1:]]
    dated = ((one.due_on, one.task.name) for one in standing.tasks if one.due_on is not None)
    coming = min(dated, default=None)
    words = [f"next due {day(coming[0])}: {said(coming[1])}"] if coming is not None else []
    return [(("all tasks done", ""),), *(((clip(one, width), "dim"),) for one in words)]


def _due(standing: MachineStanding, width: int) -> list[Line]:
    """List the tasks that are due."""
    return [((clip(f"to do: {said(one.task.name)}", width), "dim"),) for one in standing.to_do]


def _next_due(standing: MachineStanding, now: datetime) -> list[Line]:
    dates = [one.due_on for one in standing.points if one.due_on is not None]
    return [((f"next due {day(min(dates))}", "dim"),)] if dates and min(dates) > now else []


def _used(one: PointStanding) -> str:
    used = used_words(one) if one.state != "unproven" else ""
    state = state_word(one.state)
    return f"{state}, {used}" if used else state


def _points(standing: MachineStanding, width: int, room: int) -> list[Line]:
    if not standing.points or room < len(standing.points):
        return []
    names = [said(one.point.name) for one in standing.points]
    words = [_used(one) for one in standing.points]
    column = min(max(map(cell_len, names)), width - 4 - max(map(len, words)))
    lines: list[Line] = []
    for one, name, told in zip(standing.points, names, words, strict=True):
        # A name that is too long for its column has what its own words leave of the row.
        own = max(column, min(cell_len(name), width - 4 - len(told)))
        shown = fit(((clip(name, own), ""),), own + 2)
        lines.append(((f"{STATE_MARKS[one.state]} ", one.state), *shown, (told, "dim")))
    return lines
