"""The screen of a check: one step, large, with its drawing and its answers. Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import zip_longest

from shopboard.base.state_words import state_word
from shopboard.board.field import echo, field_lines
from shopboard.board.glyphs import STATE_PICTURES, big, in_large
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.checks.advice import can_be_set, correction_lines, correction_of, to_do
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.settle import what_would_settle
from shopboard.checks.steps import Caution, Choice, Finding, Number, Step, Words
from shopboard.metrology.kind import YES_NO_WORDS, Kind, measure, measure_to, value_words
from shopboard.metrology.wording import percent, share

_ROOMY = (110, 34)
"""Columns and rows from which letters may take more of the screen: a row is small there."""
_READABLE = 96
"""Columns of a sentence at the most: the eye finds the next line of no longer one."""


def is_roomy(size: tuple[int, int]) -> bool:
    """Tell whether letters may take more of the screen: there a row of it is small."""
    return size[0] >= _ROOMY[0] and size[1] >= _ROOMY[1]


def step_lines(
    step: Step,
    before: Sequence[tuple[Step, str]],
    job: CheckContext | None,
    entry: str,
    size: tuple[int, int],
) -> list[Line]:
    """Draw a step; below it, where there is room, the two answers before it.

    Args:
        step: what is asked.
        before: the steps answered so far, with their answers.
        job: the point; None where nothing is measured.
        entry: what is typed into the field so far.
        size: columns and rows.
    """
    width, room = size
    tall = is_roomy(size)
    lines = _step(step, len(before) + 1, job, entry, width, tall=tall)
    if tall and len(lines) > room:
        lines = _step(step, len(before) + 1, job, entry, width, tall=False)
    drawing = [((f"  {clip(said(one), width - 3)}", "dim"),) for one in step.diagram]
    if len(lines) + len(drawing) + 1 <= room:
        lines += [(), *drawing]
    elif len(lines) + len(drawing) <= room:
        lines += drawing
    cues = _cues(before[-2:], width)
    if len(lines) + len(cues) < room:
        lines += [()] * (room - len(lines) - len(cues))
        lines += cues
    return [fit(line, width) for line in lines[:room]]


def _step(
    step: Step, number: int, job: CheckContext | None, entry: str, width: int, *, tall: bool
) -> list[Line]:
    """Draw what is asked or was found, and the answers; tall: as large as it can be read."""
    reads = min(width - 4, _READABLE)
    lines = _head(step, number, width, tall=tall)
    if tall:  # free of the bar above, and of the words below
        lines = [(), *lines, ()]
    if isinstance(step, Finding) and job is not None and tall:
        lines += _large(step.outcome, job, width)
    lines += [((f"  {one}", "bold"),) for one in wrap(said(step.title), reads)]
    for words in step.lines:
        lines += [((f"  {one}", ""),) for one in wrap(said(words), reads)]
    if isinstance(step, Finding) and job is not None:
        lines += _finding(step.outcome, job, reads + 4)
    return [*lines, (), *_answers(step, entry, width)]


def _cues(before: Sequence[tuple[Step, str]], width: int) -> list[Line]:
    """Say what was answered last: who comes back to a check finds the thread again."""
    return [
        ((f"  {clip(said(f'before: {_cue(step, answer)}'), width - 3)}", "dim"),)
        for step, answer in before
    ]


def _cue(step: Step, answer: str) -> str:
    """Write a step and its answer as sentences; of a caution, what was said is enough."""
    words = _label(step, answer)
    if isinstance(step, Caution):
        return words
    begins = words[:1].upper() if step.title.endswith(".") else words[:1]
    return f"{step.title} {begins}{words[1:]}"


def _label(step: Step, answer: str) -> str:
    if isinstance(step, Finding):
        return "kept on record"
    if isinstance(step, Choice):
        return next((one.label for one in step.options if one.value == answer), answer)
    return step.with_unit(answer) if isinstance(step, Number) else answer


def _head(step: Step, number: int, width: int, *, tall: bool) -> list[Line]:
    """Three rows: what must be read from two metres on the left, the step's number on the right.

    Five where they are to be tall.
    """
    count = big(str(number), tall)
    left: tuple[str, ...] = ("",) * len(count)
    style = "bold"
    if isinstance(step, Finding) and step.outcome.verdict:
        style = step.outcome.verdict
        pairs = zip_longest(STATE_PICTURES[style], big(state_word(style), tall), fillvalue="    ")
        left = tuple(f"{picture} {letters}" for picture, letters in pairs)
    elif isinstance(step, Caution):
        style, left = "danger", big("STOP", tall)
    elif step.big:
        left = big(step.big, tall)
    elif tall:
        left = large_title(step.title, width - len(count[0]) - 12)
    room = width - len(count[0]) - 8
    labels = ("", "step", *([""] * (len(count) - 2)))
    return [
        (*fit(((f"  {clip(word, room - 2)}", style),), room), (f"{label:>5}  {digits}", "dim"))
        for word, label, digits in zip_longest(left, labels, count, fillvalue="")
    ]


def large_title(title: str, width: int) -> tuple[str, ...]:
    """Write what is asked in large letters, where it goes whole into two lines of them."""
    words = said(title).rstrip(".")
    lines = in_large(words, width, 2)
    if " ".join(lines) != " ".join(words.split()) or not _SPEAKABLE.fullmatch(words):
        return ()
    return tuple(row for at, line in enumerate(lines) for row in (*([""] * at), *big(line)))


_SPEAKABLE = re.compile(r"[\w\s.,:?/+-]*")
"""What loses nothing in large letters: they have no other signs, and a comma is not missed."""


def _large(outcome: Outcome, job: CheckContext, width: int) -> list[Line]:
    """Write what was found, and what to turn first, to be read from two metres."""
    estimate, kind = outcome.estimate, outcome.kind
    lines: list[Line] = []
    if kind not in YES_NO_WORDS:
        value = measure_to(estimate.error, estimate.budget.expanded, kind, job.unit, signed=True)
        style = outcome.verdict or "bold"
        lines += [((f"  {row}", style),) for row in big(value, tall=True)]
        lines.append(())
    for words in in_large(_first_move(outcome, job), width, 3):
        lines += [*(((f"  {row}", "due"),) for row in big(words)), ()]
    return lines


_DETAIL = re.compile(r" \(|: |, (?:against|measured) |\.$")
"""Where the detail of a move begins, which smaller letters tell."""


def _first_move(outcome: Outcome, job: CheckContext) -> str:
    """Say what to turn or tap first of what is out, without the detail; empty: nothing."""
    if outcome.verdict != "out" or outcome.moves or not can_be_set(job, outcome):
        return ""
    correction = correction_of(job, outcome)
    if correction.leave:
        return ""
    words = _DETAIL.split(to_do(job, outcome, correction)[0])[0]
    return said(words).replace("°", " deg")


_NAMED: dict[Kind, str] = {"stress": "Stress", "time": "Time", "speed": "Speed"}
"""What is no error, but the value itself."""


def _finding(outcome: Outcome, job: CheckContext, width: int) -> list[Line]:
    estimate, unit = outcome.estimate, job.unit
    if outcome.kind in YES_NO_WORDS:
        answer = f"  {measure(estimate.error, outcome.kind, unit).capitalize()}."
        todo = correction_lines(job, outcome)
        return [((answer, "bold"),), *(((f"  {one}", "due"),) for one in todo)]
    most = estimate.budget.expanded
    expanded = measure_to(most, most, outcome.kind, unit)
    called = outcome.called or _NAMED.get(outcome.kind, "Error")
    lines = [
        f"{called} {value_words(estimate.error, outcome.kind, unit, most)}",
        f"± {expanded} at 95 % (k = {estimate.budget.k:.2f})",
    ]
    if outcome.tolerance is not None and outcome.probability is not None:
        used, sure = outcome.used or 0.0, percent(outcome.probability)
        lines.append(
            f"Tolerance {outcome.tolerance.words(unit)}: uses {share(used)}, within it {sure} sure"
        )
    found: list[Line] = [
        ((f"  {one}", ""),) for words in lines for one in wrap(said(words), width - 4)
    ]
    for words in (outcome.note, what_would_settle(outcome)):
        found += [((f"  {one}", "near"),) for one in wrap(said(words), width - 4) if one]
    for words in correction_lines(job, outcome):
        found += [((f"  {one}", "due"),) for one in wrap(said(words), width - 4) if one]
    return found


def _answers(step: Step, entry: str, width: int) -> list[Line]:
    if isinstance(step, Choice):
        return [
            (
                (f"  {number} ", "key"),
                (f" {clip(said(option.label), width - 14)}", "bold"),
                ("   Enter" if option.value == step.default else "", "dim"),
            )
            for number, option in enumerate(step.options, 1)
        ]
    if isinstance(step, Number):
        understood = echo(entry, step.unit)
        if step.above < 0 and entry in ("", "-"):
            understood = "- first when it is below zero; - - goes back a step"
        elif entry != "-" and (step.is_turns or step.plain):
            understood = ""
        return field_lines(entry, understood, width)
    if isinstance(step, Words):  # of a long note, its end is seen
        return field_lines(entry, "", width)
    words = "keep it on record" if isinstance(step, Finding) else "done, go on"
    return [(("  Enter ", "key"), (f" {words}", "bold"))]
