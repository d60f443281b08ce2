"""What is recorded of a check under way: begun, each answer, an answer taken back, ended."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from shopboard.journal import entry as named
from shopboard.journal.kinds.row import Body, EntryKind, text_in


class CheckBegun(NamedTuple):
    """A check of a point begins."""

    method: str
    """Name of the method."""
    job: str = ""
    """Fingerprint of what the method goes by; empty: begun before there was one."""
    name: str = ""
    """What the point is called."""
    study: bool = False
    """Ten readings, to learn what the hand repeats to."""
    need: Mapping[str, object] | None = None
    """What the work that it is checked for asks of the point, as `checks/need` keeps it."""
    from_file: bool = False
    """Nobody walks it: its answers come from a file."""


def _begun(value: CheckBegun) -> Body:
    told = {"method": value.method, "job": value.job, "name": value.name}
    need = {} if value.need is None else {"need": dict(value.need)}
    marks = {"study": value.study, "from_file": value.from_file}
    return {"v": 1, **told, **need, **{key: True for key, set_ in marks.items() if set_}}


def _read_begun(body: Body) -> CheckBegun:
    need = body.get("need")
    return CheckBegun(
        text_in(body.get("method")),
        text_in(body.get("job")),
        text_in(body.get("name")),
        body.get("study") is True,
        need if isinstance(need, dict) else None,
        body.get("from_file") is True,
    )


BEGIN = EntryKind(
    name=named.BEGIN,
    write=_begun,
    of_body=_read_begun,
    point="point",
    follows_renames=True,
    undoes=False,
    lost="its point",
    at_machine=False,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=False,
    voidable=False,
)


class StepAnswered(NamedTuple):
    """An answer to a step of a check."""

    key: str
    """Of the step."""
    text: str
    prepares: bool = False
    """It only made ready; a check that has no others counts as nothing."""
    after_pause: bool = False
    """The first after the check was left for a while."""


def _answer(value: StepAnswered) -> Body:
    marks = {"prepares": value.prepares, "after_pause": value.after_pause}
    told = {"key": value.key, "text": value.text}
    return {"v": 1, **told, **{key: True for key, set_ in marks.items() if set_}}


def _read_answer(body: Body) -> StepAnswered:
    return StepAnswered(
        text_in(body.get("key")),
        text_in(body.get("text")),
        body.get("prepares") is True,
        body.get("after_pause") is True,
    )


ANSWER = EntryKind(
    name="answer",
    write=_answer,
    of_body=_read_answer,
    point="point",
    follows_renames=True,
    undoes=False,
    lost="its point",
    at_machine=False,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=False,
    voidable=False,
)


class StepBack(NamedTuple):
    """The answer to a step is taken back."""

    key: str
    """Of the step."""
    after_pause: bool = False
    """The first after the check was left for a while."""


def _back(value: StepBack) -> Body:
    paused = {"after_pause": True} if value.after_pause else {}
    return {"v": 1, "key": value.key, **paused}


def _read_back(body: Body) -> StepBack:
    return StepBack(text_in(body.get("key")), body.get("after_pause") is True)


BACK = EntryKind(
    name="back",
    write=_back,
    of_body=_read_back,
    point="point",
    follows_renames=True,
    undoes=False,
    lost="its point",
    at_machine=False,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=False,
    voidable=False,
)


class CheckEnded(NamedTuple):
    """A check is closed."""

    why: str
    """``finished``, or why it was left."""
    after_pause: bool = False
    """The first after the check was left for a while."""


def _end(value: CheckEnded) -> Body:
    paused = {"after_pause": True} if value.after_pause else {}
    return {"v": 1, "why": value.why, **paused}


def _read_end(body: Body) -> CheckEnded:
    return CheckEnded(text_in(body.get("why")), body.get("after_pause") is True)


END = EntryKind(
    name=named.END,
    write=_end,
    of_body=_read_end,
    point="point",
    follows_renames=True,
    undoes=False,
    lost="its point",
    at_machine=True,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=False,
    voidable=False,
)
