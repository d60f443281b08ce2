"""Every kind of entry, one row each: a new one gets its row here and answers every question."""

from __future__ import annotations

from typing import Any

from shopboard.journal.kinds.change_way import CHANGE_WAY, ChangeWay
from shopboard.journal.kinds.check import CHECK, Holds, KeptResult, KeptTolerance
from shopboard.journal.kinds.check_way import (
    ANSWER,
    BACK,
    BEGIN,
    END,
    CheckBegun,
)
from shopboard.journal.kinds.cutters import CUTTER, CutterSaid, CutterUse
from shopboard.journal.kinds.did import Did, DidWhat
from shopboard.journal.kinds.keeping import (
    CLOCK,
    COMPUTER,
    SALVAGED,
    VOID,
    CameBack,
    ComputerName,
    Lost,
    TakenBack,
)
from shopboard.journal.kinds.points import MOVED, REMARK, PointMoved, Remark
from shopboard.journal.kinds.preparing import GLUE_UP, PREP, GluedOnHold, PrepAct
from shopboard.journal.kinds.rounds import ROUND, EarlierAnswer, RoundKept
from shopboard.journal.kinds.row import Bare, EntryKind, UnreadableBodyError
from shopboard.journal.kinds.tasks import (
    TASK,
    TASK_BEGIN,
    TASK_END,
    TASK_STEP,
    TaskBegun,
    TaskDone,
    TaskStepDone,
)
from shopboard.journal.kinds.upkeep import HAPPENING, TAG, Tagged, WhatHappened
from shopboard.shop.renames import PointMeans

__all__ = [
    "ALL",
    "ANSWER",
    "BACK",
    "BEGIN",
    "CHANGE_WAY",
    "CHECK",
    "CLOCK",
    "COMPUTER",
    "CUTTER",
    "END",
    "GLUE_UP",
    "HAPPENING",
    "MOVED",
    "NAMED",
    "PREP",
    "REMARK",
    "ROUND",
    "SALVAGED",
    "TAG",
    "TASK",
    "TASK_BEGIN",
    "TASK_END",
    "TASK_STEP",
    "VOID",
    "Bare",
    "CameBack",
    "ChangeWay",
    "CheckBegun",
    "ComputerName",
    "CutterSaid",
    "CutterUse",
    "Did",
    "DidWhat",
    "EarlierAnswer",
    "EntryKind",
    "GluedOnHold",
    "Holds",
    "KeptResult",
    "KeptTolerance",
    "Lost",
    "PointMoved",
    "PrepAct",
    "Remark",
    "RoundKept",
    "Tagged",
    "TakenBack",
    "TaskBegun",
    "TaskDone",
    "TaskStepDone",
    "UnreadableBodyError",
    "WhatHappened",
    "point_of",
    "row_of",
]

ALL: tuple[EntryKind[Any], ...] = (
    *(CHECK, MOVED, REMARK, VOID),
    *(BEGIN, ANSWER, BACK, END),
    *(TASK, TASK_BEGIN, TASK_STEP, TASK_END),
    *(HAPPENING, CUTTER, ROUND, TAG),
    *(PREP, GLUE_UP),
    *(CLOCK, COMPUTER, SALVAGED),
)
"""The table, one row a kind."""

BESIDE: tuple[EntryKind[Any], ...] = (CHANGE_WAY,)
"""Rows of what shares the name of a kind: in the place of no cutter stands the way of a change."""

NAMED = {one.name: one for one in ALL}
"""The same by name; a later program's kinds are not among them."""


def row_of(kind: str, point: str) -> EntryKind[Any] | None:
    """Give the row of an entry by its kind and what stands in the place of the point.

    Returns:
        None: it is a later program's.
    """
    beside = not point and kind == CHANGE_WAY.name
    return CHANGE_WAY if beside else NAMED.get(kind)


def point_of(kind: str) -> PointMeans:
    """Tell what stands in the place of the point, as far as it is read under today's name."""
    row = NAMED.get(kind)
    return row.point if row is not None and row.follows_renames else "nothing"
