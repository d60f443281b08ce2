"""What makes a misfit, and which points make most of it, in words. Pure."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import small_move
from shopboard.prep.joint_fit import JointFit
from shopboard.prep.known import KnownPoint


def parts_of(fit: JointFit) -> dict[str, float]:
    """Give what each point makes of what is known of a misfit, mm, the most first."""
    found: dict[str, float] = {}
    for one in fit.measured:
        found[one.point] = found.get(one.point, 0.0) + (one.at_most or 0.0)
    return dict(sorted(found.items(), key=lambda part: -part[1]))


def most_words(parts: Mapping[str, float], points: Mapping[str, KnownPoint], unit: Unit) -> str:
    """Name what makes more than half of a misfit together, with all that makes as much as these."""
    told: list[tuple[str, str]] = []
    so_far = 0.0
    for name, mm in parts.items():
        size = small_move(mm, unit)
        if so_far > sum(parts.values()) / 2 and size != told[-1][1]:
            break
        told.append((points[name].name, size))
        so_far += mm
    (first, size), *others = told
    if not others:
        return f"{first} accounts for most of it: {size}"
    more = "".join(f", {name} for {each}" for name, each in others)
    return f"{first} accounts for {size} of it{more}"
