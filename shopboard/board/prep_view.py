"""The prep day: what to do now, large; what is next, what waits, the rest with its times. Pure."""

from __future__ import annotations

from rich.cells import cell_len

from shopboard.board.glyphs import big, in_large
from shopboard.board.paint import Line as Row
from shopboard.board.paint import clip, fit, said, width_of, wrap
from shopboard.board.prep_list import ListPage as ListPage
from shopboard.board.prep_list import Shown as Shown
from shopboard.board.prep_list import chosen_words, day_list, is_all_seen, next_page
from shopboard.board.waits_rows import waits_rows
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import (
    THAN_FIRST_SAID,
    about,
    clock,
    closed_words,
    detail,
    done_by,
    goes,
    left_words,
    open_words,
    quiet_words,
    started,
    time_words,
    too_long,
)

_LEAST_ROWS = 5
"""Rows of the list that stay, however large the rest."""

_HOW_LONG = "How long do you have?"

_CHANGE_OVER = "change over to it"

_ROOMY = 34
"""Rows from which the letters may take more of the screen."""


def prep_lines(shown: Shown, size: tuple[int, int]) -> list[Row]:
    """Draw the day."""
    width, room = size
    top = _over_list(shown, size)
    below = day_list(shown, width, room - len(top)) if _has_list(shown.plan) else []
    return [fit(row, width) for row in (*top, *below)][:room]


def goes_on(shown: Shown, size: tuple[int, int]) -> tuple[int, ListPage] | None:
    """Give what + leads on to: the cursor, and what the list shows; None: all is seen."""
    width, room = size
    room -= len(_over_list(shown, size))
    if not _has_list(shown.plan) or is_all_seen(shown, width, room):
        return None
    return next_page(shown, width, room)


def _has_list(plan: DayPlan) -> bool:
    return not plan.is_done or bool(plan.stays_open)


def _over_list(shown: Shown, size: tuple[int, int]) -> list[Row]:
    """Draw what stands over the list of the pieces."""
    width, room = size
    plan = shown.plan
    held = (one for note in plan.holds for one in wrap(said(note), width - 8))
    head = [*_head(shown, width), *(((f"     {one}", "due"),) for one in held)]
    if plan.is_done:
        return [*head, *_done(shown, width)]
    if shown.page.notes:  # they may be long
        return head
    waits = waits_rows(shown.waits, shown.machines, width, plan.now)
    if not plan.lines:
        return [*head, *_no_time(shown, width), *waits]
    under = _now_words(shown, width)
    free = room - len(head) - len(waits) - len(under) - _LEAST_ROWS
    large = _large(plan.lines[0], width, free, most=4 if room >= _ROOMY else 2, shown=shown)
    return [*head, *large, *under, *waits]


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
        rows += _before_it_begins(shown, width)
    if plan.quiet_since is not None:
        rows.append(((f"  {quiet_words(plan)}", "due"),))
    if plan.limited or plan.day is None:
        rows += _time_rows(shown, width)
    if plan.is_too_long:
        words = too_long(plan, shown.projects)
        rows += [((f"  {one}", "due"),) for one in wrap(words, width - 4, 2)]
    return rows


def _before_it_begins(shown: Shown, width: int) -> list[Row]:
    """Name the keys of a day that is not begun, on two rows where they have no room on one."""
    open_words = "two machines may be apart" if shown.allow_open else "one machine apart at a time"
    keys: Row = ()
    if shown.plan.lines:
        does = "do it" if shown.cursor else "begin this day"
        keys = (("  Enter ", "key"), (f" {does}", "bold"))
    if shown.projects:
        keys = (*keys, ("   ", ""), (" p ", "key"), (" another project", ""))
    opens: Row = (("   ", ""), (" o ", "key"), (f" {open_words}", ""))
    row = (*keys, *opens)
    return [row] if width_of(row) <= width else [keys, opens]


def _time_rows(shown: Shown, width: int) -> list[Row]:
    """Say what time one has, and how much does not fit into it."""
    plan = shown.plan
    told = " ".join(filter(None, (closed_words(plan), time_words(plan), left_words(plan))))
    told = told or ("" if plan.is_done else "As long as it takes.")
    first, *more = wrap(told, width - 6, 2) if told else ("",)
    rows: list[Row] = [(("  t ", "key"), (f" {first}", "due"))] if told else []
    rows += [((f"     {one}", "due"),) for one in more]
    if rows and plan.day is None:
        fits = cell_len(_HOW_LONG) + cell_len(told) + 8 <= width
        asks: Row = (("  t ", "key"), (f" {_HOW_LONG} ", "bold"))
        apart: list[Row] = [((f"     {one}", "due"),) for one in wrap(told, width - 6, 2)]
        rows = [(*asks, (told, "due"))] if fits else [asks, *apart]
    return rows


def _no_time(shown: Shown, width: int) -> list[Row]:
    """Say that nothing fits into the time one has."""
    rows: list[Row] = [(), *(((f"  {row}", "due"),) for row in big("NO TIME", tall=True)), ()]
    return [*rows, *chosen_words(shown, width)]


def _done(shown: Shown, width: int) -> list[Row]:
    """Say that nothing is left to do, and what stays open all the same."""
    plan = shown.plan
    opens = len(plan.stays_open)
    told = ("Nothing is left in this plan.", open_words(opens), goes(plan), shown.cost)
    words = " ".join(filter(None, told))
    style = "due" if opens else "true"
    rows: list[Row] = [(), *(((f"  {row}", style),) for row in big("DONE", tall=not opens)), ()]
    rows += [((f"  {one}", "bold"),) for one in wrap(said(words), width - 4)]
    if not opens:
        notes = (one for note in plan.left_out for one in wrap(said(note), width - 4))
        rows += [((f"  {one}", "dim"),) for one in notes]
    if plan.day is not None:
        rows += [*([()] if not opens else []), (("  Enter ", "key"), (" end the prep day", "bold"))]
    if opens:
        rows += chosen_words(shown, width)
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
    left = chosen_words(shown, width)
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
        ((f"  {' ' * cell_len(label)}{one}", "due" if max(now.late, now.silent) >= 1 else ""),)
        for one in wrap(words, room, 2)
    ]
    if following is not None:
        words = f"{said(shown.machines[following.piece.machine])}: {said(following.piece.words)}"
        at = clock(following.begins, plan.now)
        rows.append(((f"  next {clip(f'{at}  {words}', width - 9)}", "dim"),))
    return rows
