"""Projects and their joints to choose from before a glue-up. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date

from rich.cells import cell_len

from shopboard.base.text import counted
from shopboard.board.hits import of_nines
from shopboard.board.large_list import LargeRow, large_list
from shopboard.board.nines import digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import Line, Painted, clip, fit, said, wrap
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.needs_words import date_words, joint_words
from shopboard.shop.machine import Machine
from shopboard.shop.project import Joint, Project

ANSWER_MARKS = {"GO": "■", "HOLD": "‖", "ran": "■", "idle": "─"}
"""One character for lists; the words tell them apart, too."""

_NO_JOINT = "There is no joint of it in the shop file yet: e adds one."

ANSWER_STYLES = {"GO": "true", "HOLD": "near"}
"""Red is for danger to a person: to hold is none."""


def projects_lines(
    projects: Sequence[Project], over: Mapping[str, date], cursor: int, size: tuple[int, int]
) -> list[Line]:
    """List projects by their digits.

    Args:
        projects: in the order to show them.
        over: on which day those were finished that are, by id.
        cursor: number of one, from 0.
        size: columns and rows.
    """
    rows = [(said(one.name), _about(one, over), "") for one in projects]
    return _list("Which project?", rows, cursor, size, "There is no project in the shop file.")


def finished_lines(
    projects: Sequence[Project], over: Mapping[str, date], cursor: int, size: tuple[int, int]
) -> list[Line]:
    """List projects by their digits, and another one: which of them is finished?"""
    rows = [(said(one.name), _about(one, over), "") for one in projects]
    another = ("another one", "not in the shop file", "")
    return _list("Which project is finished?", [*rows, another], cursor, size)


def ran_lines(
    machines: Sequence[Machine],
    ran: Collection[str],
    whys: Mapping[str, str],
    cursor: int,
    size: tuple[int, int],
) -> list[Line]:
    """List machines by their digits: which of them ran?

    Args:
        machines: in the order of the shop file.
        ran: ids of those that did, as far as was said.
        whys: what tells of some of them, by id.
        cursor: number of one, from 0.
        size: columns and rows.
    """
    rows = [
        (said(one.name), whys.get(one.id, ""), "ran" if one.id in ran else "idle")
        for one in machines
    ]
    head = "Which machines ran? A number adds one or takes it away, Enter records."
    return _list(head, rows, cursor, size)


def _about(project: Project, over: Mapping[str, date]) -> str:
    words = counted(len(project.joints), "joint")
    if project.id in over:
        return f"{words}, finished {date_words(over[project.id])}"
    return words if project.start is None else f"{words}, begins {date_words(project.start)}"


def joints_lines(
    answers: Sequence[GlueUpAnswer],
    cursor: int,
    size: tuple[int, int],
    decided: Collection[str] = (),
) -> list[Line]:
    """List the joints of a project by their digits, each with its answer.

    Args:
        answers: of the joints, in the order of the shop file.
        cursor: number of one, from 0.
        size: columns and rows.
        decided: ids of those that were glued up on hold.
    """
    rows = []
    for one in answers:
        lead = "glued up on HOLD; " if one.joint.id in decided else ""
        rows.append((said(one.joint.name), f"{lead}{joint_words(one.joint)}", one.word))
    return _list("Which joint is to be glued up?", rows, cursor, size, _NO_JOINT)


def unanswered_lines(joints: Sequence[Joint], cursor: int, size: tuple[int, int]) -> list[Line]:
    """List the joints of a project while their answers are worked out.

    Args:
        joints: in the order of the shop file.
        cursor: number of one, from 0.
        size: columns and rows.
    """
    rows = [(said(one.name), joint_words(one), "") for one in joints]
    return _list("Working out the answers ...", rows, cursor, size, _NO_JOINT)


def _in_large(about: str, word: str) -> tuple[Painted, tuple[Painted, ...]]:
    """Put the answer beside a name, and what it is of below."""
    answer = f"{ANSWER_MARKS[word]} {word}" if word else ""
    return (answer, ANSWER_STYLES.get(word, "")), ((about, "dim"),)


def _list(
    head: str,
    rows: Sequence[tuple[str, str, str]],
    cursor: int,
    size: tuple[int, int],
    none: str = "",
) -> list[Line]:
    """List things by their digits; `none` says that there is nothing to list."""
    width, room = size
    if not rows:
        return [(), fit(((f"  {none}", "bold"),), width)]
    large = [LargeRow(name, *_in_large(about, word)) for name, about, word in rows]
    if lines := large_list(large, cursor, ((), ((f"  {head}", "bold"),), ()), size):
        return lines
    names = min(max(cell_len(name) for name, _, _ in rows) + 1, width // 2)
    blocks: list[list[Line]] = []
    for number, (name, about, word) in enumerate(rows):
        here = "bar" if number == cursor else "bold"
        at = f"{'►' if number == cursor else ' '}{digit_of(number, cursor):<2}"
        answer = f"{ANSWER_MARKS[word]} {word:<5}" if word else ""
        before = names + 5 + cell_len(answer)
        told, *more = wrap(about, width - before)
        line: Line = (
            (at, here),
            *fit(((clip(name, names), here),), names, here),
            (f" {answer}", ANSWER_STYLES.get(word, "")),
            (f" {told}", "dim"),
        )
        blocks.append(
            [of_nines(line, number, cursor), *(((f"{'':{before}}{one}", "dim"),) for one in more)]
        )
    seen = max(1, room - 3)
    is_whole = sum(map(len, blocks)) <= seen
    lines = [line for block in blocks for line in (block if is_whole else block[:1])]
    first = max(0, min(first_of_nine(cursor), len(rows) - seen), cursor + 1 - seen)
    if is_whole:
        first = 0
    beyond = "" if is_whole else out_of_sight(first, len(rows) - first - seen)
    title = ((f"  {head}", "bold"), (f"   {beyond}", "dim"))
    return [fit(line, width) for line in [(), title, (), *lines[first : first + seen]]]
