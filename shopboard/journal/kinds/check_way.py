"""What is recorded of a check under way: begun, each answer, an answer withdrawn, ended."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.did import Did, answered_in, back_in, did_body, ended_in
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
    marked = {key: True for key, set_ in marks.items() if set_}
    return {**did_body(Did("begin")), **told, **need, **marked}


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
    name="begin",
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
    status=True,
    voidable=False,
)


ANSWER = EntryKind(
    name="answer",
    write=did_body,
    of_body=answered_in,
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

BACK = ANSWER._replace(name="back", of_body=back_in)
END = ANSWER._replace(name="end", of_body=ended_in, at_machine=True, status=True)
