"""Every kind of entry, one row each: a new one gets its row here and answers every question."""

from __future__ import annotations

from typing import Any

from shopboard.journal.kinds.change_way import ChangeWay, way_body, way_in
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
from shopboard.journal.kinds.visits import (
    ANSWER,
    BACK,
    BEGIN,
    END,
    CheckBegun,
)

__all__ = [
    "ALL",
    "ANSWER",
    "BACK",
    "BEGIN",
    "CLOCK",
    "COMPUTER",
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
    "Did",
    "DidWhat",
    "EarlierAnswer",
    "EntryKind",
    "GluedOnHold",
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
    "way_body",
    "way_in",
]

ALL: tuple[EntryKind[Any], ...] = (
    *(MOVED, REMARK, VOID),
    *(BEGIN, ANSWER, BACK, END),
    *(TASK, TASK_BEGIN, TASK_STEP, TASK_END),
    *(HAPPENING, TAG, ROUND),
    *(PREP, GLUE_UP),
    *(CLOCK, COMPUTER, SALVAGED),
)
"""The table."""

NAMED = {one.name: one for one in ALL}
"""The same by name; a later program's kinds are not among them."""
