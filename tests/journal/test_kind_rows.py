"""What each kind of entry means, question by question, as DEVELOPERS.md and a person would say it.

Only the kinds that are named here are asked about; of each question all that answer yes are named.
"""

from __future__ import annotations

import pytest

from shopboard.journal import kinds
from shopboard.journal.kinds.row import amount_in, number_in, text_in, texts_in

NAMED = frozenset(
    (
        *("moved", "remark", "void", "begin", "answer", "back", "end"),
        *("task", "task-begin", "task-step", "task-end", "happening", "tag"),
        *("prep", "pause", "glue-up", "clock", "computer", "salvaged"),
    )
)

YES = {
    "undoes": "moved happening",  # a result of before counts no longer
    "at_machine": "end task task-step happening",  # somebody was there: the plug may be in
    "export": "remark void",
    "status": "moved void begin end task task-begin task-step task-end happening tag clock"
    " salvaged",
    "voidable": "task happening prep pause glue-up",
    "follows_renames": "moved remark void begin answer back end task task-begin task-step task-end"
    " glue-up",
}


@pytest.mark.parametrize("question", YES)
def test_which_kinds_answer_yes(question: str) -> None:
    yes = {row.name for row in kinds.ALL if getattr(row, question)}
    assert yes & NAMED == {*YES[question].split()}


ANSWERS = {
    "lost": {
        "its machine": "happening salvaged",
        "nothing": "remark task task-begin task-step task-end tag prep pause glue-up clock"
        " computer",
        "its point": "moved void begin answer back end",
    },
    "gathered": {
        "its place": "moved task happening tag",
        "anew": "void clock salvaged",
        "no": "remark begin answer back end task-begin task-step task-end prep pause glue-up"
        " computer",
    },
    "retired": {"its machine": "task happening tag"},
    "look_back": {
        "setting": "moved",
        "happening": "happening",
        "glue-up": "glue-up",
    },
    "point": {
        "point": "moved remark begin answer back end",
        "task": "task task-begin task-step task-end",
        "happening": "happening",
        "any of them": "void",
        "joint": "glue-up",
        "nothing": "tag prep pause clock computer salvaged",
    },
}


@pytest.mark.parametrize("question", ANSWERS)
def test_which_kinds_answer_how(question: str) -> None:
    for answer, names in ANSWERS[question].items():
        found = {row.name for row in kinds.ALL if getattr(row, question) == answer}
        assert found & NAMED == {*names.split()}


@pytest.mark.parametrize(
    ("value", "number", "amount"),
    [
        (5, 5.0, 5.0),
        (-2.5, -2.5, -2.5),
        (999_999_999_999, 999_999_999_999.0, 999_999_999_999.0),
        (1e12, 0.0, 1e12),
        (-1.2e12, 0.0, -1.2e12),
        (1e300, 0.0, None),
        (10**400, 0.0, None),
        (True, 0.0, None),
        ("5", 0.0, None),
        (None, 0.0, None),
    ],
)
def test_a_number_of_any_program_is_read_as_far_as_it_can_be_reckoned_with(
    value: object, number: float, amount: float | None
) -> None:
    """A million million minutes is no machine's; beyond 1e300 a sum comes to no number at all."""
    assert number_in(value) == number
    assert amount_in(value) == amount


def test_words_of_any_program_are_read_as_words() -> None:
    assert [text_in(one) for one in (None, "", "a", 3)] == ["", "", "a", "3"]
    assert texts_in(["a", 3]) == texts_in(("a", 3)) == ("a", "3")
    assert texts_in("ab") == texts_in(None) == ()
