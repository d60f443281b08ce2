"""Whether a check can be run at a point at all, with the tools and the sizes of the shop file."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence

from shopboard.checks import registry
from shopboard.checks.asked import Reading, Taken
from shopboard.checks.asking import too_large
from shopboard.checks.inputs import input_of
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.steps import SLACK
from shopboard.checks.walk import Method
from shopboard.metrology.square import ReadingError
from shopboard.metrology.wording import length


def refused_size(method: Method, job: CheckContext) -> str:
    """Say which size of the shop file the check would refuse; empty where it takes them all.

    Tried with the readings of a point without error.

    Raises:
        NotPossibleError: when the drawer lacks a tool.
    """
    if not (isinstance(method, MeasuredCheck) and job.sizes):
        return ""
    asked = [one for one in method.asked(job) if isinstance(one, Reading)]
    for one in asked:
        size = job.sizes.get(one.size, 0.0)
        if size > one.at_most + SLACK:
            most = too_large(one, job.unit)
            return f"the {one.size.replace('_', ' ')} here is {length(size, job.unit)}, but {most}"
    values, words = method.perfect(job)
    inputs = {
        one.key: input_of(job, one, values[one.key], words) for one in asked if one.key in values
    }
    found = method.contradictions(job, Taken(inputs, words))
    return next((one.what for one in found if not one.may_be), "")


def need_the_tools(method: Method, job: CheckContext) -> None:
    """See that every tool is at hand before anything is cut or taken off for it.

    Tried with the readings of a point without error; other methods ask for their tools first.

    Raises:
        NotPossibleError: when the drawer lacks a tool.
    """
    if not isinstance(method, MeasuredCheck):
        return
    values, words = method.perfect(job)
    asked = [one for one in method.asked(job) if isinstance(one, Reading) and one.key in values]
    inputs = {one.key: input_of(job, one, values[one.key], words) for one in asked}
    with contextlib.suppress(ReadingError):  # a size that it refuses can be typed otherwise
        method.evaluate(job, [Taken(inputs, words)])


def cannot_be_run(job: CheckContext, methods: Sequence[str]) -> str:
    """Say why none of the methods can be run at a point, by the first; empty where one can."""
    reasons = []
    for name in methods:
        method = registry.method(name)
        if method.kind != job.tolerance.kind:
            continue
        try:
            method.best(job)
            reasons.append(refused_size(method, job))
        except (NotPossibleError, ReadingError) as error:
            reasons.append(str(error))
    return reasons[0] if reasons and all(reasons) else ""
