"""The tasks of a machine, and when each was last done."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from functools import partial
from typing import Any

from shopboard.checks.steps import Option
from shopboard.describing.ask import Row, few, look, name
from shopboard.describing.asked import OneOf, Typed, parts
from shopboard.describing.chosen import ChosenMachine, free_id
from shopboard.describing.days import day_of, days_ago
from shopboard.describing.talk import Asking, Talk
from shopboard.usual.parts import OFTEN, UsualTask, in_unit
from shopboard.writing.spelling import BETWEEN

NEVER = "never"
"""Of a task: not done before, or nobody knows when."""

TODAY = "today"

_OWN = "Look it over"

_AGO = {TODAY: 0, "week": 7, "month": 30}


def tasks_of(talk: Talk, machine: ChosenMachine) -> Asking[None]:
    """Ask which tasks there are, and when each was last done."""
    usual = machine.usual.tasks
    if not usual:
        return
    told: dict[str, date | str] = {one.id: TODAY for one in usual if one.common}
    key = f"{machine.id}.tasks"

    def rows() -> dict[str, Row]:
        found = {
            one.id: Row(one.name, _when(one, told, talk), partial(_task, talk, key, one, told))
            for one in (*usual, *machine.own_tasks)
        }
        return {**found, "own": Row("something else", "", partial(_own, talk, machine, told))}

    day = yield from look(
        key,
        f"{machine.name}: are these the tasks, and the days they were last done?",
        rows,
        "Today, unless you say otherwise; the board counts from that day.",
    )
    machine.tasks = {
        one.id: day if last == TODAY else last if isinstance(last, date) else None
        for one in (*usual, *machine.own_tasks)
        if (last := told.get(one.id)) is not None
    }


def _own(talk: Talk, machine: ChosenMachine, told: dict[str, date | str]) -> Asking[None]:
    """Ask for a task in the person's own words."""
    key = f"{machine.id}.own-task"
    called = yield from name(talk, f"{key}.name", "What is done?", ("machine.task", "name"), _OWN)
    often = {one: f"every {one.removeprefix('1 ')}" for one in OFTEN}
    every = yield from few(
        *(talk, f"{key}.every", f"{called}: how often?", ("machine.task", "every"), often),
        *(
            "4 weeks",
            "By the calendar, by hours run or by projects: 5 weeks, 15 hours, 3 projects.",
        ),
        behind="weeks",
    )
    taken = [one.id for one in (*machine.usual.tasks, *machine.own_tasks)]
    says: dict[str, Any] = {"id": free_id(called, taken), "name": called}
    says["every"] = parts(every) if BETWEEN in every else every
    if machine.usual.kind != "hand tools":
        says["cutter_near"] = True  # nobody knows what it is: it begins with the plug
    one = UsualTask(says)
    machine.own_tasks.append(one)
    yield from _task(talk, key, one, told)


def _when(one: UsualTask, told: Mapping[str, date | str], talk: Talk) -> str:
    """Say when a task was last done, and when it is due again."""
    if one.id not in told:
        return "not done here"
    last = told[one.id]
    words = f"{last:%d %b %Y}".lstrip("0") if isinstance(last, date) else last
    every = in_unit(one.says.get("every", one.says.get("after", "")), talk.unit)
    rule = " or ".join(every) if isinstance(every, list) else every
    rule = f"after {rule}" if "every" not in one.says and rule else f"every {rule}" if rule else ""
    return ", ".join(filter(None, (words, rule)))


def _task(talk: Talk, key: str, one: UsualTask, told: dict[str, date | str]) -> Asking[None]:
    """Ask when a task was last done."""
    key = f"{key}.{one.id}"
    options = {
        TODAY: "today",
        "week": "a week ago",
        "month": "a month ago",
        "another": "another day",
        NEVER: "never, or I do not know: it is due at once",
        "none": "it is not done here: leave it out",
    }
    answer = yield OneOf(
        key=f"{key}.last",
        title=f"{one.name}: when was that done last?",
        options=tuple(Option(value, label) for value, label in options.items()),
        default=TODAY,
    )
    if answer.answer == "none":
        told.pop(one.id, None)
    elif answer.answer == "another":
        days = yield Typed(
            key=f"{key}.ago",
            title=f"{one.name}: how many days ago?",
            lines=("A number of days, or the day itself: 2026-05-01.",),
            kind=days_ago(talk.today),
            unit=talk.unit,
            default="0",
            tells=lambda day: f"{day:%a %d %b %Y}",
        )
        told[one.id] = day_of(days.answer, days.day)
    elif answer.answer in _AGO:
        ago = _AGO[answer.answer]
        told[one.id] = answer.day - timedelta(days=ago) if ago else TODAY
    else:
        told[one.id] = NEVER
