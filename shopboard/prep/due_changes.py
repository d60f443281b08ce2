"""The changes of cutters that are due on a machine, or under way. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.minutes import CHANGE_MINUTES, CLEAN_MINUTES, whole_minutes
from shopboard.prep.pieces import Piece
from shopboard.prep.stays_open import StaysOpen
from shopboard.shop.default_safety import may_have_riving_knife
from shopboard.shop.machine import CHANGED_BY, TURNED, CutterKind, full_name
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.change_steps import ChangeJob, HowFar, how_far
from shopboard.upkeep.changing import Changing
from shopboard.upkeep.cutter_acts import possible
from shopboard.upkeep.cutter_supply import way_out
from shopboard.upkeep.cutter_words import sharp_words
from shopboard.upkeep.cutters import CutterStanding, group_of


def due_changes(one: MachineStanding, day: Sequence[str], opens: list[StaysOpen]) -> list[Piece]:
    """Give the changes of cutters that are due on a machine, that under way first.

    Of each place one: a saw blade and a bit, each of the hand tools. One that serves other modes,
    too, is changed once: where it belongs, or else in the first of them that the day concerns.

    Args:
        one: the machine.
        day: ids of the machines that the day concerns, this one among them.
        opens: takes each dull cutter for which there is no sharp one.
    """
    going, found = one.changing, list[Piece]()
    if going is not None and _is_changed_here(one, going.machine, going.kind, day):
        found.append(_in_progress(one, going))
    here = list(one.cutters)
    cleans = any(each.task.cleans and (each.due or each.begun) for each in one.tasks)
    for blunt in one.blunt if cleans else one.due_off:
        under_way = going is not None and going.kind in (None, blunt.cutter.kind)
        if under_way or not _is_changed_here(one, blunt.machine, blunt.cutter.kind, day):
            continue
        sharp = _sharp_one(blunt, here)
        if sharp is not None:
            here.remove(sharp)
            found.append(_change_to(one, blunt, sharp))
        elif blunt.blunt:
            opens.append(_no_sharp_one(one, blunt))
        elif blunt.cutter.sort != "hand tool":  # that one is cleaned where it lies
            found.append(_clean_on(one, blunt))
    return found


def _change_to(one: MachineStanding, blunt: CutterStanding, sharp: CutterStanding) -> Piece:
    """Give the change to the cutter, or the turn to its next edge, that is at hand."""
    turned = sharp == blunt
    name = f"Turn {sharp.cutter.name}" if turned else f"{sharp.cutter.name} on"
    to_do = name if turned else f"Change to {sharp.cutter.name}"
    return Piece(
        f"cutter {sharp.machine}.{sharp.id}",
        "cutter",
        one.machine.id,
        name,
        CHANGE_MINUTES[blunt.cutter.sort],
        f"If it is dull: {to_do[0].lower()}{to_do[1:]}" if blunt.doubted else to_do,
        f"{blunt.cutter.name}: {sharp_words(blunt)}",
        sharp.id,
        act="turn" if turned else "put on",
    )


def _in_progress(one: MachineStanding, changing: Changing) -> Piece:
    """Give what is left of a change that is under way."""
    name = f"Go on with the {changing.what}"
    sort = _sort(one, changing.kind) or "blade"
    far = _how_far(one, changing, sort)
    minutes = whole_minutes(CHANGE_MINUTES[sort] * far.left) or 1.0
    done = f"{far.knives} of {far.of} done" if far.knives else "it is in progress"
    ident = f"cutter {changing.machine}"
    ids = one.machine.id, changing.cutter
    piece = Piece(ident, "cutter", ids[0], name, minutes, name, done, ids[1], begun=True)
    return piece._replace(steps=(1, far.steps)) if far.steps else piece


def _how_far(one: MachineStanding, changing: Changing, sort: CutterKind) -> HowFar:
    """Tell how far a change is; half, where the record does not say."""
    if not changing.act:
        return HowFar(0.5)
    at_home = (each for each in one.cutters if each.machine == changing.machine)
    pieces = next((each.cutter.pieces for each in at_home if each.id == changing.cutter), 1)
    off, on = (changing.off, changing.off_is_done), (changing.cutter, changing.on_state)
    knife = may_have_riving_knife(one.machine.kind)
    job = ChangeJob(
        changing.machine, sort, changing.act, *off, *on, pieces=pieces, riving_knife=knife
    )
    return how_far(job, changing.answered)


def _sharp_one(one: CutterStanding, here: Sequence[CutterStanding]) -> CutterStanding | None:
    """Give what goes on in place of a blunt cutter, or itself where it is turned; None: nothing."""
    if one.blunt and any(act.name == "turn" for act in possible(one)):
        return one
    spares = [
        other
        for other in group_of(one, here)
        if other.where == "on the shelf"
        and other.state in (("sharp", "dirty") if one.blunt else ("sharp",))
        and not other.doubted
        and other.cutter.kind == one.cutter.kind
    ]
    # a clean one, and of these the one that lay there longest
    return min(spares, key=lambda other: (other.state == "dirty", other.seq), default=None)


def _clean_on(one: MachineStanding, dirty: CutterStanding) -> Piece:
    """Give the cleaning of the only one there is: it comes off for that and goes on again."""
    name = f"Clean {dirty.cutter.name}"
    return Piece(
        f"cutter {dirty.machine}.{dirty.id}",
        "cutter",
        one.machine.id,
        name,
        CHANGE_MINUTES[dirty.cutter.sort] + CLEAN_MINUTES,
        f"{name}: off, clean, on again",
        f"{dirty.cutter.name}: {sharp_words(dirty)}",
        dirty.id,
        act="clean",
    )


def _no_sharp_one(one: MachineStanding, blunt: CutterStanding) -> StaysOpen:
    """Say that a dull cutter stays on, and what would give a sharp one."""
    why = f"{sharp_words(blunt)}; no sharp one in the shop"
    ids = blunt.machine, blunt.id
    remedy = _remedy(one, blunt)
    return StaysOpen("cutter", *ids, one.machine.name, blunt.cutter.name, why, remedy)


def _remedy(one: MachineStanding, blunt: CutterStanding) -> str:
    """Say where a sharp one lies that is not meant for it, or comes back, or else its way out."""
    others = " or ".join(other.cutter.name for other in _sharp_beside(one, blunt))
    if others:
        return f"if {others} does its work, say so: e on the board, spare_for in the shop file"
    group = group_of(blunt, one.cutters)
    away = next((other for other in group if other.where == "at the sharpener"), None)
    to_do = way_out(blunt) if away is None else f"{away.cutter.name} back from the sharpener"
    return f"if it is dull, {to_do}" if blunt.doubted else to_do


def _sharp_beside(one: MachineStanding, blunt: CutterStanding) -> list[CutterStanding]:
    """Give the sharp ones of its sort of which nobody said that they do its work."""
    return [
        other
        for other in one.cutters
        if other.id != blunt.id
        and (other.where, other.state) == ("on the shelf", "sharp")
        and not other.doubted
        and other.cutter.kind == blunt.cutter.kind
    ]


class UnsaidSpare(NamedTuple):
    """A sharp cutter that may do the work of a dull one, for which no other is at hand."""

    sharp: CutterStanding
    dull: CutterStanding


def unsaid_spares(machines: Sequence[MachineStanding]) -> tuple[UnsaidSpare, ...]:
    """Give what may be said of spares, so that a dull cutter is changed."""
    return tuple(
        UnsaidSpare(sharp, dull)
        for one in machines
        for dull in one.blunt
        if dull.machine == one.machine.id and _sharp_one(dull, one.cutters) is None
        for sharp in _sharp_beside(one, dull)
    )


def _is_changed_here(one: MachineStanding, home: str, kind: str | None, day: Sequence[str]) -> bool:
    """Tell whether the change of a cutter that belongs to `home` is planned on this machine."""
    modes = (home, *_served(one, kind))
    return one.machine.id == next(name for name in (home, *day) if name in modes and name in day)


def _sort(one: MachineStanding, kind: str | None) -> CutterKind | None:
    """Tell how cutters of a kind are changed; None: nothing says it."""
    known = next((sort for sort in get_args(CutterKind) if sort == kind), None)
    return next((each.cutter.sort for each in one.cutters if each.cutter.kind == kind), known)


def _served(one: MachineStanding, kind: str | None) -> tuple[str, ...]:
    """Give all modes that a cutter of a kind on this machine serves, this one among them."""
    served = (
        name
        for each in one.cutters
        if each.cutter.kind == kind
        for name in (each.machine, *each.serves)
    )
    return tuple(dict.fromkeys((one.machine.id, *served)))


class PlannedChange(NamedTuple):
    """A change of cutter that is planned on a machine, and what it does."""

    piece: Piece
    happened: str
    """What has happened to the machine then; empty: nothing that undoes."""
    elsewhere: tuple[str, ...]
    """Ids of the other modes in which the cutter is changed with that."""
    makes_dirt: bool = False
    """Whether it leaves dirt on the machine."""
    names: tuple[str, ...] = ()
    """Full names of the cutters of which one is put on: tasks may say that they come before it."""
    before: tuple[str, ...] = ()
    """Full names of the tasks that come after it."""


def planned_changes(
    one: MachineStanding, day: Sequence[str], opens: list[StaysOpen]
) -> list[PlannedChange]:
    """Give the changes that are planned on a machine; for the words see `due_changes`."""
    return [_what_it_does(one, piece) for piece in due_changes(one, day, opens)]


def _what_it_does(one: MachineStanding, piece: Piece) -> PlannedChange:
    kind = _kind_changed(one, piece)
    sort = _sort(one, kind)
    happened = CHANGED_BY.get(sort, "") if sort is not None else ""
    act = piece.act or (one.changing.act if one.changing is not None else "")
    elsewhere = tuple(name for name in _served(one, kind) if name != one.machine.id)
    alike = [other for other in one.cutters if other.cutter.kind == kind]
    return PlannedChange(
        *(piece, {"turn": TURNED, "take off": ""}.get(act, happened), elsewhere),
        any(other.cutter.makes_dirt for other in alike),
        tuple(f"{other.machine}.{other.id}" for other in alike),
        tuple(full_name(name, other.machine) for other in alike for name in other.cutter.before),
    )


def _kind_changed(one: MachineStanding, piece: Piece) -> str | None:
    """Give the kind of the cutter that is changed; None: nothing says it."""
    changed = cutter_of(piece, one.cutters)
    if changed is not None:
        return changed.cutter.kind
    return one.changing.kind if one.changing is not None else None


def cutter_of(piece: Piece, here: Sequence[CutterStanding]) -> CutterStanding | None:
    """Give the cutter that a piece is about; None where it goes on with a change.

    Two modes of one machine may each have one of that id: the piece names the mode, too.
    """
    name = piece.id.rpartition(" ")[2]
    return next((one for one in here if f"{one.machine}.{one.id}" == name), None)
