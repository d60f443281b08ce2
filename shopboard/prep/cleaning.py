"""The cutters that are cleaned beside the machine on a prep day. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from shopboard.prep.due_changes import PlannedChange, cutter_of
from shopboard.prep.job_list import JobList
from shopboard.prep.minutes import CLEAN_MINUTES
from shopboard.prep.pieces import Piece
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.cutter_words import sharp_words


def add_cleaning(jobs: JobList, one: MachineStanding, change: PlannedChange | None) -> None:
    """Put in what is cleaned beside the machine: a blade that comes off dirty, after its change."""
    first = change.piece if change is not None else None
    for piece, comes_off in _cleanings(one, change):
        jobs.add(piece, ((first.id, 0.0),) if first is not None and comes_off else ())
        # it goes on when it is clean
        if first is not None and first.id.rpartition(" ")[2] == piece.id.rpartition(" ")[2]:
            job = jobs.jobs[first.id]
            jobs.jobs[first.id] = job._replace(after=(*job.after, (piece.id, 0.0)))


def _cleanings(one: MachineStanding, change: PlannedChange | None) -> Iterator[tuple[Piece, bool]]:
    """Give the cutters to clean beside the machine, each with whether the change brings it off.

    Clean and sharp they lie ready, and go on in their turn.

    Args:
        one: the machine; cutters of other modes are cleaned where they belong.
        change: the change of cutter that is planned on it.
    """
    puts_on = change is not None and change.piece.act == "put on"
    on = cutter_of(change.piece, one.cutters) if change is not None and puts_on else None
    place = on.cutter.place if on is not None else None
    for dirty in one.cutters:
        if dirty.machine != one.machine.id or dirty.state != "dirty" or dirty.doubted:
            continue
        comes_off = dirty.mounted and place == dirty.cutter.place
        by_hand = dirty.mounted and dirty.cutter.sort == "hand tool"
        if dirty.where == "on the shelf" or comes_off or by_hand:
            name = f"Clean {dirty.cutter.name}"
            piece = Piece(
                f"clean {dirty.machine}.{dirty.id}",
                "cutter",
                one.machine.id,
                name,
                CLEAN_MINUTES,
                name,
                f"{dirty.cutter.name}: {sharp_words(dirty)}",
                dirty.id,
                act="cleaned",
                beside=True,
            )
            yield piece, comes_off
