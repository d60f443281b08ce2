"""How much room a misfit leaves the errors of the points that are set right. Pure."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.prep.joint_fit import JointFit
from shopboard.prep.mend import MendOption, Parts


def room_for(fit: JointFit, level: float, chosen: Mapping[str, MendOption]) -> dict[str, float]:
    """Give how large the error of each point may be that is set right, rad or mm.

    The others stay as they are. What they leave is shared out by what the checks of the chosen ones
    leave open, so that each can be met.
    """
    parts = Parts(fit, level)
    mine = {name: one for name, one in chosen.items() if name in parts.now}
    if fit.limit is None or not mine:
        return {}
    sizes = {name: one.fresh.bound(level) for name, one in mine.items()}
    others = sum(now or 0.0 for name, now in parts.now.items() if name not in mine)
    room = fit.limit.mm - others

    def total(factor: float) -> float:
        return sum(parts.made_by(name, factor * size) for name, size in sizes.items())

    low, high = 0.0, 1.0
    while total(high) < room:
        low, high = high, 2 * high
        if high > _EASIEST:
            return {}
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if total(middle) <= room else (low, middle)
    return {name: low * size for name, size in sizes.items()}


_EASIEST = 1e4
"""Times what a check leaves open: beyond that a point does not matter."""
