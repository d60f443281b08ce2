"""By how much pieces of a planned day run over: their waits, and the time one is there. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta

from shopboard.prep.job_list import ToDo
from shopboard.prep.plan import PlanLine
from shopboard.prep.plan_words import span
from shopboard.prep.schedule.job import Job
from shopboard.prep.time_had import Window
from shopboard.shop.machine import Machine

_MINUTE = timedelta(minutes=1)
_EXACT = 1e-4


class RunningWaits:
    """The waits of a day, as its pieces are told one after the other."""

    def __init__(self, todo: ToDo, zero: datetime) -> None:
        self._jobs = {job.id: job for job in todo.jobs}
        self._zero = zero
        self._ends: dict[str, datetime] = {}

    def told(self, line: PlanLine, until: datetime | None) -> PlanLine:
        """Say of the next piece by how much it runs over.

        Args:
            line: the piece with its times.
            until: the end of the time in which one is there; None: it has none.
        """
        self._ends[line.piece.id] = line.end
        past = 0.0 if until is None else max((line.end - until) / _MINUTE, 0.0)
        return line._replace(past=past, left_over=self._left_over(line))

    def _left_over(self, line: PlanLine) -> float:
        """Give the minutes by which the wait before a piece is left, where it has no patience."""
        job, began = self._jobs[line.piece.id], line.piece.over_at
        after = ((name, lag) for name, lag in job.after if lag and name in self._ends)
        overs = [self._ends[name] + lag * _MINUTE for name, lag in after]
        if began is not None:
            overs.append(self._zero + began * _MINUTE)
        left = (line.start - max(overs)) / _MINUTE if overs else 0.0
        gone = -min(began or 0.0, 0.0)
        is_gone = gone > 0 and not job.patience
        return left if is_gone or left > job.patience + gone + _EXACT else 0.0


def left_too_long(
    lines: Sequence[PlanLine],
    todo: ToDo,
    machines: Mapping[str, Machine],
    windows: Sequence[Window],
) -> Iterator[str]:
    """Name the waits that a plan leaves much longer than they say, each with its minutes and why.

    Args:
        lines: the plan.
        todo: its pieces.
        machines: by id.
        windows: the times in which one is there.
    """
    jobs = {job.id: job for job in todo.jobs}
    for line in lines:
        if line.left_over:
            name = f"{machines[line.piece.machine].name}, {line.piece.name}"
            why = _why(line, jobs[line.piece.id], windows, lines[0].start)
            yield f"{name}: left {span(line.left_over)} longer than its wait{why}."


def _why(line: PlanLine, job: Job, windows: Sequence[Window], first: datetime) -> str:
    """Say why a wait is left; of one that was left before anything could be done there is none."""
    over = line.start - line.left_over * _MINUTE
    if line.piece.over_at is not None and over + job.patience * _MINUTE <= first:
        return ""
    begins = max((one.start for one in windows if one.start <= line.start), default=over)
    if begins > over:
        return "; nobody is there sooner"
    if job.harms:
        return "; no order was found that keeps it"
    return "; no other order was found that ends as soon"
