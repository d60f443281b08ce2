"""What is recorded of a point beside its checks: it was moved; a note about a result."""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.row import Body, EntryKind, text_in


class PointMoved(NamedTuple):
    """What was true of the point before is so no more."""

    by_salvage: bool = False
    """Nobody moved it: an entry that was lost may have undone it."""


def _moved(value: PointMoved) -> Body:
    return {"v": 1, "salvaged": True} if value.by_salvage else {"v": 1}


def _read_moved(body: Body) -> PointMoved:
    return PointMoved(by_salvage=body.get("salvaged") is True)


MOVED = EntryKind(
    name="moved",
    write=_moved,
    of_body=_read_moved,
    point="point",
    follows_renames=True,
    undoes=True,
    lost="its point",
    at_machine=False,
    gathered="its place",
    look_back="setting",
    retired="nothing",
    export=False,
    status=True,
    voidable=False,
)


class Remark(NamedTuple):
    """A note about the result that the entry refers to."""

    words: str


def _remark(value: Remark) -> Body:
    return {"v": 1, "words": value.words}


def _read_remark(body: Body) -> Remark:
    return Remark(text_in(body.get("words")))


REMARK = EntryKind(
    name="remark",
    write=_remark,
    of_body=_read_remark,
    point="point",
    follows_renames=True,
    undoes=False,
    lost="nothing",
    at_machine=False,
    gathered="no",
    look_back="",
    retired="nothing",
    export=True,
    status=False,
    voidable=False,
)
