"""The question what this bench is called: its name is said with all that is recorded at it."""

from __future__ import annotations

import os

from shopboard.base.who import WHO_VARIABLE, BadNameError, keep_name, name_typed
from shopboard.board.questions import Prompt
from shopboard.checks.steps import AnswerError


def started_as() -> bool:
    """Tell whether the name was given for this run, as that of a phone is: it stays as it is."""
    return WHO_VARIABLE in os.environ


def what_name(now: str) -> Prompt:
    """Ask for the name; nothing typed takes it away.

    Args:
        now: the name that it has; empty: none.
    """
    stands = "One bench alone needs no name."
    if now:
        stands = f"It is {now} now. Enter with nothing typed takes the name away."
    lines = ("The name stands with all that is recorded here, such as bench 2.", stands)
    return Prompt("What is this bench called?", lines, _read, lambda _: "", "words")


def _read(text: str) -> str:
    try:
        return name_typed(text) if text.strip() else ""
    except BadNameError as error:
        raise AnswerError(str(error)) from None


def take_name(name: str) -> str:
    """Keep the name for this computer, or take it away where it is empty; say what was done."""
    try:
        keep_name(name)
    except OSError as error:
        return f"The name cannot be kept on this computer: {error.strerror or error}."
    return f"This bench is {name} from now on." if name else "This bench has no name."
