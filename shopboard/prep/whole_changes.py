"""A change of cutter with the checks that it undoes: both fit into the time, or neither. Pure.

Half an hour before a glue-up nobody turns knives without time to measure them.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Workday
from shopboard.prep.share_out import Shared


def torn(found: Shared, pieces: Mapping[str, Piece]) -> tuple[str, ...]:
    """Give the changes that fit although a check does not which they undo, true before or not.

    One that is under way is finished, whatever comes after it.

    Args:
        found: what fits, and what is left.
        pieces: all of the day, by the ids of the jobs.
    """
    changes = dict.fromkeys(name for left in found.left for name in pieces[left].brought_by)
    done = {name for stint in found.stints for name in stint.found.order}
    return tuple(name for name in changes if name in done and pieces[name].act)


def left_behind(found: Shared, pieces: Mapping[str, Piece]) -> tuple[str, ...]:
    """Give the changes that do not fit although a check does which comes with them.

    Without its change a check is worth what it is worth by itself.

    Args:
        found: what fits, and what is left.
        pieces: all of the day, by the ids of the jobs.
    """
    done = (name for stint in found.stints for name in stint.found.order)
    changes = dict.fromkeys(change for name in done for change in pieces[name].brought_by)
    return tuple(name for name in changes if name in found.left)


def without_changes(
    day: Workday, changes: Collection[str], spared: Mapping[str, Collection[str]]
) -> Workday:
    """Give a day without some changes of cutter, and without what is done only after them.

    Args:
        day: its jobs.
        changes: ids of the changes.
        spared: by a job, those before it without which it can be done all the same.
    """
    gone = {*changes}
    more = True
    while more:
        found = {
            job.id
            for job in day.jobs
            if any(name in gone and name not in spared.get(job.id, ()) for name, _ in job.after)
        }
        more = not found <= gone
        gone |= found
    kept = (job for job in day.jobs if job.id not in gone)
    jobs = (job._replace(after=tuple(a for a in job.after if a[0] not in gone)) for job in kept)
    return day._replace(jobs=tuple(jobs))
