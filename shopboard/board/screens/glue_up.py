"""The answer before a glue-up, large."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar

from shopboard.board import doors
from shopboard.board.glue_lists import ANSWER_MARKS
from shopboard.board.glue_view import GONE, answer_lines, working_lines
from shopboard.board.keys import ANYWAY, BACK, FIRST_REASON, HELP, NEEDS, TAKE_BACK, Key
from shopboard.board.notice import board_notice
from shopboard.board.paint import Line
from shopboard.board.screens.sliced import SlicedScreen
from shopboard.board.screens.steady import SteadyScreen
from shopboard.prep.answers import answers_of, work_ahead
from shopboard.prep.decided import TAKEN_BACK, Decision, standing_decision
from shopboard.prep.glue_up import GlueUpAnswer, Reason
from shopboard.prep.point_need import need_for
from shopboard.shop.project import Joint


class GlueUpScreen(SlicedScreen, SteadyScreen):
    """Go or hold for one joint; a digit opens what a reason asks for."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (*(FIRST_REASON, TAKE_BACK, NEEDS, ANYWAY, BACK, HELP),)

    def __init__(self, project_id: str, joint_id: str) -> None:
        super().__init__()
        self._project_id = project_id
        self._joint_id = joint_id
        self._answer: GlueUpAnswer | None = None
        self._answered_for: object = None
        self._decision: Decision | None = None
        self._decided_for: object = None
        self._asked_back = ""

    def _joints(self) -> list[Joint]:
        """Give the joint; none when it is gone."""
        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        return [one for one in project.joints if one.id == self._joint_id] if project else []

    def pieces(self) -> Iterator[None]:
        """Work out the answer."""
        return work_ahead(self.open_shop, self._joints())

    def _found(self) -> GlueUpAnswer | None:
        """Give the answer, worked out once until anything changes; None when the joint is gone."""
        if self._answered_for is not self.open_shop.standing:
            joints = self._joints()
            self._answer = answers_of(self.open_shop, joints)[0] if joints else None
            self._answered_for = self.open_shop.standing
        return self._answer

    def heading(self) -> str:
        """Name project and joint."""
        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        joints = self._joints()
        return f"{project.name} · {joints[0].name}" if project and joints else self._joint_id

    def tagged(self) -> str:
        """Say why a machine that made the joint is not to be used."""
        found = self._found() if self.is_worked_out() else None
        tags = [one for one in found.reasons if one.sort == "tag"] if found is not None else []
        if not tags:
            return ""
        standing = self.open_shop.standing.of_machine(tags[0].about)
        return f"{standing.machine.name}: {standing.tag}" if standing is not None else ""

    def told(self) -> Sequence[str]:
        """Say the answer."""
        found = self._answer  # as the body found it
        return (f"{ANSWER_MARKS[found.word]} {found.word}",) if found is not None else ()

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the answer."""
        if not self.is_worked_out():
            return working_lines(width)
        found = self._found()
        if found is None:
            return [(), ((f"  {GONE}", "bold"),)]
        decided = self._decided()
        words = decided.words if decided is not None else ""
        return answer_lines(found, self.open_shop.shop.unit, (width, room), words)

    def keys_now(self) -> tuple[Key, ...]:
        """Show what can be opened, gone on with on hold, or withdrawn."""
        found = self._answer  # as the body found it: a look at the journal may fail here
        idle = []
        if found is None or not any(map(_opens, found.told)):
            idle.append(FIRST_REASON)
        if found is None or found.go:
            idle.append(ANYWAY)
        if self._decision is None:
            idle.append(TAKE_BACK)
        return tuple(key for key in self.keys if key not in idle)

    def _decided(self) -> Decision | None:
        """Give what the person decided of the joint on hold, read once until anything changes."""
        if self._decided_for is not self.open_shop.standing:
            joints = self._joints()
            self._decision = (
                standing_decision(self.open_shop.journal, joints[0]) if joints else None
            )
            self._decided_for = self.open_shop.standing
        return self._decision

    def do_anyway(self) -> None:
        """Ask why it is glued up on hold."""
        found = self._found() if self.is_worked_out() else None
        if found is None or found.go:
            self.refuse("nothing holds it up" if found else "one moment: it is being worked out")
        else:
            self.app.push_screen(doors.AnywayScreen(found))

    def do_take_back(self) -> None:
        """Withdraw the newest decision; the second time."""
        decided = self._decided()
        if self._asked_back and self.board.in_doubt.holds(("take back", self._asked_back)):
            self._take_back(self._asked_back)  # it met an error, and may be withdrawn already
        elif decided is None:
            self.refuse("there is no decision to withdraw")
        elif self._asked_back != decided.uid:
            self._asked_back = decided.uid
            self.ask_once_more("Press / or v once more: it was not glued up.")
        else:
            self._take_back(decided.uid)

    def _take_back(self, uid: str) -> None:
        if not self.recorded(
            ("take back", uid), lambda name: self.open_shop.journal.void(uid, TAKEN_BACK, name)
        ):
            return
        self._asked_back = ""
        self.take_in()
        self.say("Withdrawn; it stays on record.", "true")

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._asked_back = ""

    def standing_notice(self) -> Line:
        """Say what the board would say."""
        return board_notice(self)

    def do_open(self) -> None:
        """Open what the first reason asks for that a screen can show."""
        found = self._found()
        told = found.told if found is not None else ()
        can_open = [one for one in told if _opens(one)]
        if can_open:
            self._open(can_open[0])
        else:
            self.refuse("there is nothing to check" if not told else "no check helps here")

    def do_digit(self, number: int) -> None:
        """Open what the reason with that number asks for."""
        found = self._found()
        told = found.told if found is not None else ()
        if number > len(told):
            self.refuse("there is no such line")
        elif not _opens(told[number - 1]):
            self.refuse("no check helps here")
        else:
            self._open(told[number - 1])

    def _open(self, reason: Reason) -> None:
        if reason.point:
            project, joints = (
                self.open_shop.shop.projects_by_id.get(self._project_id),
                self._joints(),
            )
            need = None
            if project is not None and joints:
                need = need_for(self.open_shop, reason.point, project, joints[0])
            self.app.push_screen(doors.PointScreen(reason.point, need))
            return
        self.app.push_screen(doors.MachineScreen(reason.about))

    def do_needs(self) -> None:
        """Show what the project needs."""
        self.app.push_screen(doors.NeedsScreen(self._project_id))


def _opens(reason: Reason) -> bool:
    """Tell whether there is a screen for it: the check's point, or the machine."""
    return bool(reason.point) or reason.sort in ("tag", "change")
