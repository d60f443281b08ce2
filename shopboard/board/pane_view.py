"""One pane of the board: a machine's state large, its last check, what is open. Pure."""

from __future__ import annotations

from datetime import datetime

from rich.cells import cell_len

from shopboard.base.dates import day
from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES, big
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.wording import share
from shopboard.standing.model import MachineStanding, PointStanding
from shopboard.upkeep.cutter_words import SHARP_MARKS, blunt_word, blunt_words
from shopboard.upkeep.safety_record import round_words, wrong_words

TALL_FROM = 12
"""Rows from which the large letters take five rows instead of three."""
_SIDE_LEAST = 13
"""Columns beside the large word that are worth writing in."""
_BESIDES = 6
"""Rows that tag, safety round, a change under way and the last check can take at most."""


def pane(
    standing: MachineStanding,
    number: int,
    here: bool,
    now: datetime,
    size: tuple[int, int],
    wait: str = "",
) -> list[Line]:
    """Draw one pane, exactly as high as its size says.

    Args:
        standing: how the machine stands.
        number: the digit that opens it.
        here: whether the cursor is on it.
        now: the time, for ages.
        size: columns and rows.
        wait: what is left alone within one of its tasks, in words; empty: nothing.
    """
    width, height = size
    inner = width - 2
    rows = _large(standing, inner, now, height >= TALL_FROM)
    rows += _below(standing, inner, now, height - 1 - len(rows))
    side = ("▌ ", "danger" if standing.tag else standing.state) if here else ("  ", "")
    framed = [(side, *row) for row in rows]
    return [_title(standing, number, here, width - 1, wait), *framed][:height]


def _title(standing: MachineStanding, number: int, here: bool, width: int, wait: str) -> Line:
    mark = "►" if here else " "
    name = f"{mark}{number} {said(standing.machine.name)} "
    right = clip(said(wait), width - 14) or _open_work(standing, width - cell_len(name) - 2)
    left = clip(name, width - cell_len(right) - 2)
    rule = "─" * max(0, width - cell_len(left) - cell_len(right) - 1)
    style = "bar" if here else "bold"
    return ((left, style), (rule, "dim"), (f" {right}", "due" if wait else "dim"))


def _open_work(standing: MachineStanding, room: int) -> str:
    """Say what is open, as fully as there is room for."""
    check, do = standing.to_check, len(standing.to_do)
    words: list[tuple[str, str]] = []  # each as it is said, and shorter
    if standing.changing is not None:
        words.append((standing.changing.what, standing.changing.what))
    if check:
        words.append((f"{check} to check", f"check {check}"))
    for one in standing.blunt:  # before the tasks: the last goes where room is short
        mark = SHARP_MARKS["dull"]
        words.append((f"{mark} cutter {blunt_word(one)}", f"{mark} {blunt_word(one)}"))
    if do:
        words.append((f"{do} to do", f"do {do}"))
    full, short = (" · ".join(form) for form in zip(*words, strict=True)) if words else ("", "")
    while len(full) > room and len(short) > room and len(words) > 1:
        words.pop()
        short = " · ".join(form for _, form in words)
    return full if len(full) <= room else short


def _large(standing: MachineStanding, width: int, now: datetime, tall: bool) -> list[Line]:
    """Picture and state in large letters, with the last check beside where there is room."""
    if standing.tag:
        return _large_tag(standing, width, now, tall)
    word = big(standing.state, tall)
    picture = STATE_PICTURES[standing.state]
    side_width = width - 5 - len(word[0]) - 2
    side = _last_check(standing, now) if side_width >= _SIDE_LEAST else []
    lines: list[Line] = []
    for row, letters in enumerate(word):
        drawn = picture[row] if row < len(picture) else " " * 4
        beside_it = clip(side[row], side_width) if row < len(side) else ""
        lines.append(fit(((f"{drawn} {letters}  ", standing.state), (beside_it, "")), width))
    return lines


def _large_tag(standing: MachineStanding, width: int, now: datetime, tall: bool) -> list[Line]:
    """Say in large letters that it is not to be used; how it stands comes after that."""
    from shopboard.board.tag_view import large_tag

    rows = large_tag(tall)
    room = width - len(rows[0]) - 2
    state = f"{STATE_MARKS[standing.state]} {standing.state}"
    told = [state, *_last_check(standing, now)] if room >= _SIDE_LEAST else []
    words = [*told, *([""] * len(rows))][: len(rows)]
    return [
        fit(((f"{row}  ", "danger"), (clip(more, room), "")), width)
        for row, more in zip(rows, words, strict=True)
    ]


def _settled_words(standing: MachineStanding) -> str:
    """Say how its points are where none of them is open."""
    noted = sum(one.state == "noted" for one in standing.points)
    if not noted:
        return "all points true"
    return "only notes: nothing is judged" if standing.state == "noted" else f"true; {noted} noted"


def _last_check(standing: MachineStanding, now: datetime) -> list[str]:
    """How long ago, by what result, how much of the tolerance is used."""
    point = _shown(standing)
    if point is None or point.record is None:
        return []
    words = [point.record.age(now), said(point.record.verdict), used_words(point)]
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


def _below(standing: MachineStanding, width: int, now: datetime, room: int) -> list[Line]:
    """What is said under the large letters, the most needed first."""
    lines: list[Line] = []
    worst = standing.worst
    if standing.tag:
        lines += [
            ((one, "danger"),) for one in wrap(said(standing.tag), width, 2 if room > 2 else 1)
        ]
    answered = standing.round
    about_round = said(f"safety round: {round_words(answered, now)}")
    if answered is not None and answered.wrong:
        words = about_round if room > 2 else said(wrong_words(answered, now))
        lines += [((one, "out"),) for one in wrap(f"! {words}", width, 2 if room > 2 else 1)]
    if standing.changing is not None:
        lines.append(((f"{standing.changing.what.upper()} UNDER WAY", "danger"),))
    if worst is None:
        lines += _without_points(standing, width, room)
    elif standing.state in ("true", "noted"):
        lines.append(((_settled_words(standing), ""),))
        lines += _next_due(standing, now)
    else:
        lines += [((one, ""),) for one in _to_check(standing, worst, width, room)]
    for each in standing.blunt:
        words = said(f"{SHARP_MARKS['dull']} {blunt_words(each)}")
        lines += [((one, "due"),) for one in wrap(words, width, 2 if room > 2 else 1)]
    if standing.state == "unproven" and standing.last is not None:
        last = _shown(standing)
        name = said(last.point.name) if last else ""
        words = f"last: {name}, {', '.join(_last_check(standing, now))}"
        spare = room - len(lines) - len(standing.points) - len(standing.to_do) - 2
        lines += [((one, "dim"),) for one in wrap(words, width, max(1, spare))]
    due = _due(standing, width) if worst is not None else []
    if due and room == 1 and standing.state == "true":
        lines.clear()  # what is to be done says more than that all is true
    lines += _points(standing, width, room - len(lines) - min(len(due), 1))
    lines += due
    if answered is not None and not answered.wrong:
        lines.append(((clip(about_round, width), "dim"),))
    return [fit(line, width) for line in [*lines, *([()] * room)][:room]]


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
    return f"{one.state}, {used}" if used else one.state


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
