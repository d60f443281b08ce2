"""A durable walk: step after step, each answer on the disk before the next question is asked.

So it can be left, killed or cut off anywhere and goes on where it stood. Every entry tells what was
done (`Did`), its number is in its name, and it refers to the first one: the same key
struck twice, or tried again after an error, adds nothing, and what another program answered
meanwhile is seen. What has to be asked before the steps, the plug again after a pause or the words
of a tag, comes ahead of them.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import ClassVar

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.steps import AnswerError, Caution, Step
from shopboard.checks.walk import Walk
from shopboard.journal import (
    Entry,
    JournalError,
    JournalLocked,
    JournalMissing,
    JournalTaken,
    NewEntry,
    Store,
)
from shopboard.journal.faults import still_uncertain
from shopboard.journal.kinds import Did, DidWhat, EntryKind
from shopboard.journal.kinds.row import Value
from shopboard.upkeep.plug import plug_is_doubtful


class OthersWentOn(JournalLocked):
    """Somebody else gave the next answer."""


class ToRecord(NamedTuple):
    """What is about to be recorded, and how the sitting stands after it."""

    did: Did
    step: Step | None
    """The step that is answered, or whose answer is withdrawn."""
    answers: dict[str, str]
    walk: Walk


class Sitting(ABC):
    """What is done step by step at a machine, from the first step to the last."""

    called: ClassVar[str]
    """What sentences call it."""
    went_on: ClassVar[str] = "carried on with"
    """What another program did with it, where that was quicker."""
    at_first: ClassVar[str] = "this is the first step"
    """Why there is no way back."""

    walk: Walk
    """The steps answered, and the one that comes next."""

    def __init__(self, journal: Store, machine: str, point: str, uid: str) -> None:
        """Begin; nothing is recorded by that."""
        self.machine = machine
        """Id of its machine; empty: the shop itself."""
        self.uid = uid
        """Name of its first entry."""
        self._journal = journal
        self._named = point
        """What its entries have in the place of the point."""
        self._written = 0
        """How many entries it has."""
        self._last: Entry | None = None
        """The newest of them."""
        self._uncertain = ""
        """Name of the entry that may be on record, though no answer came; empty: none."""
        self._closed = False
        self._after_pause = False
        """It was left for a while; the next entry says so."""
        self._ahead: list[Caution] = []
        """Asked before its own steps."""
        self._answers: dict[str, str] = {}

    @property
    def step(self) -> Step | None:
        """What is asked now; None when it is finished or ended."""
        return None if self._closed else next(iter(self._ahead), self.walk.step)

    @property
    def number(self) -> int:
        """Number of the step that is asked now, from 1."""
        return len(self.walk.answered) + 1

    @property
    def last_when(self) -> datetime | None:
        """When something was last recorded in it."""
        return self._last.when if self._last is not None else None

    def answer(self, text: str, to: Step | None = None) -> None:
        """Take an answer and go on; it is on disk when this returns.

        Args:
            text: the answer.
            to: a step that is assumed when nothing is said to it; None: the step asked now.

        Raises:
            AnswerError: when it cannot be taken; nothing is recorded and the step stays.
            JournalError: when it cannot be recorded; the step stays and can be answered again.
        """
        step = to or self.step
        if step is None or self.step is None:
            raise AnswerError(f"this {self.called} is finished")
        refused = self._why_no_answer()
        if refused:
            raise AnswerError(refused)
        accepted = self._accepted(step, text)
        if step in self._ahead:
            self._answer_ahead(step, accepted)
            self._ahead.pop(0)
        else:
            self._go_on(step, accepted)

    def back(self) -> None:
        """Take the last answer back.

        Raises:
            AnswerError: when that cannot be; what is recorded stays.
            JournalError: when it cannot be recorded.
        """
        if self.step is None:
            raise AnswerError(f"this {self.called} is finished")
        if not self.walk.answered:
            raise AnswerError(self.at_first)
        if self.step in self._ahead:
            raise AnswerError("answer this first")
        step, text = self.walk.answered[-1]
        refused = self._why_not_back(step, text)
        if refused:
            raise AnswerError(refused)
        self._go_back(step)

    def leave(self) -> str:
        """Leave it; give why it does not wait and is closed instead, empty where it waits.

        Raises:
            JournalError: when that cannot be recorded.
        """
        return ""

    def discard(self, why: str) -> None:
        """End it before its last step; what it has recorded stays.

        Raises:
            JournalError: when it cannot be recorded.
        """
        if self._written and not self._closed:
            self._record(ToRecord(self._did("end", text=why), None, self._answers, self.walk))
        self._closed = True

    def ask_ahead(self, caution: Caution) -> None:
        """Ask something before its next step."""
        self._ahead.append(caution)

    def ask_no_more(self, key: str) -> None:
        """Ask something no more that was to come before its next step."""
        self._ahead = [one for one in self._ahead if one.key != key]

    def _plug_after_pause(self, before: datetime | None, now: datetime | None) -> None:
        """Ask for the plug's state again where there was a pause."""
        if before is not None and now is not None and plug_is_doubtful(before, now):
            self._ask_plug_again()

    @abstractmethod
    def _ask_plug_again(self) -> None:
        """Ask for the plug's state before the next step."""

    def _why_no_answer(self) -> str:
        """Say why no answer can be taken any more; empty where one can."""
        return ""

    def _why_not_back(self, step: Step, text: str) -> str:  # noqa: ARG002 - those that do look
        """Say why the last answer cannot be withdrawn; empty where it can."""
        return ""

    def _accepted(self, step: Step, text: str) -> str:
        """Give an answer as it is kept."""
        return step.accept(text)

    def _answer_ahead(self, step: Step, accepted: str) -> None:
        did = self._did("answer", step.key, accepted)
        self._record(ToRecord(did, step, self._answers, self.walk))

    def _go_on(self, step: Step, accepted: str) -> None:
        """Record an answer to a step of the walk, and go on."""
        answers = self._with_answer(step, accepted)
        walk = self._follow(answers, self.walk if step is self.walk.step else None)
        taken = ToRecord(self._did("answer", step.key, accepted), step, answers, walk)
        self._took(taken, self._record(taken))

    def _go_back(self, step: Step) -> None:
        """Record that the answer to the last step is withdrawn, and go there."""
        answers = {key: text for key, text in self._answers.items() if key != step.key}
        walk = self._follow(answers, self.walk.one_back())
        taken = ToRecord(self._did("back", step.key), step, answers, walk)
        self._took(taken, self._record(taken))

    def _took(self, taken: ToRecord, written: Sequence[Entry]) -> None:  # noqa: ARG002 - others do
        """Take in what was recorded."""
        self._answers, self.walk = taken.answers, taken.walk

    def _with_answer(self, step: Step, accepted: str) -> dict[str, str]:
        return {**self._answers, step.key: accepted}

    @abstractmethod
    def _follow(self, answers: Mapping[str, str], after: Walk | None = None) -> Walk:
        """Follow the answers as far as they lead; `after`: where it stood by some of them."""

    @abstractmethod
    def _record(self, taken: ToRecord) -> list[Entry]:
        """Put together what its kind of entry holds, and what is recorded with it; write that."""

    def _did(self, what: DidWhat, key: str = "", text: str = "") -> Did:
        return Did(what, key, text, after_pause=self._after_pause)

    def _name(self, ahead: int = 0) -> str:
        """Give the name of its next entry, or of one so many further on."""
        number = self._written + ahead
        return f"{self.uid}-{number}" if number else self.uid

    def _entry(self, kind: EntryKind[Value], value: Value, ahead: int = 0) -> NewEntry:
        """Make its next entry, or one so many further on."""
        name = self._name(ahead)
        refers = self.uid if name != self.uid else ""
        return kind.new(name, value, self.machine, self._named, refers)

    def _write(
        self,
        own: Sequence[NewEntry],
        before: Sequence[NewEntry] = (),
        beside: Sequence[NewEntry] = (),
    ) -> list[Entry]:
        """Record its next entries, and what belongs to them, together or not at all."""
        try:
            written = self._written_there(own, before, beside)
        except JournalError as error:
            told = isinstance(error, JournalTaken | OthersWentOn)  # what is there is known then
            if self._uncertain == own[0].uid and not told:
                raise still_uncertain(error) from None
            self._uncertain = own[0].uid if error.uncertain else ""
            raise
        self._uncertain = ""
        self._written += len(own)
        self._last = written[len(before) + len(own) - 1]
        self._after_pause = False
        return written

    def _written_there(
        self, own: Sequence[NewEntry], before: Sequence[NewEntry], beside: Sequence[NewEntry]
    ) -> list[Entry]:
        if self._last is not None and self._journal.get(self._last.uid) is None:
            raise self._journal.refusal or JournalMissing(
                f"The journal that is there now does not hold this {self.called}.",
                f"Put the right one back and answer again. Or leave the {self.called}: it is in "
                "the other journal, as far as it was answered.",
            )
        first = (*before, own[0])
        self._refuse_what_others_did(first)
        try:
            return self._journal.append([*before, *own, *beside])
        except JournalTaken:  # between that look and the recording
            self._refuse_what_others_did(first)
            raise

    def others_did(self) -> str:
        """Say who went on with this sitting since it was last looked at, and what was done.

        Empty: nobody did. What two benches answered alike is one answer, of nobody else.

        Raises:
            JournalError: when the journal cannot be read.
        """
        known = self._journal.get(self._name()) if self._written and not self._uncertain else None
        return self._told_of(known) if known is not None and not self._closed else ""

    def _told_of(self, known: Entry) -> str:
        """Say who recorded an entry of this sitting, and what was done."""
        bench = known.by if known.by != self._journal.by else ""
        who = f"Somebody else ({bench})" if bench else "Another program"
        went_on = "closed" if self.is_closed_there() else self.went_on
        return f"{who} has {went_on} this {self.called} meanwhile."

    def is_closed_there(self) -> bool:
        """Whether the journal holds its end."""
        return False

    def _refuse_what_others_did(self, own: Sequence[NewEntry]) -> None:
        """Raise the error that says so, where another bench or program was quicker."""
        for one in own:
            known = self._journal.get(one.uid)
            if known is None or known.says(one):
                continue
            where = (
                "Leave it here: what was saved in it stays."
                if self.is_closed_there()
                else "Leave it here and go on with it: it is where the other one left it."
            )
            raise OthersWentOn(self._told_of(known), where)
