"""What a plan says of itself in words, for the board, the command line and the page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from itertools import pairwise
from math import ceil

from shopboard.base.dates import day as day_words
from shopboard.base.text import counted, with_a
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.time_had import TimeHad, Window

NOT_ABOUT_SAFETY = "Running order only: follow the cautions at each step."

THAN_FIRST_SAID = " than planned"

WAIT_FOR_IT = "Nothing can be done before"


def clock(when: datetime, now: datetime) -> str:
    """Write a time of the day, ``9:05``; of another day than today with that day: ``Tue 9:05``.

    It is that of the nearest minute.
    """
    local = (when + timedelta(seconds=30)).astimezone()
    time = f"{local.hour}:{local:%M}"
    if local.date() == now.astimezone().date():
        return time
    within = abs(local.date() - now.astimezone().date()) < timedelta(days=7)
    return f"{local:%a} {time}" if within else f"{day_words(when)} {time}"


def _date(when: datetime) -> date:
    """Give the day on which a clock shows a time."""
    return (when + timedelta(seconds=30)).astimezone().date()


def span(minutes: float) -> str:
    """Write how long something takes: ``40 min``, ``2 h 10 min``; nothing takes 0 min."""
    whole = max(1 if minutes > 0 else 0, round(minutes))
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{whole} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def about(plan: DayPlan) -> str:
    """Say what the day is for: ``for Chest``, ``for all that is due``."""
    return f"for {plan.project.name}" if plan.project is not None else "for all that is due"


def done_by(plan: DayPlan) -> str:
    """Say when all is done, and how that differs from what was first said."""
    words = f"done by {clock(plan.finish, plan.now)}"
    later, first = plan.later, plan.day.finish if plan.day is not None else None
    if first is not None and plan.fewer and plan.day is not None and plan.day.told is None:
        how = "fewer" if plan.fewer > 0 else "more"
        return f"{words}, {counted(abs(plan.fewer), f'job {how}', f'jobs {how}')}{THAN_FIRST_SAID}"
    if later is None or first is None or plan.quiet_since is not None:
        return words
    if _date(first) != _date(plan.finish):  # nights do not count as being late
        today = " today" if _date(first) == _date(plan.now) else ""
        return f"{words}, planned for {clock(first, plan.now)}{today}"
    how = "on schedule"
    if abs(later) >= 1:
        how = f"{span(abs(later))} {'later' if later > 0 else 'sooner'}{THAN_FIRST_SAID}"
    apart = f", not counting {span(plan.away)} away" if plan.away >= 1 else ""
    return f"{words}, {how}{apart}"


def how_near(plan: DayPlan) -> str:
    """Say how much sooner all could be done in another order; empty: none, or it is not known."""
    if len(plan.lines) < 2 or not plan.bound:
        return ""
    most = plan.minutes - plan.bound
    if most < 1:
        return "No other order ends sooner."
    return f"No other order ends more than {span(ceil(most))} sooner."


def too_long(plan: DayPlan, projects: int) -> str:
    """Say that it is more than one day's work, and what to do about it; empty: it is not.

    Args:
        plan: the day.
        projects: how many the shop file names.
    """
    if not plan.is_too_long:
        return ""
    if plan.project is not None or plan.day is not None:
        return "More than one day's work: what is left by then is planned again."
    if projects:
        return "More than one day's work: naming a project plans only what that needs."
    return "More than one day's work: of a project in the shop file, only its needs are planned."


def quiet_words(plan: DayPlan) -> str:
    """Say since when nothing was recorded, and that the plan goes on from now; else empty."""
    if plan.quiet_since is None:
        return ""
    return f"Nothing recorded since {clock(plan.quiet_since, plan.now)}: planned on from now."


def started(plan: DayPlan) -> str:
    """Say when the day was begun."""
    return "not begun" if plan.day is None else f"begun {clock(plan.day.when, plan.now)}"


def steps_words(line: PlanLine) -> str:
    """Say which steps of a task a piece is: ``steps 1 to 3 of 6``; empty for anything else."""
    first, last = line.piece.steps
    if not line.piece.of or first > last:
        return "its end" if line.piece.of else ""
    if (first, last) == (1, line.piece.of):
        return counted(last, "step")
    which = f"step {first}" if first == last else f"steps {first} to {last}"
    return f"{which} of {line.piece.of}"


def detail(line: PlanLine, now: datetime, machines: Mapping[str, str]) -> str:
    """Say how long a piece takes, what it is part of or why, and what comes with it.

    Args:
        line: the piece.
        now: the time.
        machines: names of the machines, by id.
    """
    piece = line.piece
    parts = [span(piece.minutes)]
    if piece.of:
        steps = steps_words(line)
        parts.insert(0, f"{piece.name}, {steps}" if piece.is_part else steps)
    if piece.sort != "task" and piece.why:
        parts.append(piece.why)
    if piece.serviced:
        parts.append(piece.serviced)
    if line.silent >= 1:
        parts.append(f"nothing recorded for {span(line.silent)}")
    elif line.late >= 1:
        left = f", about {span(line.left)} left" if line.left >= 1 else ""
        parts.append(f"{span(line.late)} longer so far{left}")
    if line.is_held and line.start > now:
        parts.append("not sooner, or its wait is left too long")
    if line.change:
        parts.append(f"first {span(line.change)} to change over to {machines[piece.machine]}")
    if line.past >= 1:
        end = clock(line.end - timedelta(minutes=line.past), now)
        parts.append(f"{span(line.past)} past {end}")
    if line.over is not None:
        parts.append(f"then {with_a(span(piece.wait))} wait, until {clock(line.over, now)}")
    return "; ".join(parts)


def closed_words(plan: DayPlan) -> str:
    """Say that nobody is there now, when one is again, and what a day in progress leaves till then.

    Empty: one is there.
    """
    if plan.opens is None:
        return ""
    # a shop that tells no hours is never closed
    word = {"untold": "Planned on from", "pause": "Pause until", "closed": "Closed until"}
    words = f"{word[plan.shut]} {clock(plan.opens, plan.now)}."
    if plan.day is None or not plan.lines:
        return words
    return f"{words} Left for then: {counted(plan.jobs, 'job')}, {span(plan.hands_on)}."


def time_words(plan: DayPlan) -> str:
    """Say what time one has; empty: as long as it takes."""
    if plan.time_is_up:
        return "Your time is up."
    today = plan.today or ((plan.window,) if plan.window is not None else ())
    end = today[-1].end if today else None
    if end is None:
        return ""
    pauses = _pauses(today, end)  # which day that is stands with its end
    if plan.until is not None and plan.until > end:
        pauses.append(f"with a pause from {clock(end, plan.now)}")
        return f"Time until {', '.join((clock(plan.until, plan.now), *pauses))}."
    told = (clock(end, plan.now), *pauses, *_beyond(plan, end))
    return f"Time {'until' if end > plan.now else 'was until'} {', '.join(told)}."


def _pauses(today: Sequence[Window], now: datetime) -> list[str]:
    """Name the pauses between the times in which one is there."""
    return [
        f"pause {clock(before.end, now)} to {clock(after.start, now)}"
        for before, after in pairwise(today)
        if before.end is not None
    ]


def _beyond(plan: DayPlan, end: datetime) -> list[str]:
    """Say what of a plan lies past the end of the time one has, or after it."""
    past = max((line.past for line in plan.lines if line.end > end), default=0.0)
    told = [f"{span(past)} past it"] if past >= 1 else []
    if plan.until is None and any(line.start >= end and not line.past for line in plan.lines):
        told.append("the rest later")
    return told


def left_words(plan: DayPlan) -> str:
    """Say how much does not fit into the time one has; empty: all fits."""
    if not plan.left:
        return ""
    return f"Not in your time: {counted(len(plan.left), 'job')}, {span(plan.left_minutes)}."


def had_words(had: TimeHad, now: datetime) -> str:
    """Say what time one has: ``until 17:00``, ``2 days``; empty: nothing is said of it."""
    if had.until is not None:
        return f"until {clock(had.until, now)}"
    if had.days:
        return counted(had.days, "day")
    return "as long as it takes" if had.any_hours else ""


def open_words(count: int) -> str:
    """Say how many things stay open: ``3 things stay open.``; empty: none does."""
    return f"{counted(count, 'thing stays', 'things stay')} open." if count else ""


def goes(plan: DayPlan) -> str:
    """Say which joints of a project go, once nothing is left to do for it; empty: there is none."""
    joints = (one.name for one in plan.stays_open if one.sort == "joint")
    held = ", ".join(dict.fromkeys(joints))
    if plan.project is None or not (plan.goes or held):
        return ""
    go = f"GO for {counted(len(plan.goes), 'joint')}" if plan.goes else ""
    words = ", ".join(filter(None, (go, f"HOLD for {held}" if held else "")))
    return f"{plan.project.name}: {words}."
