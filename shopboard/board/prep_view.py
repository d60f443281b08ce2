"""The prep day: what to do now, large; what is next, what waits, the rest with its times. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.glyphs import big, in_large
from shopboard.board.nines import digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import Line as Row
from shopboard.board.paint import clip, fit, said, wrap
from shopboard.board.waits_rows import waits_rows
from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import (
    NOT_ABOUT_SAFETY,
    THAN_FIRST_SAID,
    about,
    clock,
    closed_words,
    detail,
    done_by,
    how_near,
    left_words,
    quiet_words,
    span,
    started,
    time_words,
    too_long,
)
from shopboard.standing.waits import Wait

_LEAST_ROWS = 5
"""Rows of the list that stay, however large the rest."""

_CHANGE_OVER = "change over to it"

_ROOMY = 34
"""Rows from which the letters may take more of the screen."""


class Shown(NamedTuple):
    """What the screen is drawn from."""

    plan: DayPlan
    machines: Mapping[str, str]
    """Names, by id."""
    waits: Sequence[Wait] = ()
    cursor: int = 0
    """Number of a piece, from 0."""
    projects: int = 0
    """How many projects there are to choose from, for a day that is not begun."""
    allow_open: bool = False


def prep_lines(shown: Shown, size: tuple[int, int]) -> list[Row]:
    """Draw the day."""
    width, room = size
    plan = shown.plan
    head = _head(shown, width)
    if not plan.lines and not plan.left:
        return [fit(row, width) for row in (*head, *_done(shown, width))][:room]
    if not plan.lines:
        top = [*head, *_no_time(shown, width), *waits_rows(shown.waits, shown.machines, width)]
        return [fit(row, width) for row in (*top, *_list(shown, width, room - len(top)))]
    waits = waits_rows(shown.waits, shown.machines, width)
    under = _now_words(shown, width)
    free = room - len(head) - len(waits) - len(under) - _LEAST_ROWS
    large = _large(plan.lines[0], width, free, most=4 if room >= _ROOMY else 2, shown=shown)
    top = [*head, *large, *under, *waits]
    return [fit(row, width) for row in (*top, *_list(shown, width, room - len(top)))]


def working_lines(width: int) -> list[Row]:
    """Say that the plan is being worked out."""
    return [(), fit((("  Working out the shortest day ...", "bold"),), width)]


def _head(shown: Shown, width: int) -> list[Row]:
    """Say what the day is for, when it was begun and when all is done."""
    plan = shown.plan
    left = f"  {said(about(plan)).capitalize() if plan.project is None else said(about(plan))}"
    if plan.day is None:
        left = f"  A prep day {said(about(plan))}"
    words = f"{started(plan)} · {done_by(plan)}" if plan.lines else started(plan)
    later = plan.later if plan.quiet_since is None else None
    style = "due" if later is not None and later >= 1 else "bold"
    shorter = words.replace(THAN_FIRST_SAID, "")
    shortest = shorter.removeprefix(f"{started(plan)} · ") if plan.away else shorter
    fits = (one for one in (words, shorter) if cell_len(left) + cell_len(one) + 4 <= width)
    words = next(fits, shortest)
    room = max(width - cell_len(words) - 4, 12)
    rows: list[Row] = [((f"{clip(left, room)}   ", "dim"), (words, style))]
    if plan.day is None:
        rows.append(_before_it_begins(shown))
    if plan.quiet_since is not None:
        rows.append(((f"  {quiet_words(plan)}", "due"),))
    if plan.limited:
        rows.append(_time_row(shown, width))
    if plan.is_too_long:
        words = too_long(plan, shown.projects)
        rows += [((f"  {one}", "due"),) for one in wrap(words, width - 4, 2)]
    return rows


def _before_it_begins(shown: Shown) -> Row:
    """Name the keys of a day that is not begun."""
    open_words = "two machines may be apart" if shown.allow_open else "one machine apart at a time"
    keys: list[tuple[str, str]] = []
    if shown.plan.lines:
        keys = [("  Enter ", "key"), (" begin this day", "bold")]
    if shown.projects:
        keys += [("   ", ""), (" p ", "key"), (" another project", "")]
    return (*keys, ("   ", ""), (" o ", "key"), (f" {open_words}", ""))


def _time_row(shown: Shown, width: int) -> Row:
    """Say what time one has, and how much does not fit into it."""
    plan = shown.plan
    told = " ".join(filter(None, (closed_words(plan), time_words(plan), left_words(plan))))
    return (("  t ", "key"), (f" {clip(told or 'time: as long as it takes', width - 6)}", "due"))


def _no_time(shown: Shown, width: int) -> list[Row]:
    """Say that nothing fits into the time one has."""
    rows: list[Row] = [(), *(((f"  {row}", "due"),) for row in big("NO TIME", tall=True)), ()]
    return [*rows, *_left_words(shown, width)]


def _left_words(shown: Shown, width: int) -> list[Row]:
    """Say in full what does not fit, where the cursor is on it, and what that puts at risk."""
    plan = shown.plan
    at = shown.cursor - len(plan.lines)
    if not 0 <= at < len(plan.left):
        return []
    one = plan.left[at]
    where = f"{said(shown.machines[one.piece.machine])}: {said(one.piece.words)}"
    risk = f"{span(one.piece.minutes)}; {said(one.risk)}" if one.risk else span(one.piece.minutes)
    rows: list[Row] = [()]
    for number, words in enumerate(wrap(where, width - 13, 2)):
        rows.append((("  LEFT OUT " if not number else " " * 11, "key"), (words, "bold")))
    return [*rows, *(((f"{' ' * 11}{words}", ""),) for words in wrap(risk, width - 13, 3))]


def _done(shown: Shown, width: int) -> list[Row]:
    word, style, words = "DONE", "true", "Nothing is left in this plan."
    if shown.plan.tags_hold_up:
        word, style, words = "NO MORE", "due", "Nothing more can be done in this plan."
    rows: list[Row] = [(), *(((f"  {row}", style),) for row in big(word, tall=True)), ()]
    rows += [((f"  {one}", "bold"),) for one in wrap(words, width - 4)]
    for note in shown.plan.left_out:
        rows += [((f"  {one}", "dim"),) for one in wrap(said(note), width - 4)]
    if shown.plan.day is not None:
        rows += [(), (("  Enter ", "key"), (" end the prep day", "bold"))]
    return rows


def _large(line: PlanLine, width: int, room: int, most: int, shown: Shown) -> list[Row]:
    """Write where and what in large letters; else what alone, or nothing, where it has no room.

    The row of what to do now says all of it in any case: no half of a sentence is another one.
    """
    plan = shown.plan
    changing = line.changing_over(plan.now)
    if line.start > plan.now and not changing:
        return [((f"  {row}", "due"),) for row in ("", *big(f"WAIT {clock(line.start, plan.now)}"))]
    lines = min(most, room // 4)
    words = _CHANGE_OVER if changing else said(line.piece.words)
    name = said(shown.machines[line.piece.machine])
    where, small = in_large(name, width, 1), list[Row]()
    what = in_large(words, width, lines - len(where)) if where else []
    if not what:
        where, what = [], in_large(words, width, min(most, (room - 2) // 4))
        small = [(), ((f"  {clip(name, width - 4)}", "bold"),)] if what else []
    return small + [((f"  {row}", "bold"),) for one in (*where, *what) for row in ("", *big(one))]


def _now_words(shown: Shown, width: int) -> list[Row]:
    """Say in full what to do now and where, then what comes next."""
    plan = shown.plan
    left = _left_words(shown, width)
    if left:
        return left
    now, following = plan.lines[0], plan.lines[1] if len(plan.lines) > 1 else None
    where = said(shown.machines[now.piece.machine])
    changing = now.changing_over(plan.now)
    idle = now.start > plan.now and not changing
    label = f"{clock(now.start, plan.now)}  " if idle else "NOW  "
    whole = f"{where}: {said(now.piece.words)}"
    if changing:
        whole = f"{where}: {_CHANGE_OVER}, then: {said(now.piece.words)}"
    rows: list[Row] = [()]
    room = width - 4 - cell_len(label)
    for number, one in enumerate(wrap(whole, room, 2)):
        rows.append(((f"  {label if not number else ' ' * cell_len(label)}", "key"), (one, "bold")))
    words = said(detail(now, plan.now, shown.machines))
    rows += [
        ((f"  {' ' * cell_len(label)}{one}", "due" if now.late >= 1 else ""),)
        for one in wrap(words, room, 2)
    ]
    if following is not None:
        words = f"{said(shown.machines[following.piece.machine])}: {said(following.piece.words)}"
        at = clock(following.begins, plan.now)
        rows.append(((f"  next {clip(f'{at}  {words}', width - 9)}", "dim"),))
    return rows


def _list(shown: Shown, width: int, room: int) -> list[Row]:
    """List the pieces with their times, those around the cursor."""
    plan, cursor = shown.plan, shown.cursor
    seen = max(1, room - 2)
    whole = len(plan.lines)
    count = whole + len(plan.left)
    first = max(0, min(first_of_nine(cursor), count - seen), cursor + 1 - seen)
    pieces = (*(line.piece for line in plan.lines), *(one.piece for one in plan.left))
    names = [clip(said(shown.machines[one.machine]), max(18, width // 5)) for one in pieces]
    where = max(cell_len(name) for name in names) + 2
    times = [clock(line.begins, plan.now) for line in plan.lines] + ["left"] * len(plan.left)
    when = max(cell_len(time) for time in times) + 2
    more = out_of_sight(first, count - first - seen)
    rule = f"  {whole} to do, {span(plan.hands_on)} of work   {more}"
    rows: list[Row] = [(), ((clip(rule, width), "dim"),)]
    widths = [4, when, where, width - 4 - when - where]
    for number in range(first, min(count, first + seen)):
        if number < whole:
            short = _short(plan.lines[number], widths[3] - 1)
        else:
            short = _short_left(plan.left[number - whole], widths[3] - 1)
        columns = (f"{times[number]:>{when - 2}}", names[number], short)
        rows.append(_piece_row(number, cursor, columns, widths))
    left = room - len(rows)
    told = (how_near(plan), *plan.left_out, NOT_ABOUT_SAFETY)
    notes = [one for note in told if note for one in wrap(said(note), width - 4)]
    if left > len(notes):
        rows += [(), *(((f"  {note}", "dim"),) for note in notes)]
    return rows[:room]


def _piece_row(number: int, cursor: int, told: Sequence[str], widths: Sequence[int]) -> Row:
    """Write the row of one piece: its digit, when, where, what."""
    here = "bar" if number == cursor else ""
    at = f"{'►' if number == cursor else ' '}{digit_of(number, cursor):<2}"
    styles = (here or ("key" if at.strip() else ""), here, here, here)
    return tuple(
        piece
        for words, style, cells in zip((at, *told), styles, widths, strict=True)
        for piece in fit(((words, style),), cells, here)
    )


def _short_left(one: LeftPiece, room: int) -> str:
    """Write what does not fit on one line, with its minutes and what is at risk."""
    words = f"{clip(said(one.piece.words), room // 2)}  {span(one.piece.minutes)}"
    risk = room - cell_len(words) - 2
    return f"{words}; {clip(said(one.risk), risk)}" if one.risk and risk > 4 else words


def _short(line: PlanLine, room: int) -> str:
    """Write a piece on one line, its minutes and its wait at the end."""
    piece = line.piece
    tail = f"  {span(piece.minutes)}"
    if line.change:
        tail = f"  {span(line.change)} to change over,{tail[1:]}"
    if piece.wait:
        tail += f", then a {span(piece.wait)} wait"
    words = said(piece.words)
    if piece.of and cell_len(f"{words} · {said(piece.name)}") + cell_len(tail) <= room:
        words = f"{words} · {said(piece.name)}"
    if cell_len(words) + cell_len(tail) > room:
        tail = f"  {span(piece.minutes)}" + (f", a {span(piece.wait)} wait" if piece.wait else "")
    return f"{clip(words, room - cell_len(tail))}{tail}"
