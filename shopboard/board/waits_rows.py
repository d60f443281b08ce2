"""What soaks, dries or hazes meanwhile, each with its clock: rows of the prep day. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from shopboard.board.paint import Line, clip, said
from shopboard.board.task_view import clock_words
from shopboard.prep.plan_words import clock, span
from shopboard.shop.machine import TaskStep
from shopboard.standing.waits import Wait
from shopboard.upkeep.wait_watch import ran_over, too_long_by

_MOST_WAITS = 3


def waits_rows(
    waits: Sequence[Wait], machines: Mapping[str, str], width: int, now: datetime
) -> list[Line]:
    """Show the clocks of what is left alone, and till when it may be left."""
    rows: list[Line] = []
    for wait in waits[:_MOST_WAITS]:
        over = wait.seconds <= 0
        left = "time is up" if over else f"{clock_words(wait.seconds)} left"
        begun = wait.standing.begun
        step = wait.standing.task.steps[begun.steps - 1] if begun is not None else TaskStep("")
        about_it = f"{said(machines[wait.machine])}: {said(step.words)}"
        if begun is not None and ran_over(begun.wait, wait.seconds, step.at_most_minutes):
            by = too_long_by(begun.wait, wait.seconds, step.at_most_minutes)
            about_it = f"{span(by)} too long: look at it first. {about_it}"
        elif wait.latest is not None:
            about_it = f"by {clock(wait.latest, now)} at the latest. {about_it}"
        rows.append(
            ((f"  » {left:>12}  ", "due" if over else "bold"), (clip(about_it, width - 19), ""))
        )
    more = len(waits) - _MOST_WAITS
    if more > 0:
        rows.append(((f"  » and {more} more", "dim"),))
    return rows
