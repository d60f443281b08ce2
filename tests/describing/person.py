"""A person who describes a shop, for tests: knows some answers, and leaves the others to Enter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from shopboard.describing.asked import GO_ON, Question, Ticks, Typed
from shopboard.describing.draft import Reply
from shopboard.describing.here import Here
from shopboard.describing.talk import Begin, Stand, follow
from shopboard.describing.whole import questions

DAY = date(2027, 3, 1)
INCH, MM = Here("inch", "dollars"), Here("mm", "euros")


def beginning(here: Here = INCH) -> Begin:
    """Give the questions, where a computer stands."""
    return questions(here, DAY)


def reply(question: Question, text: str) -> Reply:
    """Give an answer to a question, as it is kept."""
    return Reply(question.key, question.accept(text), DAY)


def answered(known: Mapping[str, str | Sequence[str]], here: Here = INCH) -> tuple[Stand, int]:
    """Answer to the end; give where it stands then, and how many questions it took.

    Args:
        known: answers by the question's key, of a list one for each time that it is asked;
            Enter answers the others.
        here: where the computer stands.
    """
    begin, told = beginning(here), list[Reply]()
    left = {key: [one] if isinstance(one, str) else list(one) for key, one in known.items()}
    while (question := (stand := follow(begin, told)).question) is not None:
        texts = left.get(question.key, [])
        told.append(reply(question, texts.pop(0) if texts else ""))
    assert not any(left.values()), f"never asked: {left}"
    return stand, len(told)


def any_answer(question: Question, number: int) -> str:
    """Give one of the answers to a question, told by a number from 0."""
    if isinstance(question, Typed):
        return ""
    values = [one.value for one in question.options]
    if isinstance(question, Ticks):
        chosen = [one for at, one in enumerate(values) if number >> at & 1]
        return ",".join(chosen) or values[number % len(values)]
    values = values if question.default != GO_ON else [*values, GO_ON, GO_ON]
    return values[number % len(values)]
