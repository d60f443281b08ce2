"""What is recorded of a safety round: each entry holds all of it, so that the newest is enough."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from shopboard.base.dates import told_time
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.did import Did, answered_in, answers_in, counted, did_body
from shopboard.journal.kinds.row import Body, EntryKind, UnreadableBodyError, text_in, texts_in


class EarlierAnswer(NamedTuple):
    """An answer of an earlier round to a question that this one has not come to."""

    text: str
    when: datetime | None
    """None: it cannot be read."""
    wrong: bool
    """It is not as wanted."""


class RoundKept(NamedTuple):
    """A safety round as it is after an answer."""

    did: Did
    round: str
    """Name of the round."""
    number: int
    """How many entries it has."""
    of: int
    """How many questions."""
    finished: bool
    answers: Mapping[str, str]
    """By question."""
    wrong: tuple[str, ...]
    """Questions whose answer is not as wanted, in the order asked."""
    decided: Mapping[str, str]
    """What was done about an answer that is not as wanted, by step."""
    older: Mapping[str, EarlierAnswer]


def _round(value: RoundKept) -> Body:
    older = {
        question: {
            "text": one.text,
            "wrong": one.wrong,
            **({} if one.when is None else {"when": one.when.isoformat()}),
        }
        for question, one in value.older.items()
    }
    lists = {"answers": dict(value.answers), "wrong": list(value.wrong)}
    more = {"decided": dict(value.decided), "older": older, "finished": value.finished}
    count = {"round": value.round, "number": value.number, "of": value.of}
    return {**did_body(value.did), **count, **lists, **more}


def _read_round(body: Body) -> RoundKept:
    number, of, older = body.get("number"), body.get("of"), body.get("older")
    if body.get("v") != 1 or type(of) is not int or type(number) is not int:
        raise UnreadableBodyError("a safety walk of a later version")
    earlier = older if isinstance(older, dict) else {}
    return RoundKept(
        did=answered_in(body),
        round=text_in(body.get("round")),
        number=counted(body, number),
        of=of,
        finished=body.get("finished") is True,
        answers=answers_in(body.get("answers")),
        wrong=texts_in(body.get("wrong")),
        decided=answers_in(body.get("decided")),
        older={question: _earlier(one) for question, one in earlier.items()},
    )


def _earlier(value: object) -> EarlierAnswer:
    told = value if isinstance(value, dict) else {}
    when, wrong = told_time(told.get("when")), told.get("wrong") is not False
    return EarlierAnswer(text_in(told.get("text")), when, wrong)


def answered_of(body: Body) -> tuple[int, str]:
    """Give how many questions are answered, and of how many; also of a round of a later version."""
    answers = body.get("answers")
    count = len(answers) if isinstance(answers, dict) else 0
    return count, str(body.get("of", count))


ROUND = EntryKind(
    name="round",
    write=_round,
    of_body=_read_round,
    point="nothing",
    follows_renames=False,
    undoes=False,
    lost="nothing",
    at_machine=True,
    gathered="its place",
    look_back="",
    retired="its machine",
    export=False,
    status=True,
    voidable=False,
)
