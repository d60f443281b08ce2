"""Which of how many readings a question asks for, where that number is known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.asked import Pick, Reading
from shopboard.checks.steps import Step


def counted(
    step: Step, asked: Sequence[Reading | Pick], answers: Mapping[str, str], prefix: str
) -> Step:
    """Say in a question which one of its set it is: ``reading 2 of 5``.

    Args:
        step: the question.
        asked: what is read in the set, in order.
        answers: answers so far.
        prefix: put before every key of the set.
    """
    words = {
        one.key: answers[f"{prefix}{one.key}"]
        for one in asked
        if isinstance(one, Pick) and f"{prefix}{one.key}" in answers
    }
    names: list[str] = []
    for one in asked:
        if isinstance(one, Reading):
            hangs_on = one.closed_if[0] or one.only_if[0]
            if hangs_on and hangs_on not in words:
                return step  # how many there are hangs on what is not said yet
            if one.only_if[0] and words[one.only_if[0]] not in one.only_if[1]:
                continue
            names += one.answers[1:] if one.closed(words) else one.answers
        else:
            names += one.answers
    name = step.key.removeprefix(prefix)
    if name.endswith(".by"):  # what it is measured by stands in the place of the second leaf
        name = f"{name.removesuffix('.by')}.refused"
    if name not in names or len(names) == 1:
        return step
    return replace(step, count=f"reading {names.index(name) + 1} of {len(names)}")
