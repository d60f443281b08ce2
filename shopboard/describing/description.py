"""A shop that is being described: where its questions stand, each answer on the disk."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from shopboard.checks.steps import AnswerError
from shopboard.describing.asked import Question
from shopboard.describing.draft import Reply, ShopDraft
from shopboard.describing.talk import Begin, Stand, follow, still_asked


class Description:
    """The draft of a shop, and the question that comes next."""

    def __init__(self, shop_file: Path, begin: Begin, today: Callable[[], date]) -> None:
        """Go on with the answers that are there, or begin.

        Args:
            shop_file: where the shop file goes.
            begin: begins the questions.
            today: gives the day.

        Raises:
            DraftError: when the answers cannot be read or written, or another program has them.
        """
        self.shop_file = shop_file
        self._begin = begin
        self._today = today
        self.draft = ShopDraft(shop_file)
        self.stand: Stand
        self.resumed = bool(self.draft.answers)
        """Whether there were answers already."""
        self._follow()

    def _follow(self) -> None:
        self.stand = follow(self._begin, self.draft.answers)
        while len(self.draft.answers) > len(self.stand.answered):
            self.draft.back()  # of a program that asked otherwise

    @property
    def question(self) -> Question | None:
        """What is asked now; None when all is."""
        return self.stand.question

    def left(self) -> int | None:
        """Count the questions that are left if Enter answers each; None: that cannot be told."""
        return still_asked(self._begin, self.draft.answers, self._today())

    def answer(self, text: str) -> None:
        """Answer the question: it is on the disk when this returns.

        Raises:
            AnswerError: when the text is no answer to it.
            DraftError: when it is not on the disk.
        """
        question = self.stand.question
        if question is None:
            raise AnswerError("all is asked")
        self.draft.answer(Reply(question.key, question.accept(text), self._today()))
        self._follow()

    def back(self) -> str:
        """Take the newest answer back; give it, to be changed.

        Raises:
            AnswerError: when there is none.
            DraftError: when that is not on the disk.
        """
        if not self.draft.answers:
            raise AnswerError("this is the first question")
        last = self.draft.answers[-1].answer
        self.draft.back()
        self._follow()
        return last

    def close(self) -> None:
        """Leave it; it waits."""
        self.draft.close()
