"""What is recorded of a change of cutter under way, in the place of no cutter: all of its way."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.did import Did, answered_in, answers_in, counted, did_body
from shopboard.journal.kinds.row import Body, EntryKind, text_in


class ChangeWay(NamedTuple):
    """How far a change of cutter is; the newest of a machine is enough to tell."""

    act: str
    """What is done with the cutter."""
    kind: str
    """Of the cutter."""
    cutter: str
    """Id of the one that it is about."""
    off: str
    """Id of the one that comes off; empty: none does."""
    off_is_done: bool
    """That one is dull or worn out."""
    on_state: str
    """How sharp the one is that goes on."""
    edge: int
    """The edge that it cuts with then."""
    did: Did = Did("begin")
    what: str = "step"
    """What was done, as it is shown where records are kept: ``step``, ``back``, ``done``."""
    open: bool = False
    """Whether the machine stands open: something may be loose."""
    n: int = 0
    """How many entries it has."""
    answers: Mapping[str, str] = {}
    """By the key of their step."""


def _way(value: ChangeWay) -> Body:
    """Write how far a change is."""
    told = {**value._asdict(), "answers": dict(value.answers)}
    del told["did"]
    return {**did_body(value.did), **told}


def _read_way(body: Body) -> ChangeWay:
    """Read how far a change is."""
    number, edge = body.get("n"), body.get("edge")
    return ChangeWay(
        act=text_in(body.get("act")),
        kind=text_in(body.get("kind")),
        cutter=text_in(body.get("cutter")),
        off=text_in(body.get("off")),
        off_is_done=body.get("off_is_done") is True,
        on_state=text_in(body.get("on_state", "sharp")),
        edge=edge if type(edge) is int else 1,
        did=answered_in(body),
        what=text_in(body.get("what")),
        open=body.get("open") is True,
        n=counted(body, number) if type(number) is int else 1,
        answers=answers_in(body.get("answers")),
    )


CHANGE_WAY = EntryKind(
    name="cutter",
    write=_way,
    of_body=_read_way,
    point="nothing",
    follows_renames=False,
    undoes=False,
    lost="its machine",
    at_machine=True,
    gathered="its place",
    look_back="",
    retired="its machine",
    export=False,
    status=True,
    voidable=False,
)
