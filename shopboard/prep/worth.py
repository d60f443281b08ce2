"""What of a day's work is worth most, and what is at risk while a piece of it is left out. Pure.

First what is in progress (of a set of tools the one that is half done), then what guards a person,
then what the first cut of the project needs, then what costs the project most by the minute, then
a dull cutter, which comes before other checks where no project asks, then upkeep and what no joint
asks for. A joint that no check can make go asks for nothing before the others. What a change of
cutter undoes is measured with it, unless the change is left out.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from itertools import islice
from types import MappingProxyType

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.at_risk import GUARDS_YOU, check_risk, with_bases
from shopboard.prep.first_cut import first_cut, in_vain_for
from shopboard.prep.job_list import ToDo
from shopboard.prep.pieces import Piece
from shopboard.prep.project_needs import PointNeeds, ProjectNeeds
from shopboard.shop.model import Shop
from shopboard.standing.model import PointStanding, ShopStanding

_BY_STATE: Mapping[str, float] = {"out": 3.0, "unproven": 2.0, "near": 2.0, "waits": 1.0}
"""What a check is worth where no project asks, by how its point stands; of others 1. (our own)"""

_UNKNOWN = 1.0
"""Share of what a joint is allowed that an error may take of which nothing is known: all of it."""

_Rank = tuple[int, float, str, str]
"""What is short first, within a rank; then what is of one machine and of one task together."""

_FIRST: _Rank = (-1, 0.0, "", "")


class Worth(NamedTuple):
    """What the pieces of a day are worth."""

    order: tuple[str, ...]
    """Ids of the pieces, the most valuable first."""
    risks: Mapping[str, str]
    """What is at risk while a piece is left out, by its id."""
    begun: frozenset[str] = frozenset()
    """Ids of those that are in progress."""
    urgent: frozenset[str] = frozenset()
    """Ids of those that are in progress, or that guard a person."""
    ranks: Mapping[str, _Rank] = MappingProxyType({})
    """By what each is put in order; the least is worth most."""
    brought_by: Mapping[str, tuple[str, ...]] = MappingProxyType({})
    """Of a check, the ids of the changes of cutter with which it is measured."""

    def without(self, changes: Collection[str]) -> tuple[str, ...]:
        """Give the order where some changes are left out: their checks count by themselves."""
        if not self.ranks:
            return self.order
        return tuple(sorted(self.order, key=lambda ident: self.rank(ident, changes)))

    def rank(self, ident: str, without: Collection[str] = ()) -> _Rank:
        """Give by what one is put in order, where some changes are left out."""
        with_it = (one for one in self.brought_by.get(ident, ()) if one not in without)
        return min(self.ranks[one] for one in (ident, *islice(with_it, 1)))

    def first_of_all(self, name: str) -> Worth:
        """Let a piece be in progress, and worth more than any other; of no name: as it was."""
        if not name:
            return self
        others = (one for one in self.order if one != name)
        urgent, begun = self.urgent | {name}, self.begun | {name}
        ranks = {**self.ranks, name: _FIRST} if self.ranks else self.ranks
        return self._replace(order=(name, *others), begun=begun, urgent=urgent, ranks=ranks)


def worth_of(
    todo: ToDo,
    shop: Shop,
    standing: ShopStanding,
    in_hand: str,
    needs: ProjectNeeds | None,
    since: int = 0,
) -> Worth:
    """Put the pieces of a day in the order of what they are worth.

    Args:
        todo: the pieces.
        shop: what is there.
        standing: how all stands.
        in_hand: full name of the point whose check was begun; empty: none.
        needs: what the project needs; None: the day is for all that is due.
        since: number of the entry that began the day; 0: it is not begun.
    """
    in_vain = (
        in_vain_for(shop, needs.project, todo.stuck) if needs is not None else frozenset[str]()
    )
    ranker = _Ranker(shop, standing, in_hand, needs, in_vain, since)
    told = {ident: ranker.rank_and_risk(piece) for ident, piece in todo.pieces.items()}
    ranks = _with_checks({ident: rank for ident, (rank, _) in told.items()}, todo.pieces)
    risks = {ident: risk for ident, (_, risk) in told.items()}
    brought_by = {ident: piece.brought_by for ident, piece in todo.pieces.items()}
    brought_by = {
        ident: tuple(one for one in some if one in ranks) for ident, some in brought_by.items()
    }
    together = _one_by_one(ranks, todo.pieces, ranker.sets)
    worth = Worth(tuple(todo.pieces), risks, ranks=together, brought_by=brought_by)
    order = worth.without(())
    begun = frozenset(one for one in order if worth.rank(one)[0] == 0)
    # a dull cutter is first among days, but within one nobody cuts with it
    guards = (o for o in order if ranks[o][0] == 1 and todo.pieces[o].sort != "cutter")
    urgent = begun.union(guards)
    return worth._replace(order=order, begun=begun, urgent=urgent)


class _Ranker:
    """What is asked of a day, by which its pieces are ranked."""

    def __init__(
        self,
        shop: Shop,
        standing: ShopStanding,
        in_hand: str,
        needs: ProjectNeeds | None,
        in_vain: frozenset[str],
        since: int,
    ) -> None:
        self.shop, self.standing, self.in_hand, self.needs = shop, standing, in_hand, needs
        self.in_vain, self.since = in_vain, since
        joints = needs.project.joints if needs is not None else ()
        names = (name for joint in joints for name in joint.point_names)
        self.asked = with_bases(shop, names) if needs is not None else None
        self.first = first_cut(shop, needs.project) if needs is not None else frozenset[str]()
        points = needs.points if needs is not None else ()
        self.costs = {one.known.full_name: one for one in points}
        tasks = [(one.machine.id, task) for one in standing.machines for task in one.tasks]
        self.begun = {(machine, one.task.id) for machine, one in tasks if one.begun is not None}
        self.sets = {(machine, one.task.id) for machine, one in tasks if one.task.each}
        self.guarding = {(machine, one.task.id) for machine, one in tasks if one.task.guards}

    def rank_and_risk(self, piece: Piece) -> tuple[tuple[int, float], str]:
        """Rank a piece, the least is worth most, and say what is at risk while it is left out."""
        stands = self.standing.of_point(piece.target) if piece.sort == "check" else None
        place = (piece.machine, piece.target)
        if stands is None:
            guards = place in self.guarding
            # of a set only the tool that is half done
            is_begun = piece.begun if place in self.sets else place in self.begun
            rank = self._upkeep_rank(piece, is_begun=is_begun, guards=guards)
            return rank, f"{GUARDS_YOU}; {piece.why}" if guards else piece.why
        cost = self.costs.get(piece.target)
        risk = check_risk(self.shop, piece, stands, cost, self.needs)
        if piece.target == self.in_hand:
            return (0, 0.0), risk
        worth = _check_worth(stands, cost, self.needs) if self._is_asked(stands) else 0.0
        return (self._check_rank(stands), -worth / max(piece.minutes, 1.0)), risk

    def _is_asked(self, stands: PointStanding) -> bool:
        """Tell whether a joint of the project asks for a point; of no project all are."""
        return self.asked is None or stands.point.full_name in self.asked

    def _check_rank(self, stands: PointStanding) -> int:
        """Rank a check: what guards a person, what the first cut needs, others, what is in vain.

        What was upset on this day, by a change of cutter above all, is measured on it.
        """
        name = stands.point.full_name
        if stands.point.guards or 0 < self.since < stands.upset:
            return 1
        if name in self.in_vain or not self._is_asked(stands):
            return 4
        return 2 if name in self.first else 3

    def _upkeep_rank(self, piece: Piece, *, is_begun: bool, guards: bool) -> tuple[int, float]:
        """Rank a task or a change of cutter: what is short first.

        A dull cutter needs force; but no joint waits on HOLD for it. One that is cleaned beside the
        machine is upkeep; where it is to go on, the change brings it. So is one of a machine that
        the project does not need.
        """
        if piece.sort == "cutter" and piece.act != "cleaned" and not (piece.act and piece.serviced):
            dull = 1 if self.needs is None else 3  # checks of that rank come before it
            return dull if piece.act else 0, piece.minutes
        return 0 if is_begun else 1 if guards else 4, piece.minutes


def _with_checks(
    ranks: Mapping[str, tuple[int, float]], pieces: Mapping[str, Piece]
) -> dict[str, tuple[int, float]]:
    """Let a change of cutter take as long as it does with its checks: both are done, or neither."""
    found = dict(ranks)
    for piece in pieces.values():
        for change in (one for one in piece.brought_by if one in found):
            rank, minutes = found[change]
            found[change] = rank, minutes + piece.minutes
    return found


def _one_by_one(
    ranks: Mapping[str, tuple[int, float]],
    pieces: Mapping[str, Piece],
    sets: Collection[tuple[str, str]],
) -> dict[str, _Rank]:
    """Keep the pieces of a task together: it is worth nothing half done, but for tools of a set."""

    def key(piece: Piece) -> tuple[str, ...]:
        is_tool = (piece.machine, piece.target) in sets
        return piece.sort, piece.machine, piece.target, piece.id if is_tool else ""

    least: dict[tuple[str, ...], tuple[int, float]] = {}
    for ident, piece in pieces.items():
        least[key(piece)] = min(ranks[ident], least.get(key(piece), ranks[ident]))
    return {
        ident: (*least[key(piece)], piece.machine, piece.target) for ident, piece in pieces.items()
    }


def _check_worth(
    stands: PointStanding, cost: PointNeeds | None, needs: ProjectNeeds | None
) -> float:
    """Say what a check is worth: what its point may cost the project, else how it stands."""
    if needs is None:
        return _BY_STATE.get(stands.state, 1.0)
    if cost is None:
        return _UNKNOWN
    return _UNKNOWN if cost.cost is None else cost.cost
