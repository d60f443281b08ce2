"""What the journal says of itself: withdrawn, the clock, the computer, a salvage."""

from __future__ import annotations

from collections.abc import Iterable

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.row import (
    Body,
    EntryKind,
    bare,
    read_bare,
    text_in,
)


class TakenBack(NamedTuple):
    """Another entry counts no more."""

    reason: str


def _taken_back(value: TakenBack) -> Body:
    return {"v": 1, "reason": value.reason}


def _read_taken_back(body: Body) -> TakenBack:
    return TakenBack(text_in(body.get("reason")))


VOID = EntryKind(
    name="void",
    write=_taken_back,
    of_body=_read_taken_back,
    point="any of them",
    follows_renames=True,
    undoes=False,
    lost="its point",
    at_machine=False,
    gathered="anew",
    look_back="",
    retired="nothing",
    export=True,
    status=True,
    voidable=False,
)

CLOCK = EntryKind(
    name="clock",
    write=bare,
    of_body=read_bare,
    point="nothing",
    follows_renames=False,
    undoes=False,
    lost="nothing",
    at_machine=False,
    gathered="anew",
    look_back="",
    retired="nothing",
    export=False,
    status=True,
    voidable=False,
)


class ComputerName(NamedTuple):
    """Which computer records from here on."""

    name: str


def _computer(value: ComputerName) -> Body:
    return {"v": 1, "name": value.name}


def _read_computer(body: Body) -> ComputerName:
    return ComputerName(text_in(body.get("name")))


COMPUTER = EntryKind(
    name="computer",
    write=_computer,
    of_body=_read_computer,
    point="nothing",
    follows_renames=False,
    undoes=False,
    lost="nothing",
    at_machine=False,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=False,
    voidable=False,
)


class MadeUp(NamedTuple):
    """All that stands in the journal was made up, to be looked at: nothing of it happened."""

    seed: int
    """What the same records follow from."""
    on: str
    """When they were made: a time in UTC as ISO 8601."""
    program: str
    """Version of the program that made them."""


def _made_up(value: MadeUp) -> Body:
    return {"v": 1, **value._asdict()}


def _read_made_up(body: Body) -> MadeUp:
    seed = body.get("seed")
    return MadeUp(
        seed if isinstance(seed, int) else 0, text_in(body.get("on")), text_in(body.get("program"))
    )


MADE_UP = EntryKind(
    name="made-up",
    write=_made_up,
    of_body=_read_made_up,
    point="nothing",
    follows_renames=False,
    undoes=False,
    lost="nothing",
    at_machine=False,
    gathered="no",
    look_back="",
    retired="nothing",
    export=False,
    status=True,
    voidable=False,
)


class Lost(NamedTuple):
    """Entries that did not come back: one, or several in a row of which no more is known."""

    first: int
    """Old number of the first."""
    last: int
    """Old number of the last."""
    kind: str = ""
    """What sort it was; empty: not known."""
    machine: str = ""
    """Of which machine; empty: of none, or not known."""
    point: str = ""
    """Of which point; empty: of none, or not known."""
    after: str = ""
    """Time of recording in UTC, or of the entry before it; empty: there is none before."""
    before: str = ""
    """The same, or that of the entry after it; empty: there is none after."""
    certain: bool = False
    """Whether what it was is told by an index, and the row itself says nothing else."""


class CameBack(NamedTuple):
    """From which broken file all that stands before came, and what did not."""

    source: str
    """The broken file."""
    found: int
    """Entries that came back."""
    missing: tuple[Lost, ...]
    """What did not come back, as far as it is named."""
    missing_in_all: int | None
    """Entries that did not come back, named or not; None: not told."""


def _came_back(value: CameBack) -> Body:
    return {
        "v": 1,
        "from": value.source,
        "found": value.found,
        "missing": [one._asdict() for one in value.missing],
        "missing_in_all": value.missing_in_all,
    }


def _read_came_back(body: Body) -> CameBack:
    found, missing, in_all = body.get("found"), body.get("missing"), body.get("missing_in_all")
    return CameBack(
        source=text_in(body.get("from")),
        found=found if isinstance(found, int) else 0,
        missing=tuple(_lost(missing if isinstance(missing, list) else ())),
        missing_in_all=in_all if isinstance(in_all, int) else None,
    )


def _lost(missing: Iterable[object]) -> Iterable[Lost]:
    for one in missing:
        if not isinstance(one, dict):
            continue
        first, last = one.get("first"), one.get("last")
        if isinstance(first, int) and isinstance(last, int):
            yield Lost(
                first,
                last,
                text_in(one.get("kind")),
                text_in(one.get("machine")),
                text_in(one.get("point")),
                text_in(one.get("after")),
                text_in(one.get("before")),
                certain=one.get("certain") is True,
            )


SALVAGED = EntryKind(
    name="salvaged",
    write=_came_back,
    of_body=_read_came_back,
    point="nothing",
    follows_renames=False,
    undoes=False,
    lost="its machine",
    at_machine=False,
    gathered="anew",
    look_back="",
    retired="nothing",
    export=False,
    status=True,
    voidable=False,
)
