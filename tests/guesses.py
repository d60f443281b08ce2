"""Answers that a person might give to any step of any check, and lives of a shop made of them."""

from __future__ import annotations

from random import Random

from shopboard.checks.job import NotPossibleError
from shopboard.checks.steps import AnswerError, Choice, Number, Step, Words
from shopboard.journal import Store
from shopboard.shop.model import Shop
from shopboard.sittings.check import start
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tags import record_tag
from shopboard.upkeep.task_marks import record_task
from tests.journal.helpers import Clock

_SIZES = ("0", "0.02", "0.05", "0.1", "0.3", "1", "2", "5", "10", "25", "100", "300", "900")
_UNITS = (" mm", " mm", " thou", " in", "", " s")
MOST_STEPS = 60


def guess(draw: Random, step: Step) -> str:
    """Give an answer that the step takes, where one is found."""
    if isinstance(step, Choice):
        return str(draw.randint(1, len(step.options)))
    if isinstance(step, Words):
        return "two small cracks"
    if not isinstance(step, Number):
        return ""
    said = ""
    for _ in range(40):
        said = draw.choice(_SIZES) + draw.choice(_UNITS)
        try:
            return step.accept(said)
        except AnswerError:
            continue
    return said


def live(draw: Random, journal: Store, shop: Shop, clock: Clock, acts: int) -> None:
    """Let so many things happen in a shop: checks, some of them left, and what lies between."""
    machines = [one.id for one in shop.machines]
    tasks = [(one.id, task.id) for one in shop.machines for task in one.tasks]
    for _ in range(acts):
        clock.pass_by(hours=draw.choice((1, 30, 200)))
        sort = draw.randrange(6)
        if sort == 0:
            record_happening(
                journal,
                draw.choice(machines),
                draw.choice(("knocked", "machine moved", "blade changed")),
                shop=shop,
            )
        elif sort == 1 and tasks:
            record_task(journal, *draw.choice(tasks))
        elif sort == 2 and draw.random() < 0.3:
            record_tag(draw.choice(machines), "it wobbles", journal)
        else:
            _check(draw, journal, shop)


def _check(draw: Random, journal: Store, shop: Shop) -> None:
    point = draw.choice(list(shop.points.values()))
    try:
        sitting = start(journal, shop, point, draw.choice(point.checks))
    except NotPossibleError:
        return
    steps = draw.choice((3, MOST_STEPS, MOST_STEPS))
    for _ in range(steps):
        if sitting.step is None:
            return
        try:
            sitting.answer(guess(draw, sitting.step))
        except AnswerError:
            continue
