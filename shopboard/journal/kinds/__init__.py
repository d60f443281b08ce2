"""Every kind of entry, one row each: a new one gets its row here and answers every question."""

from __future__ import annotations

from typing import Any

from shopboard.journal.kinds.change_way import CHANGE_WAY as CHANGE_WAY
from shopboard.journal.kinds.change_way import ChangeWay as ChangeWay
from shopboard.journal.kinds.check import CHECK as CHECK
from shopboard.journal.kinds.check import Holds as Holds
from shopboard.journal.kinds.check import KeptResult as KeptResult
from shopboard.journal.kinds.check import KeptTolerance as KeptTolerance
from shopboard.journal.kinds.check_way import ANSWER as ANSWER
from shopboard.journal.kinds.check_way import BACK as BACK
from shopboard.journal.kinds.check_way import BEGIN as BEGIN
from shopboard.journal.kinds.check_way import END as END
from shopboard.journal.kinds.check_way import CheckBegun as CheckBegun
from shopboard.journal.kinds.cutters import CUTTER as CUTTER
from shopboard.journal.kinds.cutters import CutterSaid as CutterSaid
from shopboard.journal.kinds.cutters import CutterUse as CutterUse
from shopboard.journal.kinds.did import Did as Did
from shopboard.journal.kinds.did import DidWhat as DidWhat
from shopboard.journal.kinds.keeping import CLOCK as CLOCK
from shopboard.journal.kinds.keeping import COMPUTER as COMPUTER
from shopboard.journal.kinds.keeping import MADE_UP as MADE_UP
from shopboard.journal.kinds.keeping import SALVAGED as SALVAGED
from shopboard.journal.kinds.keeping import VOID as VOID
from shopboard.journal.kinds.keeping import CameBack as CameBack
from shopboard.journal.kinds.keeping import ComputerName as ComputerName
from shopboard.journal.kinds.keeping import Lost as Lost
from shopboard.journal.kinds.keeping import MadeUp as MadeUp
from shopboard.journal.kinds.keeping import TakenBack as TakenBack
from shopboard.journal.kinds.points import MOVED as MOVED
from shopboard.journal.kinds.points import REMARK as REMARK
from shopboard.journal.kinds.points import PointMoved as PointMoved
from shopboard.journal.kinds.points import Remark as Remark
from shopboard.journal.kinds.preparing import GLUE_UP as GLUE_UP
from shopboard.journal.kinds.preparing import PAUSE as PAUSE
from shopboard.journal.kinds.preparing import PREP as PREP
from shopboard.journal.kinds.preparing import GluedOnHold as GluedOnHold
from shopboard.journal.kinds.preparing import LeftUndone as LeftUndone
from shopboard.journal.kinds.preparing import Pause as Pause
from shopboard.journal.kinds.preparing import PrepAct as PrepAct
from shopboard.journal.kinds.rounds import ROUND as ROUND
from shopboard.journal.kinds.rounds import EarlierAnswer as EarlierAnswer
from shopboard.journal.kinds.rounds import RoundKept as RoundKept
from shopboard.journal.kinds.row import Bare as Bare
from shopboard.journal.kinds.row import EntryKind as EntryKind
from shopboard.journal.kinds.row import UnreadableBodyError as UnreadableBodyError
from shopboard.journal.kinds.tasks import TASK as TASK
from shopboard.journal.kinds.tasks import TASK_BEGIN as TASK_BEGIN
from shopboard.journal.kinds.tasks import TASK_END as TASK_END
from shopboard.journal.kinds.tasks import TASK_STEP as TASK_STEP
from shopboard.journal.kinds.tasks import TaskBegun as TaskBegun
from shopboard.journal.kinds.tasks import TaskDone as TaskDone
from shopboard.journal.kinds.tasks import TaskStepDone as TaskStepDone
from shopboard.journal.kinds.upkeep import HAPPENING as HAPPENING
from shopboard.journal.kinds.upkeep import TAG as TAG
from shopboard.journal.kinds.upkeep import Tagged as Tagged
from shopboard.journal.kinds.upkeep import WhatHappened as WhatHappened
from shopboard.shop.renames import PointMeans

ALL: tuple[EntryKind[Any], ...] = (
    *(CHECK, MOVED, REMARK, VOID),
    *(BEGIN, ANSWER, BACK, END),
    *(TASK, TASK_BEGIN, TASK_STEP, TASK_END),
    *(HAPPENING, CUTTER, ROUND, TAG),
    *(PREP, PAUSE, GLUE_UP),
    *(CLOCK, COMPUTER, SALVAGED, MADE_UP),
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
