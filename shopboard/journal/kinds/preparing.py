"""What is recorded of the next project: a prep day, a pause in it, a glue-up on hold."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Literal

from shopboard.base.dates import told_time
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.row import Body, EntryKind, amount_in, number_in, text_in, texts_in

_MOST_DAYS = 1000
"""Days that nobody says to have."""

_MOST_PIECES = 300
"""Pieces of work that nobody does in one day."""


class LeftUndone(NamedTuple):
    """A piece of work that a prep day left when it ended, as it was told then."""

    machine: str
    """Id of its machine."""
    words: str
    minutes: float
    """How long it would have taken."""
    risk: str
    """What that puts at risk; empty: nothing was said."""


class PrepAct(NamedTuple):
    """A prep day begins, or the time for it changes, which tells the day anew; or it ends.

    Of one that ends nothing else is told than what it left.
    """

    what: Literal["begun", "time", "ended", ""]
    """Empty: a later program's act."""
    project: str = ""
    """Id of the project it is for; empty: everything that is due."""
    allow_open: bool = False
    """Whether two machines may stand open with their cutters out at once."""
    finish: datetime | None = None
    """When all would be done, as it was said at its beginning."""
    until: datetime | None = None
    """The end of the time that one has; None: not told."""
    days: int = 0
    """Days that one has; 0: not told."""
    any_hours: bool = False
    """Whether one stays through pause and closing."""
    planned: tuple[tuple[str, float], ...] = ()
    """Ids of machines, each with the minutes of work that were planned at its beginning."""
    left: tuple[LeftUndone, ...] = ()
    """What was left when it ended; of a day of before it is not told."""
    put_off: int | None = None
    """How many jobs did not fit into its time at its beginning; None: not told."""
    order: tuple[str, ...] = ()
    """Names of its pieces of work, as planned at its beginning; of more than a few hundred only the
    first."""


def _prep(value: PrepAct) -> Body:
    if value.what not in ("begun", "time"):
        left = {"left": [[*one] for one in value.left]} if value.left else {}
        return {"v": 1, "what": value.what, **left}
    return {
        "v": 1,
        "what": value.what,
        "project": value.project,
        "allow_open": value.allow_open,
        "finish": value.finish.isoformat() if value.finish is not None else None,
        **({"until": value.until.isoformat()} if value.until is not None else {}),
        **({"days": value.days} if value.days else {}),
        **({"any_hours": True} if value.any_hours else {}),
        **({"planned": [[*one] for one in value.planned]} if value.planned else {}),
        **({"put_off": value.put_off} if value.put_off is not None else {}),
        **({"order": [*value.order[:_MOST_PIECES]]} if value.order else {}),
    }


def _read_prep(body: Body) -> PrepAct:
    what = body.get("what")
    days = number_in(body.get("days"))
    return PrepAct(
        "begun" if what == "begun" else "time" if what == "time" else _ended(what),
        text_in(body.get("project")),
        body.get("allow_open") is True,
        told_time(body.get("finish")),
        told_time(body.get("until")),
        int(days) if 0 < days < _MOST_DAYS else 0,
        body.get("any_hours") is True,
        tuple(_planned(body.get("planned"))),
        tuple(_left(body.get("left"))),
        None if (put_off := amount_in(body.get("put_off"))) is None else int(put_off),
        texts_in(body.get("order")),
    )


def _planned(value: object) -> Iterator[tuple[str, float]]:
    for one in value if isinstance(value, list) else ():
        if isinstance(one, list) and len(one) == 2:
            yield text_in(one[0]), number_in(one[1])


def _left(value: object) -> Iterator[LeftUndone]:
    for one in value if isinstance(value, list) else ():
        if isinstance(one, list) and len(one) == 4:
            machine, words, minutes, risk = one
            yield LeftUndone(text_in(machine), text_in(words), number_in(minutes), text_in(risk))


def _ended(what: object) -> Literal["ended", ""]:
    return "ended" if what == "ended" else ""


PREP = EntryKind(
    name="prep",
    write=_prep,
    of_body=_read_prep,
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
    voidable=True,
)


class Pause(NamedTuple):
    """Nothing was recorded for long, and the person said whether they were away."""

    away: bool
    """False: they were at it all the time."""
    since: datetime | None
    """When something was recorded before; None: not told."""


def _pause(value: Pause) -> Body:
    since = value.since.isoformat() if value.since is not None else None
    return {"v": 1, "away": value.away, "since": since}


def _read_pause(body: Body) -> Pause:
    return Pause(body.get("away") is True, told_time(body.get("since")))


PAUSE = EntryKind(
    name="pause",
    write=_pause,
    of_body=_read_pause,
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
    voidable=True,
)


class GluedOnHold(NamedTuple):
    """A joint was glued up although it was on hold."""

    project: str
    """Id of its project."""
    joint: str
    """Its id in the project."""
    name: str
    """Of the joint."""
    why: str
    """The person's reason; empty: none is on record."""
    held: tuple[str, ...]
    """What held it up then, in words."""
    held_sorts: tuple[str, ...] = ()
    """What sort of reason each of these is; empty: not on record."""


def _glued(value: GluedOnHold) -> Body:
    body: Body = {"v": 1, **value._asdict(), "held": list(value.held)}
    return {**body, "held_sorts": list(value.held_sorts)}


def _read_glued(body: Body) -> GluedOnHold:
    return GluedOnHold(
        text_in(body.get("project")),
        text_in(body.get("joint")),
        text_in(body.get("name")),
        text_in(body.get("why")),
        texts_in(body.get("held")),
        texts_in(body.get("held_sorts")),
    )


GLUE_UP = EntryKind(
    name="glue-up",
    write=_glued,
    of_body=_read_glued,
    point="joint",
    follows_renames=True,
    undoes=False,
    lost="nothing",
    at_machine=False,
    gathered="no",
    look_back="glue-up",
    retired="nothing",
    export=False,
    status=False,
    voidable=True,
)
