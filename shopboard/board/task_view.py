"""One step of a task, large; a wait with its clock counting down. Pure."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from shopboard.board.glyphs import big, in_large, is_roomy, sign
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.prep.pause import was_a_night
from shopboard.shop.machine import Task, TaskStep
from shopboard.upkeep.wait_watch import patience, ran_over

if TYPE_CHECKING:
    from shopboard.checks.steps import Caution
    from shopboard.prep.past_closing import Spoils

MORE = 5
"""Minutes that a wait is made longer by, or shorter, where it began before it was said."""
LEAST = 0.05
"""Minutes that a wait is at the least, however long ago it began."""
_LONG_AGO = 3600.0
"""Seconds from which it is told since when."""
_MOST_BIG = 3
"""Lines of large letters that a step may take."""

CUT_SHORT, LONGER = "long enough, carry on", f"wait {MORE} minutes longer"
SOONER, AGAIN = f"it began {MORE} minutes before that", "do it again: back to that step"
LOOK_FIRST = "Look at it first"
DRIED_ON = f"{LOOK_FIRST}: cleaner or wax that has dried on is put on again, then comes off."


def caution_lines(step: Caution, width: int) -> list[Line]:
    """Draw the caution before hands come near a cutter.

    Args:
        step: asks for the plug.
        width: columns.
    """
    drawn: list[Line] = [(("  ", ""), (row, "danger")) for row in sign("STOP")]
    drawn += [(), ((f"  {step.title}", "bold"),)]
    for words in step.lines:
        drawn += [((f"  {one}", ""),) for one in wrap(words, width - 4)]
    drawn += [(), (("  1 ", "key"), (f" {step.options[0].label}", "bold"))]
    return [fit(line, width) for line in drawn]


def step_lines(task: Task, number: int, size: tuple[int, int], presses: str = "") -> list[Line]:
    """Draw a step.

    Args:
        task: the task.
        number: of the step, from 1.
        size: columns and rows.
        presses: what else has to be gone on with, in words; empty: nothing.
    """
    width, room = size
    step = task.steps[number - 1]
    below: list[Line] = [()]
    below += [((f"  {one}", "bold"),) for one in wrap(said(step.words), width - 4, 3)]
    goes_on = "done, go on"
    if step.wait_minutes:
        wait = minutes_words(step.wait_minutes)
        most = step.at_most_minutes
        no_longer = f", {minutes_words(most)} at the most" if most is not None else ""
        below.append(((f"  Then leave it for {wait}{no_longer}.", ""),))
        goes_on = f"done: its {wait} begin now"
    if presses:
        below += [(), *(((f"  {one}", "due"),) for one in wrap(presses, width - 4, 2))]
        below.append((("  Esc ", "key"), (" see to that first", "bold")))
    below += [(), (("  Enter ", "key"), (f" {goes_on}", "bold"))]
    head = _count(number, task, size)
    large = _large(said(step.words), width, room - len(head) - len(below) - 1)
    return _with_next([*head, *large, *below], task, number, size)


def wait_lines(
    task: Task,
    number: int,
    seconds: float,
    size: tuple[int, int],
    wait: float = math.inf,
    now: datetime | None = None,
) -> list[Line]:
    """Draw a wait.

    Args:
        task: the task.
        number: of the step that comes after it, from 1.
        seconds: how long it still takes; 0 or less when it is over.
        size: columns and rows.
        wait: minutes that it says, or that were set.
        now: the time; None: it is not told since when time is up.
    """
    width, _ = size
    step = task.steps[number - 2]
    words, over = said(step.words), seconds <= 0
    too_long = ran_over(wait, seconds, step.at_most_minutes)
    lines = _count(number - 1, task, size)
    clock = "0:00" if over else clock_words(seconds)
    lines.append(())
    rows = big(clock, tall=True)
    style, units = "due" if over else "bold", "h : min : s" if clock.count(":") > 1 else "min : s"
    lines += [((f"  {row}", style),) for row in rows[:-1]]
    lines.append(((f"  {rows[-1]}", style), (f"  {units}", "dim")))
    lines += [(), *(((f"  {one}", "bold"),) for one in wrap(words, width - 4, 2))]
    latest = _latest_words(step, wait, seconds, now)
    if over:
        told = [(_over_words(seconds, now), "due")]
        look = f"{LOOK_FIRST}." if step.off_machine else DRIED_ON  # in a tub nothing dries on
        told.append((look if too_long else latest, "bold"))
        keys = [("Enter", "go on"), ("3", AGAIN) if too_long else ("2", LONGER)]
    else:
        told = [("Leave it; the timer keeps running, also off this screen (Esc or * 1).", "")]
        told.append((latest, "bold"))
        keys = [("1", CUT_SHORT), ("2", LONGER), ("3", SOONER)]
    told = [one for one in told if one[0]]
    lines += [((f"  {one}", style),) for text, style in told for one in wrap(text, width - 4)]
    lines += [(), *(((f"  {key} ", "key"), (f" {does}", "bold")) for key, does in keys)]
    return _with_next(lines, task, number - 1, size)


def calls_words(machine: str, spoils: Spoils, now: datetime) -> str:
    """Say what has to be gone on with by now, or soon: its wait is over, or will be.

    Args:
        machine: its machine.
        spoils: the wait.
        now: the time.
    """
    from shopboard.prep.plan_words import clock  # few waits harm

    step = said(spoils.task.steps[spoils.step - 1].words)
    when = f" at {clock(spoils.over, now)}" if spoils.over > now else ""
    latest = "" if spoils.at_most is None else f", {clock(spoils.last, now)} at the latest"
    if spoils.last < now:
        latest = ", it was left too long"
    return f"{said(machine)}: {step}. Its time is up{when}{latest}."


def _latest_words(step: TaskStep, wait: float, seconds: float, now: datetime | None) -> str:
    """Say when a wait has to be gone on with at the latest; empty: nothing is said of that."""
    if step.at_most_minutes is None or now is None:
        return ""
    from shopboard.prep.plan_words import clock  # most waits say nothing of it

    left = seconds + patience(wait, step.at_most_minutes) * 60
    return f"Go on by {clock(now + timedelta(seconds=left), now)} at the latest."


def _over_words(seconds: float, now: datetime | None) -> str:
    """Say how long ago time was up: of a long time also when, and that a night was between."""
    if seconds > -60:
        return "Time is up."
    at = now + timedelta(seconds=seconds) if now is not None else None
    if at is None or now is None or seconds > -_LONG_AGO:
        return f"Time was up {minutes_words(-seconds // 60)} ago."
    from shopboard.prep.plan_words import clock, span  # few waits are left so long

    night = " It was left over a night." if was_a_night(at, now) else ""
    return f"Time was up {clock(at, now)}, {span(-seconds // 60)} ago.{night}"


def clock_words(seconds: float) -> str:
    """Write what is left, minutes and seconds, rounded up: ``9:41``, ``1:30:00``."""
    whole = int(-(-seconds // 1))
    hours, rest = divmod(whole, 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{left:02}" if hours else f"{minutes}:{left:02}"


def minutes_words(minutes: float) -> str:
    """Write a wait: ``10 min``, ``1.5 h``; a short one ``30 s``, ``1.5 min``."""
    if minutes < 1:
        return f"{minutes * 60:.0f} s"
    if minutes < 120:
        return f"{minutes:.{0 if minutes >= 10 else 1}f}".removesuffix(".0") + " min"
    return f"{minutes / 60:.1f}".removesuffix(".0") + " h"


def _count(number: int, task: Task, size: tuple[int, int]) -> list[Line]:
    """Three rows: the step's number large on the right; the task's name is in the heading."""
    width, _ = size
    digits = big(str(number))
    room = width - len(digits[0]) - 16
    labels = ("", "step", f"of {len(task.steps)}")
    above: list[Line] = [()] if is_roomy(size) else []
    return above + [
        ((" " * room, ""), (f"{label:>5}  {row}", "dim"))
        for label, row in zip(labels, digits, strict=True)
    ]


def _large(words: str, width: int, room: int) -> list[Line]:
    """Write words in large letters, where there is room for all of them."""
    lines = in_large(words, width, min(_MOST_BIG, room // 4))
    return [((f"  {row}", "bold"),) for line in lines for row in ("", *big(line))]


def _with_next(lines: list[Line], task: Task, number: int, size: tuple[int, int]) -> list[Line]:
    """Say at the bottom what comes after a step."""
    width, room = size
    last = number >= len(task.steps)
    words = "then it is done" if last else f"next: {said(task.steps[number].words)}"
    if len(lines) < room:
        lines += [()] * (room - len(lines) - 1)
        lines.append(((f"  {clip(words, width - 4)}", "dim"),))
    return [fit(line, width) for line in lines[:room]]
