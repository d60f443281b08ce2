"""Reading tasks and cutters: what is done again and again, and what wears."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast, get_args

from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import Cutter, CutterKind, Task, TaskStep
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault, Spot
from shopboard.shop.settings import read_as
from shopboard.shop.table import Table, reads
from shopboard.shop.told_by_words import cutter_moves, undone_tasks, what_is_left
from shopboard.shop.upkeep_values import RULES


@reads("[[machine.task]]")
def read_task(t: Table) -> Task:
    """Read a recurring task."""
    rules: dict[str, float] = {}

    def every_days(_: object) -> int | None:
        for kind, value in t.take("every", RULES, ()):
            rules[kind] = min(value, rules.get(kind, value))  # whichever comes first
        return int(rules["days"]) if "days" in rules else None

    task = read_as(
        t,
        Task,
        every_days=every_days,
        every_minutes=lambda _: rules.get("minutes"),
        every_projects=lambda _: int(rules["projects"]) if "projects" in rules else None,
        every=_typed(t.raw.get("every")),
    )
    return _told(t, task)


def _told(t: Table, task: Task) -> Task:
    """Take from its words what a task does not say by a key."""
    raw = t.raw.get("steps")
    by_key = [
        at
        for at, one in enumerate(raw if isinstance(raw, list) else [raw])
        if isinstance(one, dict) and "cutter" in one
    ]
    if task.cutter_near and not by_key:
        task = task._replace(steps=cutter_moves(task.steps))
    for at in by_key:
        if not task.cutter_near and task.steps[at].cutter != "stays":
            what = f'cutter = "{task.steps[at].cutter}" in a task with no cutter near'
            spot = (*t.path, "steps", at, "cutter")
            allowed = "write cutter_near = true in the task: it begins with the machine unplugged"
            t.report.add(Fault(spot, what, allowed, at_key=True))
    task = task if "leaves" in t.raw else task._replace(leaves=what_is_left(task))
    return _with_each(t, task) if task.each else task


MOST_STEPS = 100
"""Steps of a task that is done with each of a set."""


def _with_each(t: Table, task: Task) -> Task:
    """Do the steps of a task with one of its set after the other."""
    for at, name in enumerate(task.each):
        if name and name in task.each[:at]:
            spot = (*t.path, "each", at)
            t.report.add(Fault(spot, f"{shorten(name)} stands there twice", "each of the set once"))
    one = task.steps or (TaskStep(task.name),)
    number = len(one) * len(task.each)
    if number > MOST_STEPS:
        t.refuse("each", f"{number} steps with all of them", f"at most {MOST_STEPS}")
    steps = (step._replace(words=f"{name}: {step.words}") for name in task.each for step in one)
    return task._replace(steps=tuple(steps))


def read_tasks(t: Table) -> tuple[Task, ...]:
    """Read the tasks of a machine, and which of them undo another's work."""
    tasks, raw = t.many("task", read_task), t.raw.get("task")
    tables = raw if isinstance(raw, list) else [raw]
    places = [at for at, one in enumerate(tables) if isinstance(one, dict)]
    found = []
    for at, task in zip(places, tasks, strict=True):
        if "undoes" in cast(dict[str, object], tables[at]):
            _check_undone(task, tasks, Spot((*t.path, "task", at, "undoes"), t.report))
            found.append(task)
        else:
            found.append(task._replace(undoes=undone_tasks(task, tasks)))
    return tuple(found)


def _check_undone(task: Task, tasks: Sequence[Task], spot: Spot) -> None:
    """Report a task that undoes itself, or one that is not there."""
    others = [one.id for one in tasks if one.id != task.id]
    for ident in filter(None, task.undoes):
        if ident == task.id:
            spot.report.add(Fault(spot.path, "a task does not undo itself", "name another task"))
        elif ident not in others:
            what = f"there is no task {shorten(ident)} on this machine"
            listed = f"tasks: {', '.join(others[:12])}" if others else ""
            spot.report.add(Fault(spot.path, what, listed, did_you_mean(ident, others)))


def _typed(raw: object) -> str:
    if isinstance(raw, list):
        return " or ".join(str(one).strip() for one in raw)
    return str(raw or "").strip()


@reads("[[machine.cutter]]")
def read_cutter(t: Table) -> Cutter:
    """Read a cutter."""
    cutter = read_as(t, Cutter, money=t.report.money)
    if cutter.plate and cutter.kerf and cutter.kerf <= cutter.plate:
        t.refuse("kerf", "kerf is not wider than plate", "a blade cuts wider than its plate")
    cutter, own = _by_its_kind(t, cutter), cutter.kind not in get_args(CutterKind)
    if cutter.edges > 1 and cutter.sort != "knives":
        allowed = f'a second edge belongs to knives: {"like" if own else "kind"} = "knives"'
        t.refuse("edges", f"a {cutter.kind} with {cutter.edges} edges", allowed)
    if cutter.pieces > 1 and cutter.sort != "knives":
        allowed = f'a set belongs to knives: {"like" if own else "kind"} = "knives"'
        t.refuse("pieces", f"a {cutter.kind} of {cutter.pieces} pieces", allowed)
    if cutter.edge > cutter.edges:
        t.refuse("edge", f"edge {cutter.edge} of {cutter.edges}", f"from 1 to {cutter.edges}")
    return cutter


def _by_its_kind(t: Table, cutter: Cutter) -> Cutter:
    """See that one of the shop's own kinds says how it is changed, and no other does."""
    if cutter.kind in get_args(CutterKind):
        if cutter.like not in (None, cutter.kind):
            what = f"a {cutter.kind} is changed like a {cutter.kind}"
            t.refuse("like", what, "leave like out", at_key=False)
        return cutter._replace(like=None)
    refused = any(t.report.has_error((*t.path, key)) for key in ("kind", "like"))
    if cutter.like is None and not refused:
        hint = did_you_mean(cutter.kind, get_args(CutterKind))
        what = f"like is missing in {t.header}: how is a {shorten(cutter.kind)} changed?"
        t.miss("like", f"{what} {hint}" if hint else what)
    return cutter._replace(like=cutter.like or "bit")
