"""The cutters that are cleaned beside the machine on a prep day. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.prep.due_changes import cutter_of
from shopboard.prep.job_list import JobList
from shopboard.prep.minutes import CLEAN_MINUTES
from shopboard.prep.pieces import Piece
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.cutter_words import sharp_words
from shopboard.upkeep.cutters import CutterStanding


def add_cleaning(jobs: JobList, one: MachineStanding, changes: Sequence[Piece]) -> None:
    """Put in what is cleaned beside the machine: a blade that comes off dirty, after its change.

    Clean and sharp they lie ready, and go on in their turn.

    Args:
        jobs: takes them.
        one: the machine; cutters of other modes are cleaned where they belong.
        changes: of cutters, that are planned on it.
    """
    meant = [(piece, cutter_of(piece, one.cutters)) for piece in changes]
    put_on = {on.cutter.place: piece.id for piece, on in meant if on and piece.act == "put on"}
    for dirty in _dirty(one):
        comes_off = put_on.get(dirty.cutter.place, "") if dirty.mounted else ""
        comes_off = comes_off or _coming_off(one, dirty, changes)
        by_hand = dirty.mounted and dirty.cutter.sort == "hand tool"
        if dirty.where == "on the shelf" or comes_off or by_hand:
            piece = _cleaning(one, dirty)
            jobs.add(piece, ((comes_off, 0.0),) if comes_off else ())
            for change in (each for each, on in meant if on == dirty):  # once it is clean
                jobs.put_after(change.id, piece.id)


def _coming_off(one: MachineStanding, dirty: CutterStanding, changes: Sequence[Piece]) -> str:
    """Give the id of the change under way with which a dirty one comes off; empty: none."""
    going = one.changing
    if (
        going is None
        or going.act != "put on"
        or (going.machine, going.off) != (dirty.machine, dirty.id)
    ):
        return ""
    return next((piece.id for piece in changes if not piece.act), "")


def _dirty(one: MachineStanding) -> list[CutterStanding]:
    mine = (each for each in one.cutters if each.machine == one.machine.id)
    return [each for each in mine if each.state == "dirty" and not each.doubted]


def _cleaning(one: MachineStanding, dirty: CutterStanding) -> Piece:
    name = f"Clean {dirty.cutter.name}"
    return Piece(
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
