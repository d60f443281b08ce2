"""The measuring tools of a drawer as they really are: each off by something nobody is told."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import dataclass, field

from shopboard.metrology.feeler import stacks
from shopboard.metrology.instruments import Drawer, FeelerSet

OF_ITS_PROMISE = 1.0
"""A tool may be off by this share of what its maker promises."""

FEEL_MM = 0.004
"""Standard deviation with which a hand tells that a leaf goes."""


@dataclass(frozen=True)
class TrueTools:
    """What each tool of the drawer is off by."""

    drawer: Drawer
    squares: dict[str, float] = field(default_factory=dict)
    """rad, by id; plus: light at the top against a true face."""
    others: dict[str, float] = field(default_factory=dict)
    """mm at its worst, by kind; of a straightedge plus: it is hollow."""
    leaves: Mapping[str, Mapping[float, float]] = field(default_factory=dict)
    """By set and by what is marked on a leaf, mm."""

    def thickness(self, feelers: FeelerSet, leaves: tuple[float, ...]) -> float:
        """Give how thick leaves really are together."""
        off = self.leaves.get(feelers.id, {})
        return sum(one + off.get(one, 0.0) for one in leaves)

    def off(self, kind: str) -> float:
        """Give by how much the tool of a kind is off, mm."""
        return self.others.get(kind, 0.0)

    def best(self, kind: str) -> str:
        """Give the id of the tool that checks take of a kind; empty: there is none."""
        found = [one for one in self.drawer.others if one.kind == kind]
        return min(found, key=lambda one: one.limit).id if found else ""

    def proven(self, ident: str, most: float) -> float:
        """Give what a tool is off by that a check proves: from now on, no more than so much."""
        is_square = ident in self.squares
        table = self.squares if is_square else self.others
        taken = not is_square and ident == self.best("straightedge")
        key = "straightedge" if taken else ident
        off = min(max(table.get(key, 0.0), -most), most)
        table[key] = off
        return off

    def bracket(self, feelers: FeelerSet, gap: float, rng: random.Random) -> tuple[float, float]:
        """Feel a gap leaf by leaf; give the thickest that goes and the thinnest that won't, mm.

        Where every stack goes, the second is infinite.
        """
        felt, goes = rng.gauss(gap, FEEL_MM), 0.0
        for stack in stacks(feelers):
            if self.thickness(feelers, stack.leaves) > felt:
                return goes, stack.thickness
            goes = stack.thickness
        return goes, math.inf


def true_tools(drawer: Drawer, rng: random.Random) -> TrueTools:
    """Make up what each tool is off by, within what is promised of it."""

    def within(limit: float) -> float:
        return rng.uniform(-limit, limit) * OF_ITS_PROMISE

    best = {one.kind: one.limit for one in sorted(drawer.others, key=lambda one: -one.limit)}
    return TrueTools(
        drawer,
        {
            one.id: rng.gauss(one.known_error, one.known_u) + within(one.limit)
            for one in drawer.squares
        },
        {kind: within(limit) for kind, limit in best.items()},
        {
            one.id: {leaf: within(one.leaf_tolerance) for leaf in one.leaves}
            for one in drawer.feelers
        },
    )
