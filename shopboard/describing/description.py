"""A shop that is being described: where its questions stand, each answer on the disk."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import date
from pathlib import Path

from shopboard.checks.steps import AnswerError
from shopboard.describing.asked import Look, Question, Ticks, ticked
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
        self._back_into = ""
        """Key of a list to look over from which it was gone back into a change that was whole."""
        self._follow()

    def _follow(self) -> None:
        self.stand = follow(self._begin, self.draft.answers)
        while len(self.draft.answers) > len(self.stand.answered):
            self.draft.back()  # of a program that asked otherwise

    @property
    def question(self) -> Question | None:
        """What is asked now, with what was chosen there before it was gone back; None: nothing."""
        question = self.stand.question
        before = None if question is None else self._before(question)
        if question is None or before is None or isinstance(question, Look):
            return question
        if isinstance(question, Ticks):
            return replace(question, ticked=tuple(ticked(before.answer)))
        return replace(question, default=before.answer)

    def _before(self, question: Question) -> Reply | None:
        """Give the answer to a question that was taken back, where it still answers it."""
        for one in self.draft.taken_back.get(question.key, ())[:1]:
            with suppress(AnswerError):
                if question.accept(one.answer) == one.answer:
                    return one
        return None

    def left(self) -> int | None:
        """Count the questions that are left if Enter answers each; None: that cannot be told."""
        return still_asked(self._begin, self.draft.answers, self._today())

    def answer(self, text: str) -> None:
        """Answer the question: it is on the disk when this returns.

        Raises:
            AnswerError: when the text is no answer to it.
            DraftError: when it is not on the disk.
        """
        question = self.question
        if question is None:
            raise AnswerError("all is asked")
        answer, before = question.accept(text), self._before(question)
        if isinstance(question, Look) and before is not None and answer != before.answer:
            self.draft.taken_back.pop(question.key)  # it is changed in another way now
        self._give(Reply(question.key, answer, self._today()))
        while isinstance(look := self.stand.question, Look) and self._before(look) is not None:
            self._change_again(look)

    def _give(self, told: Reply) -> None:
        self._back_into = ""
        self.draft.answer(told)
        self._follow()

    def _change_again(self, look: Look) -> None:
        """Change a list once more as it was changed before it was gone back."""
        asked: Question | None = look
        while asked is not None:
            told = self._before(asked)
            try:
                self._give(told or Reply(asked.key, asked.accept(""), self._today()))
            except AnswerError:
                return  # it is asked for
            asked = self.stand.question
            if asked is not None and asked.key == look.key:
                return

    def back(self) -> None:
        """Take the newest answer back, to be changed.

        What a person chose is offered there again; what Enter gave is made anew of the answers
        before it. A change in a list that was not whole is none.

        Raises:
            AnswerError: when there is none.
            DraftError: when that is not on the disk.
        """
        if not self.stand.answered:
            raise AnswerError("this is the first question")
        if isinstance(self.stand.question, Look):
            self._back_into = self.stand.question.key
        question, answer = self.stand.answered[-1]
        chosen = answer != question.default
        self.draft.back(
            again=chosen and (not isinstance(question, Look) or question.key == self._back_into)
        )
        self._follow()

    def close(self) -> None:
        """Leave it; it waits."""
        self.draft.close()
