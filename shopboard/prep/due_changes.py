"""The change of a cutter that is due on a machine, or under way. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.prep.minutes import CHANGE_MINUTES
from shopboard.prep.pieces import Piece
from shopboard.shop.model import CHANGED_BY, CutterKind
from shopboard.standing import MachineStanding
from shopboard.upkeep.cutter_acts import possible
from shopboard.upkeep.cutters import KINDS, CutterStanding, change_words, group_of


def due_change(one: MachineStanding, left_out: list[str]) -> Piece | None:
    """Give the change of a cutter that is due on a machine, or under way.

    Args:
        one: the machine.
        left_out: takes a sentence on each dull cutter for which there is no sharp one.
    """
    if one.changing is not None:
        name = f"Go on with the {one.changing.what}"
        minutes = CHANGE_MINUTES[_kind_of(one.changing.what) or "blade"] / 2
        return Piece(
            f"cutter {one.machine.id}", "cutter", one.machine.id, name, minutes, name,
            "it is under way",
        )  # fmt: skip
    for blunt in one.blunt:
        found = _sharp_one(blunt, one.cutters)
        if found is None:
            left_out.append(_no_sharp_one(one, blunt))
            continue
        ident, act = found
        worn = blunt.state if blunt.state != "sharp" else "past its life"
        sharp = next(other for other in one.cutters if other.id == ident)
        name = f"Turn the {sharp.cutter.name}" if act == "turn" else f"{sharp.cutter.name} on"
        return Piece(
            f"cutter {one.machine.id}.{ident}",
            "cutter",
            one.machine.id,
            name,
            CHANGE_MINUTES[blunt.cutter.kind],
            f"Change to {sharp.cutter.name}" if act != "turn" else name,
            f"{blunt.cutter.name} is {worn}",
            ident,
            act=act,
        )
    return None


def _sharp_one(one: CutterStanding, here: Sequence[CutterStanding]) -> tuple[str, str] | None:
    """Say what makes a blunt cutter's machine sharp again: (id of a cutter, act); None: nothing."""
    if any(act.name == "turn" for act in possible(one)):
        return one.id, "turn"
    spares = [
        other
        for other in group_of(one, here)
        if other.where == "on the shelf"
        and other.state == "sharp"
        and not other.past_life
        and other.cutter.kind == one.cutter.kind
    ]
    return (spares[0].id, "put on") if spares else None


def _no_sharp_one(one: MachineStanding, blunt: CutterStanding) -> str:
    """Say that a dull cutter stays on, and where a sharp one lies that is not meant for it."""
    words = f"{one.machine.name}: dull is {blunt.cutter.name}, and no sharp one is at hand."
    others = [
        other.cutter.name
        for other in one.cutters
        if other.id != blunt.id
        and (other.where, other.state) == ("on the shelf", "sharp")
        and not other.past_life
        and other.cutter.kind == blunt.cutter.kind
    ]
    if not others:
        return words
    return f"{words} If {others[0]} does its work, say so by spare_for in the shop file."


def _kind_of(change: str) -> CutterKind | None:
    """Give what kind of cutter is changed in a change of that name; None: none is known."""
    return next((kind for kind in KINDS if change_words(kind) == change), None)


def happens(one: MachineStanding, change: Piece) -> str:
    """Say what has happened to the machine when a cutter is changed; empty: nothing that undoes."""
    if change.act == "turn":
        return "knives turned"
    kind = _kind_of(one.changing.what) if one.changing is not None else None
    for other in one.cutters:
        kind = other.cutter.kind if other.id == change.target else kind
    return CHANGED_BY.get(kind, "") if kind is not None else ""
