"""One question with a field to type into: how much, or a few words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from shopboard.board.asked import asked_lines
from shopboard.board.field import FieldSort, field_lines
from shopboard.board.keys import BACK, GO_ON, HELP, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.questions import AnswerRead, Prompt
from shopboard.board.screens.typing import TypingScreen
from shopboard.checks.steps import AnswerError
from shopboard.metrology.quantity import QuantityError
from shopboard.upkeep.moment import MomentError


class AskScreen(TypingScreen):
    """Asks one thing; Enter takes what is typed."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK, HELP)

    def __init__(
        self, machine_id: str, about: str, asked: Prompt, take: Callable[[AnswerRead], object]
    ) -> None:
        """Ask.

        Args:
            machine_id: the machine that it is about.
            about: what the screen is about, in words.
            asked: the question.
            take: is given the answer; leaves this screen when it could be recorded.
        """
        super().__init__()
        self._machine_id = machine_id
        self._about = about
        self._asked = asked
        self._take = take

    def heading(self) -> str:
        """Say what it is about."""
        return self._about

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._machine_id)

    def told(self) -> Sequence[str]:
        """Give what is asked."""
        return (self._asked.title, *self._asked.lines)

    def understood(self) -> str:
        """Say it as it stands beside the field."""
        return self._asked.echo(self._entry)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw question and field."""
        asked, entry = self._asked, self._entry
        lines: list[Line] = [(), *asked_lines(asked.title, (width, room))]
        for words in asked.lines:
            lines += [((f"  {one}", ""),) for one in wrap(words, width - 4)]
        return [*lines, (), *field_lines(entry, said(asked.echo(entry)), width)][:room]

    @property
    def field(self) -> FieldSort:
        """What is asked for."""
        return self._asked.sort

    def do_go_on(self) -> None:
        """Take what is typed."""
        try:
            answer = self._asked.read(self._entry)
        except (QuantityError, AnswerError, MomentError) as error:
            self._refused = True
            self.refuse(
                f"{said(self._entry.strip())}: {error}" if self._entry.strip() else str(error)
            )
            return
        self._take(answer)
