"""What a line of the prep day opens; what has no steps is done by its digit, chosen first."""

from __future__ import annotations

from shopboard.board.nines import digit_of
from shopboard.board.screens.steady import SteadyScreen
from shopboard.board.screens.timed_day import TimedDayScreen
from shopboard.prep.due_changes import cutter_of
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import DayPlan
from shopboard.upkeep.cutter_acts import why_not
from shopboard.upkeep.cutter_journal import record_act
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.task_marks import record_task


class PieceScreen(TimedDayScreen, SteadyScreen):
    """Begins what a line stands for, or goes on with it."""

    def __init__(self) -> None:
        super().__init__()
        self._allow_open = False
        self._chosen = ""
        """Id of the piece that is marked done when it is chosen once more."""

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._chosen = ""

    def second_open(self, plan: DayPlan, piece: Piece, opens: str, key: str) -> bool:
        """Say that another machine, or mode of it, stands open; the second time, let it be."""
        allowed = plan.day.allow_open if plan.day is not None else self._allow_open
        machines = self.open_shop.shop.machines_by_id
        other, here = machines.get(plan.open_now), machines.get(piece.machine)
        chosen = f"open {piece.id}"
        if other is None or here is None or here.id == other.id or self._chosen == chosen:
            return False
        changes_over = bool(here.body) and here.body == other.body
        if not changes_over and (allowed or not opens):
            return False
        self._chosen = chosen
        words = f"STOP. {other.name} is apart with its cutter out: close it first."
        self.ask_once_more(f"{words} {key} once more goes on all the same.", "danger")
        return True

    def open_change(self, piece: Piece, key: str) -> None:
        """Begin the change of a cutter, or go on with it; one that is cleaned is asked once."""
        from shopboard.board.ways_in import begin_changing, go_on_changing

        machine = self.open_shop.standing.of_machine(piece.machine)
        cutters = machine.cutters if machine is not None else ()
        one = cutter_of(piece, cutters)
        if not piece.act or one is None:
            go_on_changing(self, piece.machine)
            return
        if piece.act == "cleaned":
            self._clean(one, piece, key)
            return
        begin_changing(self, one, piece.act)

    def _clean(self, one: CutterStanding, piece: Piece, key: str) -> None:
        """Record that a cutter is clean when its digit is pressed after its line was chosen."""
        if why := why_not(one, piece.act):
            self.refuse(f"{one.cutter.name}: {why}")
        elif self._chosen != piece.id or key == "Enter":
            self._chosen = piece.id
            digit = digit_of(self._cursor, self._cursor)
            words = f"Glasses, gloves, heed the cleaner's label. {digit} once more:"
            self.ask_once_more(f"{words} {one.cutter.name} is clean.")
        else:
            self._record_clean(one)

    def _record_clean(self, one: CutterStanding) -> None:
        journal, now = self.open_shop.journal, self.open_shop.now()
        if self.recorded(
            ("cutter", one.machine, one.id, "cleaned", None, ""),
            lambda uid: record_act(one, "cleaned", now, journal, uid=uid),
        ):
            self._chosen, self._cursor = "", 0
            self.take_in()
            self.say(f"Done and recorded: {one.cutter.name} is clean.")

    def open_task_of(self, piece: Piece, key: str) -> None:
        """Open a task's steps, or its caution; else it is done when its digit is pressed after."""
        machine = self.open_shop.standing.of_machine(piece.machine)
        tasks = machine.tasks if machine is not None else ()
        one = next((task for task in tasks if task.task.id == piece.target), None)
        if one is None:
            self.refuse("that task is no longer in the shop file")
            return
        if one.task.steps or one.task.cutter_near:
            from shopboard.board.ways_in import open_task

            open_task(self, piece.machine, one)
            return
        if self._chosen != piece.id or key == "Enter":  # Enter opens, one after the other
            self._chosen = piece.id
            digit = digit_of(self._cursor, self._cursor)
            self.ask_once_more(f"{one.task.name}: press {digit} when it is done.")
            return
        if not self.recorded(
            ("done", piece.machine, piece.target, None),
            lambda uid: record_task(self.open_shop.journal, piece.machine, piece.target, uid=uid),
        ):
            return
        self._chosen, self._cursor = "", 0
        self.take_in()
        self.say(f"Done and recorded: {one.task.name}.")
