"""What the questions know of each other: the answers so far lead to the next one, and no more.

The same answers lead to the same question on a screen, in plain lines and after a power cut.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TypeVar

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.steps import AnswerError
from shopboard.describing.asked import Question
from shopboard.describing.draft import Reply
from shopboard.metrology.quantity import Unit

T = TypeVar("T")
Asking = Generator[Question, Reply, T]
"""Asks one question after the other; what it returns is what the answers come to."""


@dataclass
class Talk:
    """What is known while it goes on, beside the answers."""

    unit: Unit
    """Of the shop; before it is asked, what is usual where this computer stands."""
    money: str
    """What costs are counted in there."""
    today: date
    longest: tuple[float, str] = (0.0, "")
    """Blade of the longest square, mm, and as it is written."""
    part: str = ""
    """What the questions are about now: ``machine 2 of 4, bandsaw``."""
    hurried: bool = False
    """Only to count the questions: nothing is worked out that takes long."""
    taken: set[str] = field(default_factory=set)
    """Ids given so far."""


class Stand(NamedTuple):
    """Where the questions stand."""

    question: Question | None
    """What is asked now; None when all is."""
    part: str
    result: object
    """What the answers come to, when all is asked."""
    answered: tuple[tuple[Question, str], ...]
    """The questions so far, with their answers."""


Begin = Callable[[bool], tuple[Talk, Asking[object]]]
"""Begins the questions anew; told whether it is only to count them."""


def follow(begin: Begin, told: Sequence[Reply]) -> Stand:
    """Follow the answers as far as they lead: one to another question ends it."""
    talk, asking = begin(False)
    question = next(asking)
    answered: list[tuple[Question, str]] = []
    for one in told:
        if one.key != question.key:
            break
        try:
            answer = question.accept(one.answer)
        except AnswerError:
            break
        answered.append((question, answer))
        try:
            question = asking.send(one._replace(answer=answer))
        except StopIteration as done:
            return Stand(None, talk.part, done.value, tuple(answered))
    return Stand(question, talk.part, None, tuple(answered))


def still_asked(begin: Begin, told: Sequence[Reply], day: date) -> int | None:
    """Count the questions that are left if Enter answers each; None where it does not."""
    _, asking = begin(True)
    question, left = next(asking), 0
    answers = iter(told)
    try:
        while True:
            one = next(answers, None)
            left += one is None
            answer = question.accept("" if one is None else one.answer)
            question = asking.send(Reply(question.key, answer, day if one is None else one.day))
    except StopIteration:
        return left
    except AnswerError:
        return None
