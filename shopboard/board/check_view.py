"""The screen of a check: one step, large, with its drawing and its answers. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.board.asked import large_title
from shopboard.board.field import echo, field_lines
from shopboard.board.glyphs import is_roomy, sign
from shopboard.board.paint import PROSE, Line, beside, clip, fit, said, wrap
from shopboard.board.result_view import result_lines
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Caution, Choice, Finding, Number, Step, Words

ANSWER_ROWS = 5
"""Rows at the bottom that are kept for the answers: a finger finds them where they were before."""
_LEAST_BESIDE = 38
"""Columns that words have beside a drawing at the least."""


def step_lines(
    step: Step,
    before: Sequence[tuple[Step, str]],
    job: CheckContext | None,
    entry: str,
    size: tuple[int, int],
    gauge: str = "",
) -> list[Line]:
    """Draw a step: above what is asked or was found, in the same rows of each step its answers.

    Args:
        step: what is asked.
        before: the steps answered so far, with their answers.
        job: the point; None where nothing is measured.
        entry: what is typed into the field so far.
        size: columns and rows.
        gauge: what a gauge reads; empty: there is none.
    """
    width, room = size
    answers = _answers(step, entry, width)
    if gauge:
        answers = [*answers, ((f"  {clip(said(gauge), width - 3)}", "bold"),)]
    above = max(room - max(ANSWER_ROWS, len(answers)), 0)
    tall = is_roomy(size)
    if isinstance(step, Finding) and job is not None:
        lines = result_lines(step, job, (width, above), tall=tall)
    else:
        lines = _asked(step, len(before) + 1, (width, above), tall=tall)
    known = _known(step, before, width, above - len(lines) - 1)
    lines = lines[: above - len(known)]
    lines += [()] * (above - len(known) - len(lines))
    return [fit(line, width) for line in (*lines, *known, *answers)[:room]]


def _known(step: Step, before: Sequence[tuple[Step, str]], width: int, room: int) -> list[Line]:
    """Say right above the answers what is known so far, and what was answered last.

    Who comes back to a check finds the thread again.
    """
    if step.known:
        return [((f"  {clip(said(step.known), width - 3)}", ""),), ()]
    if isinstance(step, Finding):
        return []
    cues = [
        ((f"  {clip(said(f'before: {_cue(one, answer)}'), width - 3)}", "dim"),)
        for one, answer in before[-2:]
    ]
    return [*cues, ()] if cues and len(cues) < room else []


def _asked(step: Step, number: int, size: tuple[int, int], *, tall: bool) -> list[Line]:
    """Draw what is asked with its drawing: of several ways the first that has room for all."""
    width, room = size
    lines: list[Line] = []
    for by in (True, False) if tall else (False,):
        head = _head(step, number, width, tall=by)
        for drawing in (step.large, step.diagram) if by else (step.diagram,):
            for apart in (True, False):
                for way in (_with_drawing_beside, _with_drawing_below):
                    lines = way(step.lines, drawing, head, width, apart=apart) or lines
                    if lines and len(lines) <= room:
                        return lines
    return lines


def _words(sentences: Sequence[str], cells: int) -> list[Line]:
    return [((f"  {one}", ""),) for words in sentences for one in wrap(said(words), cells)]


def _with_drawing_below(
    sentences: Sequence[str],
    drawn: Sequence[str],
    head: Sequence[Line],
    width: int,
    *,
    apart: bool,
) -> list[Line]:
    """Put the drawing under the words; apart: with free lines between."""
    words = _words(sentences, min(width - 4, PROSE))
    drawing: list[Line] = [((f"  {clip(said(one), width - 3)}", ""),) for one in drawn]
    gap: list[Line] = [()] if apart else []
    return [*gap, *head, *words, *(gap if drawing else []), *drawing, *gap]


def _with_drawing_beside(
    sentences: Sequence[str],
    drawn: Sequence[str],
    head: Sequence[Line],
    width: int,
    *,
    apart: bool,
) -> list[Line]:
    """Put the drawing to the right of the words; empty: it is too wide, or there is none."""
    wide = max(map(len, drawn), default=0)
    left = min(width - wide - 4, PROSE - _LEAST_BESIDE)
    if not wide or left < _LEAST_BESIDE:
        return []
    words = _words(sentences, left - 4)
    gap: list[Line] = [()] if apart else []
    rows = max(len(words), len(drawn))
    filled = [*words, *([()] * (rows - len(words)))]
    drawing = [*drawn, *([""] * (rows - len(drawn)))]
    both = [
        beside((one, ((said(row), ""),)), (left, width - left))
        for one, row in zip(filled, drawing, strict=True)
    ]
    return [*gap, *head, *gap, *both, *gap]


def _cue(step: Step, answer: str) -> str:
    """Write a step and its answer as sentences; of a caution, what was said is enough."""
    words = _label(step, answer)
    if isinstance(step, Caution):
        return words
    begins = words[:1].upper() if step.title.endswith(".") else words[:1]
    return f"{step.title} {begins}{words[1:]}"


def _label(step: Step, answer: str) -> str:
    if isinstance(step, Finding):
        return "saved"
    if isinstance(step, Choice):
        return next((one.label for one in step.options if one.value == answer), answer)
    return step.with_unit(answer) if isinstance(step, Number) else answer


def _head(step: Step, number: int, width: int, *, tall: bool) -> list[Line]:
    """What to do, to be read from two metres, on the left; which step it is on the right."""
    count = step.count or f"step {number}"
    room = width - len(count) - 6
    title = wrap(said(step.title), min(room, PROSE))
    lines: list[Line] = [((f"  {one}", "bold"),) for one in title]
    if isinstance(step, Caution):
        asked = _large_or_both(step, lines, width) if tall else lines
        lines = [*((("  ", ""), (row, "danger")) for row in sign("STOP", tall=tall)), (), *asked]
    elif tall:
        lines = _large_or_both(step, lines, room)
    elif step.big and not _is_said(step):
        lines += [((f"  {said(step.big).upper()}", "bold"),)]
    first = fit(lines[0] if lines else (), width - len(count) - 2)
    return [(*first, (count, "dim")), *lines[1:]]


def _large_or_both(step: Step, lines: Sequence[Line], room: int) -> list[Line]:
    """Put what is asked in large letters above it; where they say the same, in its place."""
    same = _is_said(step)
    large = large_title(step.title if same else step.big, room)
    shown: list[Line] = [((f"  {row}", "bold"),) for row in large]
    return shown if large and same else [*shown, (), *lines]


def _is_said(step: Step) -> bool:
    """Tell whether what is to be read from two metres is what the title asks, in its words."""
    return {*step.big.lower().split()} <= {*step.title.lower().rstrip(".").split()}


def read_as(step: Number, entry: str) -> str:
    """Say how what is typed is understood; empty: it says so itself."""
    if step.above < 0 and entry in ("", "-"):
        return "- first when it is below zero; - - goes back a step"
    return "" if entry != "-" and (step.is_turns or step.plain) else echo(entry, step.unit)


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
        return field_lines(entry, read_as(step, entry), width)
    if isinstance(step, Words):  # of a long note, its end is seen
        return field_lines(entry, "", width)
    words = "save the result" if isinstance(step, Finding) else "done, go on"
    return [(("  Enter ", "key"), (f" {words}", "bold"))]
