"""What every screen of the board shares: one canvas, keys from the registry, a notice line."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.strip import Strip

from shopboard.board import doors
from shopboard.board.canvas import Canvas
from shopboard.board.frame import DEMO, bar, framed
from shopboard.board.paint import Line, plain, said, width_of
from shopboard.board.screens.keyed import KeyedScreen
from shopboard.board.unread import lead, to_do, told
from shopboard.journal import Entry, JournalError

if TYPE_CHECKING:
    from textual.geometry import Region
    from textual.message import Message
    from textual.widget import Widget

    from shopboard.open_shop import OpenShop

T = TypeVar("T")

ONCE_MORE = 10.0
"""Seconds for which a question waits for the same key once more: later it is another's key."""


class ShopScreen(KeyedScreen, inherit_css=False):  # Textual reads its own CSS for 2 ms
    """A screen that draws lines and obeys the keys that it declares."""

    DEFAULT_CSS = (
        "ShopScreen { layout: vertical; background: black; color: white; overflow: hidden; }"
    )
    AUTO_FOCUS = ""
    opens_in_order: ClassVar[bool] = False
    """Whether a point that it brings up leads on to the next one of the shop's order."""

    makes_the_file: ClassVar[bool] = False
    """Whether the shop file is being made on it: one that appears meanwhile is left alone."""

    is_covered = False
    """Whether another screen lies on it, or did until it is told that it is back."""

    waits_for_server = False
    """Whether what it says is of something that a server that is away did not take."""

    def compose(self) -> ComposeResult:
        """Fill the screen with one canvas."""
        yield Canvas(self.paint)

    def _extend_compose(self, widgets: list[Widget]) -> None:
        """Add none of Textual's own widgets: nothing here has a tooltip, and notices are lines."""

    def render_lines(self, crop: Region) -> list[Strip]:
        """Give nothing of its own: the canvas covers all of it."""
        return [Strip.blank(crop.width)] * crop.height

    @property
    def open_shop(self) -> OpenShop:
        """The open shop and journal."""
        return self.board.open_shop

    def paint(self, width: int, height: int) -> list[Line]:
        """Draw the whole screen."""
        try:
            notice = self._notice or self.standing_notice()
        except JournalError:
            notice = ()
        try:
            body, keys = self._with_tag(width, height - 3), self.keys_shown()
        except JournalError as error:  # it cannot be read now; the next look may do
            body, keys = told(error, width), self.keys
        mark = DEMO if self.board.has_open_shop and self.open_shop.is_demo else ()
        left = width - width_of(mark)
        try:
            top = (*mark, *self.top(left))
        except JournalError:
            top = (*mark, *bar(self.open_shop.shop.name, "", left))
        return framed(top, self.with_digit(body), notice, keys, (width, height))

    def _with_tag(self, width: int, room: int) -> list[Line]:
        """Draw the body; above it, a bar that the machine is not to be used."""
        why = self.tagged()
        if not why:
            return self.body(width, room)
        from shopboard.board.tag_view import tag_bar

        return [tag_bar(why, width), *self.body(width, room - 1)]

    def tagged(self) -> str:
        """Say why the machine that the screen is about is not to be used; empty while it may be."""
        return ""

    def tag_of(self, machine_id: str) -> str:
        """Look up why a machine is not to be used; empty while it may be."""
        standing = self.open_shop.standing.of_machine(machine_id)
        return standing.tag if standing is not None else ""

    def top(self, width: int) -> Line:
        """Draw the bar on top."""
        return bar(self.heading(), "", width)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw what is between the bar and the notice line."""
        raise NotImplementedError

    def standing_notice(self) -> Line:
        """Say what must be said while nothing else is: in a word, that the journal is damaged."""
        damage = self.open_shop.journal.damage if self.board.has_open_shop else None
        if damage is None:
            return ()
        sure = {0: "all entries are there", None: "nothing in it is sure"}.get(damage.seq)
        words = f"{damage.why}: {sure or 'nothing recorded before it is sure'}"
        return ((f" ! {words[0].upper()}{words[1:]}.", "out"),)

    def repaint(self) -> None:
        """Draw anew what changed; a screen that is put up, or comes back, draws itself once."""
        if self.is_covered or self.board.top is not self:  # Textual's own may shine through
            return
        for canvas in self.query(Canvas):
            canvas.repaint()

    @property
    def notice_words(self) -> str:
        """What the notice line says."""
        return plain(self._notice or self.standing_notice()).strip()

    @property
    def says_something(self) -> bool:
        """Whether a sentence stands there that nobody has answered with a key."""
        return bool(self._notice)

    def say(self, words: str, style: str = "bold") -> None:
        """Put a sentence on the notice line until the next key; it takes a question off it."""
        if self._asked_at is not None:
            self._asked_at = None
            self.forget_chosen()
        self.waits_for_server = False
        first, self.board.in_doubt.words = self.board.in_doubt.words, ""
        self._notice = ((said(f"{first} {words}" if first else words), style),)
        self.repaint()

    def ask_once_more(self, words: str, style: str = "bold") -> None:
        """Ask for a key once more; after a while, or another key, the question is off the table."""
        self._asked_at = None  # what waits is what is asked now
        self.say(words, style)
        self._asked_at = self.board.monotonic()

    def drop_old_question(self) -> None:
        """Take a question off that has waited too long for its key."""
        at = self._asked_at
        if at is not None and self.board.monotonic() - at > ONCE_MORE:
            self._asked_at, self._notice = None, ()
            self.forget_chosen()
            self.repaint()

    def once(self, asked: Hashable, record: Callable[[str], T]) -> T | Entry:
        """Record an act that is told by `asked` once, however often it is tried after an error.

        Raises:
            JournalError: when it cannot be recorded.
        """
        return self.board.in_doubt.once(self.open_shop.journal, asked, record)

    def recorded(self, asked: Hashable, record: Callable[[str], object]) -> bool:
        """Record an act once, as `once` does; tell whether it is on record.

        Why it is not is said by the screen on top.
        """
        from shopboard.checks.steps import AnswerError  # not needed for the first picture

        try:
            self.once(asked, record)
        except AnswerError as error:
            self.refuse(str(error))
        except JournalError as error:
            top = self.app.screen
            (top if isinstance(top, ShopScreen) else self).say_error(error)
        else:
            return True
        return False

    async def _dispatch_message(self, message: Message) -> None:
        """See to a message; a journal that cannot be read at it ends no board."""
        try:
            await super()._dispatch_message(message)
        except JournalError as error:
            if self.is_current and not self.says_something:
                self.refuse(f"{error.title} {error.advice}")

    def say_error(self, error: JournalError) -> None:
        """Say what could not be recorded, where, and what to do."""
        self.app.bell()
        self.say(f"{lead(error)} {error.title} {to_do(error)}", "out")
        self.waits_for_server = error.is_away

    def refuse(self, words: str) -> None:
        """Say why a key does nothing here."""
        self.app.bell()
        self.say(f"! {words}", "out")

    def on_screen_suspend(self) -> None:
        """Draw nothing while another screen lies on this one."""
        self.is_covered = True

    def on_screen_resume(self) -> None:
        """Draw anew when the screen comes back; Textual calls a screen's own method before this."""
        self.is_covered = False
        self.repaint()

    def asks_first(self) -> bool:
        """Ask whether one was away, where nothing was recorded for long within a prep day."""
        stack = (one for one in self.app.screen_stack if isinstance(one, KeyedScreen))
        if not self.board.has_open_shop or not any(one.of_the_day for one in stack):
            return False
        from shopboard.board.away import asks_whether_away

        return asks_whether_away(self)

    def shows_wait(self, uid: str) -> bool:
        """Tell whether this screen is that of the task begun with the entry `uid`."""
        return False

    def do_resume(self) -> None:
        """Go on with what is under way in the shop."""
        from shopboard.board.ways_in import go_on

        if self.board.has_open_shop:
            go_on(self)
        else:
            self.refuse("nothing is in progress before a shop is open")

    def do_tag(self) -> None:
        """Tag the machine shown as not to be used, or clear its tag."""
        shop = self.open_shop.shop if self.board.has_open_shop else None
        machine = shop.machines_by_id.get(self.machine_here()) if shop is not None else None
        if machine is None:
            self.refuse("no machine is shown here")
        else:
            self.app.push_screen(doors.TagScreen(machine))

    def do_back(self) -> None:
        """Go back one screen."""
        self.app.pop_screen()
