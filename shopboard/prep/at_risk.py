"""What is at risk while a piece of a day's work is left out. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.metrology.wording import share
from shopboard.prep.pieces import Piece
from shopboard.prep.project_needs import PointNeeds, ProjectNeeds
from shopboard.shop.model import Shop
from shopboard.standing.model import PointStanding
from shopboard.upkeep.undone import below

GUARDS_YOU = "it guards you"
"""Of what is left out, where that is so: said before all else."""


class LeftPiece(NamedTuple):
    """A piece that does not fit into the time one has."""

    piece: Piece
    risk: str
    """What that puts at risk."""


def as_jobs(pieces: Iterable[Piece]) -> list[list[Piece]]:
    """Put the pieces of one task together: by whatever waits they are parted, it is one job.

    But for tools of a set, of which each is one.
    """
    found: dict[tuple[str, ...], list[Piece]] = {}
    for one in pieces:
        is_part = one.sort == "task" and not one.by_tool
        found.setdefault((one.machine, one.target) if is_part else (one.id,), []).append(one)
    return [*found.values()]


def as_one(parts: Sequence[Piece]) -> Piece:
    """Give the pieces of a job as one; where all its steps are in them, by the task's name."""
    one, last = parts[0], parts[-1]
    if len(parts) == 1:
        return one
    steps = one.steps[0], last.steps[1]
    minutes = sum(each.minutes for each in parts)
    words = one.name if steps == (1, one.of) else one.words
    return one._replace(minutes=minutes, steps=steps, words=words, wait=0.0)


def with_bases(shop: Shop, names: Iterable[str]) -> frozenset[str]:
    """Give points with all that they rest on."""
    found = {name for name in names if name in shop.points}
    return frozenset(found.union(*(below(shop.points[name], shop.points) for name in found)))


def check_risk(
    shop: Shop,
    piece: Piece,
    stands: PointStanding,
    cost: PointNeeds | None,
    needs: ProjectNeeds | None,
) -> str:
    """Say what is at risk while a point is not checked."""
    stays = f"stays {state_word(stands.state)}: {stands.reason or piece.why}"
    if stands.point.guards:
        return f"{GUARDS_YOU}; {stays}"
    if needs is None:
        return stays
    if cost is not None and cost.cost:
        return f"takes up to {share(cost.cost)} of what is allowed: {cost.costs}"
    joints = [
        joint.name
        for joint in needs.project.joints
        if piece.target in with_bases(shop, joint.point_names)
    ]
    if not joints:
        return piece.why
    return f"not proven for {', '.join(joints)}"
