"""Note: what was seen or done at a point, in a few plain words, kept with its date."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, ReckoningError, read_fields
from shopboard.checks.steps import AnswerError, Step, Words
from shopboard.checks.walk import Answers
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind
from shopboard.metrology.uncertainty import Budget, Estimate


class Note(GuidedCheck):
    """The guided check: a line of words; it judges nothing."""

    name = "note"
    title = "Note"
    finds = "nothing is judged: it keeps a few words with their date"
    minutes = 2.0
    clears = False
    kind: Kind = "note"
    fields = (Field("text", "points", "the note"),)

    def measure(self, job: CheckContext, answers: Answers, prefix: str) -> Step | Outcome:
        """Ask for the words."""
        key = f"{prefix}text"
        if key in answers:
            return _outcome(job.tolerance, answers[key])
        geometry = job.geometry
        looked_at = tuple(f"{one}." for one in (geometry.face, geometry.datum) if one)
        return Words(key=key, title=f"{job.point}: what do you want to note?", lines=looked_at)

    def best(self, job: CheckContext) -> Estimate:
        """Give a note: it needs no tool."""
        return Estimate(0.0, Budget(()))

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Judge whether a text will do as a note.

        Raises:
            ReckoningError: when it will not.
        """
        text = read_fields(self.fields, values).word("text")
        try:
            text = Words(key="text", title="").accept(text)
        except AnswerError as error:
            raise ReckoningError([f"text=: {error}"]) from None
        return _outcome(Tolerance(-0.5, 0.5, "noted", self.kind), text)


def _outcome(tolerance: Tolerance, text: str) -> Outcome:
    return Outcome(
        method=METHOD.name,
        estimate=Estimate(0.0, Budget(())),
        tolerance=tolerance,
        kind=METHOD.kind,
        lean=text,
        working=("noted; nothing is judged",),
        adds={"text": text},
        readings={"text": text},
    )


METHOD = Note()
