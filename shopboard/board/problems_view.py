"""What is wrong in a file, as lines: every problem with its place and the line itself."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from shopboard.board.paint import Line, clip, said, wrap
from shopboard.shop.problems import Problem, render


def problem_lines(path: Path, problems: Sequence[Problem], width: int) -> list[Line]:
    """Write every problem: the sentence, the line, the caret."""
    lines: list[Line] = []
    for problem in problems:
        for number, text in enumerate(render(path.name, problem).splitlines()):
            if number == 0:
                lines += [((f" {one}", "bold"),) for one in wrap(said(text), width - 2)]
            else:
                lines.append(((f" {clip(said(text), width - 2)}", "dim"),))
        lines.append(())
    return lines
