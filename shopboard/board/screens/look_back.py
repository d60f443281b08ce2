"""Look back: a day is typed on the pad, and every point shows how it stood then and stands now."""

from __future__ import annotations

from typing import ClassVar

from shopboard.base.dates import day
from shopboard.base.state_words import state_word
from shopboard.board.field import MINUS_ONCE_MORE, FieldSort
from shopboard.board.keys import BACK, DOWN, HELP, LOOK, UP, Key
from shopboard.board.look_back_view import LookBackRow, ToldSince, ask_lines, then_lines
from shopboard.board.paint import Line
from shopboard.board.screens.typing import TypingScreen
from shopboard.journal import JournalError
from shopboard.standing.look_back import StandingChange, ThenStanding, changes, taken_back_since
from shopboard.standing.look_back import events as events_of
from shopboard.standing.model import WORST_FIRST
from shopboard.upkeep.moment import Moment, MomentError, read_moment


class LookBackScreen(TypingScreen):
    """Asks for a day, then lists the points; 1 leaves out those that did not change."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (LOOK, UP, DOWN, BACK, HELP)

    def __init__(self) -> None:
        super().__init__()
        self._moment: Moment | None = None
        self._then: ThenStanding | None = None
        self._compared_with: object = None
        self._upto = 0
        """Number of the last entry at the present that it is compared with."""
        self._rows: list[LookBackRow] = []
        self._glued: list[str] = []
        self._only_changed = False

    def heading(self) -> str:
        """Say which day is looked at."""
        return f"Look back: {self._moment.words}" if self._moment else "Look back"

    def body(self, width: int, room: int) -> list[Line]:
        """Ask for the day, or show it."""
        if self._moment is None or self._then is None:
            return ask_lines(self._entry, self._understood(), (width, room))
        self._compare(self._then)
        rows = self._shown()
        self._cursor = min(self._cursor, max(len(rows) - 1, 0))
        here = rows[self._cursor] if rows else None
        told = ToldSince(
            [*self._glued, *(self._details(here) if here else [])],
            self._happened(here) if here else [],
        )
        unit, when = self.open_shop.shop.unit, self._moment.when
        about, size = (self._head(), self._choice()), (width, room)
        return then_lines(rows, self._cursor, about, told, when, unit, size)

    def _understood(self) -> str:
        if self._entry.strip() in ("", "-"):
            return MINUS_ONCE_MORE if self._entry.strip() else ""
        try:
            return read_moment(self._entry, self.open_shop.now()).words
        except MomentError:
            return ""  # it may not be typed to its end yet

    def _head(self) -> str:
        then = self._then
        if then is None or not then.upto:
            return "Nothing was on record by then."
        standing = then.standing
        counts = [f"{n} {state_word(one)}" for one in WORST_FIRST if (n := standing.count(one))]
        return f"As it was known then: {' · '.join(counts) or 'no points'}"

    def _choice(self) -> str:
        changed = sum(1 for row in self._rows if row.changed)
        return "show all points" if self._only_changed else f"only what changed since: {changed}"

    def _compare(self, then: ThenStanding) -> None:
        """Hold the day against the present, anew whenever that has changed."""
        now = self.open_shop.standing
        if self._compared_with is now:
            return
        self._compared_with, self._upto = now, self.open_shop.journal.last_seq()
        self._glued = self._glued_up(then)
        differ = {one.after.point.full_name for one in changes(then.standing, now)}
        names = {one.id: one.name for one in self.open_shop.shop.machines}
        pairs = (
            (before, now.of_point(before.point.full_name))
            for machine in then.standing.machines
            for before in machine.points
        )
        self._rows = [
            LookBackRow(
                names.get(before.point.machine, before.point.machine),
                before,
                after,
                after.point.full_name in differ,
            )
            for before, after in pairs
            if after is not None
        ]

    def _glued_up(self, then: ThenStanding) -> list[str]:
        """Tell the newest glue-up on hold since."""
        from shopboard.prep.decided import decided_between

        open_shop = self.open_shop
        joints = [joint for project in open_shop.shop.projects for joint in project.joints]
        told = decided_between(open_shop.journal, joints, then.upto, self._upto)
        more = f" ({len(told) - 1} more before)" if len(told) > 1 else ""
        return [f"{joint.name}: {one.words}{more}" for joint, one in told[-1:]]

    def _shown(self) -> list[LookBackRow]:
        return [row for row in self._rows if row.changed or not self._only_changed]

    def _details(self, row: LookBackRow) -> list[str]:
        """Tell of a point why it stood so, and why it stands so now."""
        lines = [f"then: {state_word(row.before.state)}{_because(row.before.reason)}"]
        back = taken_back_since(row.before)
        if back is not None:
            lines.append(f"Its result was withdrawn since: {back}")
        if row.changed:
            lines.append(f"now: {state_word(row.after.state)}{_because(row.after.reason)}")
        return lines

    def _happened(self, row: LookBackRow) -> list[str]:
        """Tell what happened to a point between then and now."""
        open_shop, then = self.open_shop, self._then
        if then is None or not row.changed:
            return []
        change = StandingChange(row.before, row.after)
        told = events_of(
            open_shop.journal, open_shop.shop, change, then.upto, self._upto, open_shop.now()
        )
        return [f"{day(one.when)} {one.when.astimezone():%H:%M}  {one.marked}" for one in told]

    @property
    def field(self) -> FieldSort | None:
        """A day is typed as a number is."""
        return "day" if self._moment is None else None

    def do_look(self) -> None:
        """Look at the day that was typed, or ask for another one."""
        if self._moment is not None:
            self._moment, self._then = None, None
            self.clear_field()
            return
        open_shop = self.open_shop
        try:
            moment = read_moment(self._entry, open_shop.now())
            self._then = open_shop.stood(moment.when)
        except MomentError as error:
            self._refused = True
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say(f"{error.title} {error.advice}", "out")
            return
        self._moment, self._compared_with, self._cursor = moment, None, 0

    def do_digit(self, number: int) -> None:
        """Leave out what did not change, or show it again."""
        if number == 1 and self._moment is not None:
            self._only_changed = not self._only_changed
            self._cursor = 0


def _because(reason: str) -> str:
    return f": {reason}" if reason else ""
