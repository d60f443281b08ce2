"""A question of the safety walk, and how far it is. Pure.

It shows what was answered. It never says that this will do, and has no colour for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from rich.cells import cell_len

from shopboard.board.glyphs import big, big_words, in_large, is_roomy, sign
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.checks.steps import Caution, Choice
from shopboard.shop.machine import SafetyQuestion
from shopboard.upkeep.safety_questions import is_decision


def question_lines(
    step: Choice,
    count: tuple[int, int],
    before: Sequence[tuple[SafetyQuestion, str]],
    size: tuple[int, int],
) -> list[Line]:
    """Draw one question, or what can be done about an answer.

    Args:
        step: what is asked.
        count: number of the question, from 1, and how many there are.
        before: questions answered already, with their answers.
        size: columns and rows.
    """
    width, room = size
    wrong = is_decision(step)
    tall, style = is_roomy((width, room)), "out" if wrong else "bold"
    lines = [*([()] if tall else []), *_head(step, count, width, tall=tall)]
    large = in_large(said(step.title), width, 3) if tall else []
    if large:
        lines += [((f"  {row}", style),) for words in large for row in ("", *big(words))]
    else:
        lines += [((f"  {one}", style),) for one in wrap(said(step.title), width - 4)]
    for words in step.lines:
        lines += [((f"  {one}", ""),) for one in wrap(said(words), width - 4)]
    lines.append(())
    for number, option in enumerate(step.options, 1):
        enter = "   Enter" if option.value == step.default else ""
        label, *more = wrap(said(option.label), width - 14, 2)
        lines.append(((f"  {number} ", "key"), (f" {label}", "bold"), (enter, "dim")))
        lines += [((f"     {one}", "bold"),) for one in more]
    last = [
        ((f"  {clip(said(f'before: {one.name}, {answer}'), width - 3)}", "dim"),)
        for one, answer in before[-2:]
    ]
    if len(lines) + len(last) < room:
        lines += [*([()] * (room - len(lines) - len(last))), *last]
    return [fit(line, width) for line in lines[:room]]


def _head(step: Choice, count: tuple[int, int], width: int, *, tall: bool) -> list[Line]:
    """What to look at, in large letters; on the right, how far the round is."""
    style = "danger" if isinstance(step, Caution) else "out" if is_decision(step) else "bold"
    number = big(str(count[0]))
    room = width - len(number[0]) - 18
    large = sign("STOP", tall=tall) if isinstance(step, Caution) else big_words(step.big)
    if cell_len(large[0]) > room - 2:
        large = ("", "", "")
    labels, totals = ("", "question", ""), ("", f"of {count[1]}", "")
    return [
        (
            *fit((("  ", ""), (word, style)), room),
            (f"{label:>8}  {digits}  {total}", "dim"),
        )
        for word, label, digits, total in zip_longest(large, labels, number, totals, fillvalue="")
    ]
