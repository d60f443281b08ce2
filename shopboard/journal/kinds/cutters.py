"""What is recorded of a cutter: an act or its use, with its whole state after it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Literal, cast, get_args

from shopboard.base.dates import told_time
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds.row import Body, EntryKind, amount_in, noted, on_day, text_in
from shopboard.shop.machine import Sharpness, Where

UseUnit = Literal["minutes", "cuts", "mm", "projects"]
UNITS: tuple[UseUnit, ...] = get_args(UseUnit)

USED = "used"
"""What an entry says that only adds use."""

_WHERE, _STATES = get_args(Where), get_args(Sharpness)


class CutterUse(NamedTuple):
    """How much a cutter has cut, as far as it was recorded."""

    minutes: float = 0.0
    cuts: float = 0.0
    mm: float = 0.0
    projects: float = 0.0

    def of(self, unit: UseUnit) -> float:
        """Give the use in one unit."""
        return self[UNITS.index(unit)]

    def plus(self, unit: UseUnit, amount: float) -> CutterUse:
        """Add to one unit."""
        values = [*self]
        values[UNITS.index(unit)] += amount
        return CutterUse(*values)


class CutterSaid(NamedTuple):
    """What happened to a cutter, and how it stands since; what is not told is as in the shop file.

    An act holds no amount; a use holds nothing but an amount beside the state.
    """

    what: str
    """Name of the act, or ``used``."""
    where: Where | None = None
    state: Sharpness | None = None
    edge: int | None = None
    """Number of the edge that cuts, from 1."""
    use: CutterUse = CutterUse()
    """Since this edge was sharp."""
    sharpenings_left: int | None = None
    lives: tuple[CutterUse, ...] = ()
    """Its use each time that it was found dull, the newest first."""
    cost: float | None = None
    """What its newest sharpening cost, in the shop's money."""
    looked: CutterUse = CutterUse()
    """Its use when somebody looked, past its life, and found it still sharp; nothing: nobody."""
    sent: datetime | None = None
    """When it was sent to the sharpener."""
    note: str = ""
    paid: float | None = None
    """What this act cost, in the shop's money."""
    amount: float | None = None
    """How much it was used: minutes, cuts, mm, projects."""
    of: str = ""
    """What was counted of its machine: ``hours run``."""
    on: datetime | None = None
    """When it was used, where that was said later."""

    @property
    def is_use(self) -> bool:
        """Whether it only adds use."""
        return self.what == USED


def _said(value: CutterSaid) -> Body:
    state = {
        "what": value.what,
        "where": value.where,
        "state": value.state,
        "edge": value.edge,
        **value.use._asdict(),
        "sharpenings_left": value.sharpenings_left,
        "lives": [life._asdict() for life in value.lives],
        "cost": value.cost,
    }
    looked = {"looked": value.looked._asdict()} if any(value.looked) else {}
    sent = {"sent": value.sent.isoformat()} if value.sent is not None else {}
    counted = {"paid": value.paid, "amount": value.amount, "of": value.of or None}
    more = {key: one for key, one in counted.items() if one is not None}
    return {"v": 1, **state, **looked, **sent, **noted(value.note), **more, **on_day(value.on)}


def _read_said(body: Body) -> CutterSaid:
    where, state = body.get("where"), body.get("state")
    edge, left, lives = body.get("edge"), body.get("sharpenings_left"), body.get("lives")
    looked, cost = body.get("looked"), body.get("cost")
    return CutterSaid(
        what=text_in(body.get("what")),
        where=cast(Where, where) if where in _WHERE else None,
        state=cast(Sharpness, state) if state in _STATES else None,
        edge=edge if type(edge) is int else None,
        use=_use_in(body),
        sharpenings_left=left if type(left) is int else None,
        lives=tuple(_use_in(one) for one in lives if isinstance(one, dict))
        if isinstance(lives, list)
        else (),
        cost=None if cost is None else _from_0(cost),
        looked=_use_in(looked) if isinstance(looked, dict) else CutterUse(),
        sent=told_time(body.get("sent")),
        note=text_in(body.get("note")),
        paid=amount_in(body.get("paid")),
        amount=amount_in(body.get("amount")),
        of=text_in(body.get("of")),
        on=told_time(body.get("on")),
    )


def _use_in(body: Mapping[str, object]) -> CutterUse:
    return CutterUse(*(_from_0(body.get(unit)) for unit in UNITS))


def _from_0(value: object) -> float:
    """Give an amount; 0 where a later program wrote something else."""
    amount = amount_in(value)
    return amount if amount is not None and 0 <= amount < 1e12 else 0.0


CUTTER = EntryKind(
    name="cutter",
    write=_said,
    of_body=_read_said,
    point="cutter",
    follows_renames=True,
    undoes=False,
    lost="its machine",
    at_machine=True,
    gathered="its place",
    look_back="",
    retired="its machine",
    export=False,
    status=True,
    voidable=True,
)
