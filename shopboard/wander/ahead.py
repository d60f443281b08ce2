"""How a point wanders, with a result that stands before the person and is not kept yet."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from shopboard.checks.job import Wanders
from shopboard.checks.steps import Finding
from shopboard.journal import Entry, JournalError, Store, kinds
from shopboard.journal.kinds import KeptResult
from shopboard.metrology.quantity import Unit
from shopboard.results.record import (
    UnreadableRecordError,
    kept_result,
    read_check,
)
from shopboard.shop.machine import Point

if TYPE_CHECKING:
    from shopboard.wander.changes import PointPast
    from shopboard.wander.outlook import Outlook

    Seen = tuple[PointPast, Outlook]


class WanderAhead:
    """Looks at the record as it would be with a result; worked out once: it is shown, then kept."""

    def __init__(
        self, journal: Store, point: Point, risk: float, reaches: Mapping[str, Sequence[str]]
    ) -> None:
        """Begin with nothing worked out.

        Args:
            journal: the record.
            point: the point.
            risk: how likely the point may be out before its next check is due.
            reaches: by what happened, the other modes of its machine's body that it reaches.
        """
        self._reaches = reaches
        self._journal = journal
        self._point = point
        self._risk = risk
        self._kept: KeptResult | None = None
        self._seen: Seen | None = None
        self._seen_for = 0
        """Number of the entry after which that was worked out; 0: not yet."""

    def seen(self, step: Finding, last: Entry | None) -> Seen | None:
        """Work out how the point wanders with a result, where that is true.

        None, too, where the record cannot be read: it limits nothing then, and a result is kept all
        the same.

        Args:
            step: shows the result.
            last: the newest entry of its check: the result is taken to be recorded after it.
        """
        if last is None or step.outcome.verdict != "true":
            return None
        if self._seen_for != last.seq:
            self._kept = kept_result(step.outcome, step.run)
            entry = last._replace(seq=last.seq + 1, uid="", kind=kinds.CHECK.name)
            entry = kinds.CHECK.said_in(entry, self._kept)
            self._seen, self._seen_for = self.with_result(entry), last.seq
        return self._seen

    def with_result(self, entry: Entry) -> Seen | None:
        """Work out how the point wanders by a result and what was recorded before it."""
        from shopboard.wander.outlook import outlook
        from shopboard.wander.point_history import point_past

        with contextlib.suppress(JournalError, UnreadableRecordError):
            result = read_check(entry)
            past = point_past(self._journal, self._point, entry.seq - 1, self._reaches)
            past = past._replace(records=[*past.records, result])
            return past, outlook(self._point, past, result, self._risk)
        return None

    def told(self, seen: Seen | None) -> Wanders | None:
        """Give what the advice on a result knows of that."""
        wander = seen[1].wander if seen else None
        return Wanders(wander, self._point.every_days, self._risk) if wander else None

    def kept(self, step: Finding, last: Entry | None, unit: Unit) -> KeptResult:
        """Give what is kept of a result, with how long its point's wander lets it be believed.

        Goes by what was on record when the last answer was given, and by the time of that, so that
        a second try to record the same result records the same.
        """
        seen = self.seen(step, last)
        if seen is None or self._kept is None:
            return kept_result(step.outcome, step.run)
        from shopboard.wander.outlook import holds_by_wander

        return self._kept._replace(holds=holds_by_wander(self._point, *seen, unit))
