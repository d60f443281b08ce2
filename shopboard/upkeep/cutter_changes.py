"""What a change of cutter on a machine leaves behind. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.kinds import CutterUse
from shopboard.shop.machine import Sharpness
from shopboard.upkeep.cutter_acts import ActError, found, renewed, why_not
from shopboard.upkeep.cutters import CutterStanding


class Changed(NamedTuple):
    """A cutter as a change on the machine leaves it."""

    after: CutterStanding
    what: str
    """What was done with it: ``put on``, ``taken off``, ``turned``, ``cleaned``, ``new``."""


CHANGES = ("put on", "turn", "clean", "take off", "new")
"""Acts that are done on the machine."""


def mounted_like(one: CutterStanding, all_here: Sequence[CutterStanding]) -> CutterStanding | None:
    """Give the cutter that is on the machine where this one goes."""
    place = one.cutter.place
    return next((two for two in all_here if two.mounted and two.cutter.place == place), None)


def change(
    one: CutterStanding,
    name: str,
    came_off: Sharpness,
    all_here: Sequence[CutterStanding],
    *,
    cleaned: bool = False,
) -> list[Changed]:
    """Give what a change on the machine leaves, what comes off first.

    Args:
        one: the cutter that the act is about.
        name: one of CHANGES.
        came_off: how the edge that is no longer in use was found.
        all_here: every cutter of the machine.
        cleaned: one that is put on dirty, by the record, was cleaned before.

    Raises:
        ActError: when it cannot be done.
    """
    refusal = why_not(one, name)
    if not refusal and name == "new" and not one.mounted:
        refusal = "it is not on the machine"
    if refusal:
        raise ActError(f"{one.cutter.name}: {refusal}")
    if name == "turn":
        turned = found(one, came_off)._replace(
            state="sharp", edge=one.edge + 1, use=CutterUse(), looked=CutterUse()
        )
        return [Changed(turned, "turned")]
    if name == "clean":
        return [Changed(one._replace(state="sharp"), "cleaned")]
    if name == "new":
        worn = found(one, came_off)
        return [Changed(renewed(worn, None), "new")]
    off = one if name == "take off" else mounted_like(one, all_here)
    changes = []
    if off is not None:
        changes.append(Changed(found(off, came_off)._replace(where="on the shelf"), "taken off"))
    if name == "put on":
        if cleaned and one.state == "dirty":
            one = one._replace(state="sharp")
            changes.append(Changed(one, "cleaned"))
        changes.append(Changed(one._replace(where="on the machine"), "put on"))
    return changes
