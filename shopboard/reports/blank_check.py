"""A check to fill in by pencil: its steps in order, with boxes for what is seen and read."""

from __future__ import annotations

import re

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks import registry
from shopboard.checks.blank import MEASURED_BY, AskedStep, questions_and_outcome
from shopboard.checks.correction_steps import CLOSE
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.repeats import SO_FAR
from shopboard.checks.steps import Caution, Choice, Number, Words
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.square import ReadingError
from shopboard.metrology.units import by_unit
from shopboard.reports.by_hand import limit_lines, sum_lines, turning_lines

_SCREEN_ALONE = re.compile(r"(?:^|\.)(?:next|repeat\d+|turned_by|tools)$")
"""What only a program asks, by the step's key; the tools stand above the steps."""


class BlankStep(NamedTuple):
    """A step on paper."""

    title: str
    lines: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()
    """Answers to tick one of; neither these nor blanks: the step itself is ticked off."""
    blanks: tuple[tuple[str, str], ...] = ()
    """To write on: what stands before the line, and the unit behind it."""
    is_caution: bool = False
    if_asked: bool = False
    """It applies only after some answers before it."""


class BlankCheck(NamedTuple):
    """Everything that is printed of one point."""

    name: str
    full_name: str
    method: str
    tolerance: str
    tools: str
    steps: tuple[BlankStep, ...] = ()
    """From the caution to the last reading."""
    sums: tuple[str, ...] = ()
    """How the error is worked out, and when it is true."""
    correction: tuple[BlankStep, ...] = ()
    """What is done before it is read again."""
    turning: tuple[str, ...] = ()
    """What to turn how far, by the error."""
    close: tuple[BlankStep, ...] = ()
    cannot: str = ""
    """Why the check cannot be done with the tools of the shop; empty: it can."""

    @property
    def has_result(self) -> bool:
        """Whether an error is worked out."""
        return bool(self.sums)


def blank_check(job: CheckContext, full_name: str, name: str) -> BlankCheck:
    """Lay out a check for paper.

    Args:
        job: the point.
        full_name: its id with that of its machine.
        name: of the method.
    """
    method = registry.method(name)
    said = job.tolerance.kind in YES_NO_WORDS
    tolerance = "none, by looking" if said else job.tolerance.words(job.unit)
    tools = "" if method.tools == "-" else method.tools
    blank = BlankCheck(job.point, full_name, method.title, tolerance, tools)
    try:
        every, found = questions_and_outcome(method, job)
    except (NotPossibleError, ReadingError) as error:
        return blank._replace(cannot=str(error))
    before, correction = _parted([one for one in every if not _is_for_screen(one)])
    leaves = any(one.step.key.endswith("refused") for one in before)
    return blank._replace(
        steps=_with_both_leaves([one for one in before if one.step.key != CLOSE]),
        sums=(*sum_lines(method, job, leaves=leaves), *limit_lines(method, job)),
        correction=tuple(_step(one) for one in correction),
        turning=tuple(turning_lines(method, job, found)) if found else (),
        close=tuple(_step(one) for one in before if one.step.key == CLOSE),
    )


def _parted(asked: list[AskedStep]) -> tuple[list[AskedStep], list[AskedStep]]:
    """Part the steps from those of a correction; what is only read again is left out."""
    before = [one for one in asked if not one.after_correction]
    again = {f"left.{one.step.key}" for one in before} - {"left.unplugged"}
    return before, [one for one in asked if one.after_correction and one.step.key not in again]


def _is_for_screen(one: AskedStep) -> bool:
    key = one.step.key
    return bool(_SCREEN_ALONE.search(key)) or key.endswith(MEASURED_BY)


def _with_both_leaves(asked: list[AskedStep]) -> tuple[BlankStep, ...]:
    """Lay out the steps, the leaf that goes and the one that won't on one line."""
    steps: list[BlankStep] = []
    before = ""
    for one in asked:
        key, step = one.step.key, _step(one)
        if key.endswith("refused") and before == f"{key.removesuffix('refused')}goes":
            goes = steps.pop()
            blanks = tuple((word, goes.blanks[0][1]) for word in ("goes", "won't"))
            step = goes._replace(blanks=blanks, if_asked=step.if_asked)
        steps.append(step)
        before = key
    return tuple(steps)


def _step(one: AskedStep) -> BlankStep:
    step = one.step
    ticks = tuple(option.label for option in step.options) if isinstance(step, Choice) else ()
    blanks = (("", ""),) if isinstance(step, Words) else ()
    if isinstance(step, Number):
        plain = {"s": "s", "count": ""}
        blanks = (("", plain[step.plain] if step.plain else by_unit(step.unit, "in", "mm")),)
    return BlankStep(
        step.title,
        # the amounts of a correction are those of an error that nobody found
        () if step.key == "left.adjust" else tuple(filter(None, map(_on_paper, step.lines))),
        ticks,
        blanks,
        is_caution=isinstance(step, Caution) or step.key.endswith("care"),
        if_asked=not one.always and not one.after_correction,
    )


def _on_paper(line: str) -> str:
    """Say with a pencil what is said of keys."""
    line = re.sub(r"Enter alone takes (.*), from the shop file\.", r"By the shop file: \1.", line)
    line = re.sub(r" ?Enter alone[^.]*\.(?:\d[^.]*\.)?$", "", line)
    line = line.replace("type each", "write each").replace("Type what", "Write what")
    line = line.replace("Type it", "Write it")
    return "" if line.startswith(("Type 0", SO_FAR)) else line
