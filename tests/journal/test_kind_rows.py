"""What each kind of entry means, question by question, as DEVELOPERS.md and a person would say it.

Only the kinds that are named here are asked about; of each question all that answer yes are named.
"""

from __future__ import annotations

import pytest

from shopboard.journal import kinds

NAMED = frozenset(
    (
        *("moved", "remark", "void", "begin", "answer", "back", "end"),
        *("task", "task-begin", "task-step", "task-end", "happening", "tag"),
        *("prep", "glue-up", "clock", "computer", "salvaged"),
    )
)

YES = {
    "undoes": "moved happening",  # a result of before counts no longer
    "at_machine": "end task task-step happening",  # somebody was there: the plug may be in
    "export": "remark void",
    "status": "moved void task task-begin task-step task-end happening tag clock salvaged",
    "voidable": "task happening glue-up",
    "follows_renames": "moved remark void begin answer back end task task-begin task-step task-end",
}


@pytest.mark.parametrize("question", YES)
def test_which_kinds_answer_yes(question: str) -> None:
    yes = {row.name for row in kinds.ALL if getattr(row, question)}
    assert yes & NAMED == {*YES[question].split()}


ANSWERS = {
    "lost": {
        "its machine": "happening salvaged",
        "nothing": "remark task task-begin task-step task-end tag prep glue-up clock computer",
        "its point": "moved void begin answer back end",
    },
    "gathered": {
        "its place": "moved task happening tag",
        "anew": "void clock salvaged",
        "no": "remark begin answer back end task-begin task-step task-end prep glue-up computer",
    },
    "retired": {"its machine": "task happening tag"},
    "look_back": {
        "setting": "moved",
        "taken back": "void",
        "happening": "happening",
        "glue-up": "glue-up",
    },
    "point": {
        "point": "moved remark begin answer back end",
        "task": "task task-begin task-step task-end",
        "happening": "happening",
        "any of them": "void",
        "joint": "glue-up",
        "nothing": "tag prep clock computer salvaged",
    },
}


@pytest.mark.parametrize("question", ANSWERS)
def test_which_kinds_answer_how(question: str) -> None:
    for answer, names in ANSWERS[question].items():
        found = {row.name for row in kinds.ALL if getattr(row, question) == answer}
        assert found & NAMED == {*names.split()}
