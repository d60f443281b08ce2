"""How a point wanders, with a result that stands before the person and is not kept yet."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from shopboard.checks.job import Wanders
from shopboard.checks.steps import Finding
from shopboard.journal import Entry, JournalError, Store
from shopboard.metrology.quantity import Unit
from shopboard.results.record import Holds, UnreadableRecordError, check_body, read_check
from shopboard.shop.machine import Point

if TYPE_CHECKING:
    from shopboard.wander.changes import PointPast
    from shopboard.wander.outlook import Outlook

    Seen = tuple[PointPast, Outlook]


class WanderAhead:
    """Looks at the record as it would be with a result; worked out once: it is shown, then kept."""

    def __init__(self, journal: Store, point: Point, risk: float) -> None:
        self.beside: Mapping[str, Sequence[str]] = {}
        """By what happened, the other modes of its machine's body that it reaches."""
        self._journal = journal
        self._point = point
        self._risk = risk
        """How likely the point may be out before its next check is due."""
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
            body = check_body(step.outcome, step.run)
            entry = last._replace(seq=last.seq + 1, uid="", kind="check", body=body)
            self._seen, self._seen_for = self.with_result(entry), last.seq
        return self._seen

    def with_result(self, entry: Entry) -> Seen | None:
        """Work out how the point wanders by a result and what was recorded before it."""
        from shopboard.wander.outlook import outlook
        from shopboard.wander.point_history import point_past

        with contextlib.suppress(JournalError, UnreadableRecordError):
            result = read_check(entry)
            past = point_past(self._journal, self._point, entry.seq - 1, self.beside)
            past = past._replace(records=[*past.records, result])
            return past, outlook(self._point, past, result, self._risk)
        return None

    def told(self, seen: Seen | None) -> Wanders | None:
        """Give what the advice on a result knows of that."""
        wander = seen[1].wander if seen else None
        return Wanders(wander, self._point.every_days, self._risk) if wander else None

    def holds(self, step: Finding, last: Entry | None, unit: Unit) -> Holds | None:
        """Work out how long its point's wander lets a result be believed that is about to be kept.

        Goes by what was on record when the last answer was given, and by the time of that, so that
        a second try to record the same result records the same.
        """
        seen = self.seen(step, last)
        if seen is None:
            return None
        from shopboard.wander.outlook import holds_by_wander

        return holds_by_wander(self._point, *seen, unit)
