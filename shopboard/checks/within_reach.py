"""Readings that no tool of the drawer shows, or that the shop file's sizes make hard to believe."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.contradiction import Contradiction, contradict, unlikely
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.metrology.instruments import RULE_WITHIN_MM
from shopboard.metrology.units import MM_PER_INCH, by_unit
from shopboard.metrology.wording import leaf, length

OTHER_SIZE = 4.0
"""A length of so many times the shop file's, or that part of it, is hard to believe."""


def _reach(job: CheckContext, kind: str) -> float:
    """Give how far the longest tool of a kind reaches, mm; 0 where there is none."""
    return max((tool.reach for tool in job.drawer.others if tool.kind == kind), default=0.0)


_AS_LONG = (
    ("calliper", "calliper", "the calliper opens only {}"),
    ("rule", "tape", "the tape is only {} long"),
)
"""What a reading is taken with, the tool that says how far it reaches, and in words."""


def beyond_the_tool(
    job: CheckContext, asked: Sequence[Reading | Pick], taken: Taken
) -> Contradiction | None:
    """Refuse what no tool of the drawer can show.

    A calliper opens no farther than it is long, a tape shows no more than its length; two readings
    of one indicator lie no farther apart than its travel.
    """
    read = [one for one in asked if isinstance(one, Reading) and one.key in taken.inputs]
    reach = {kind: _reach(job, kind) for kind in ("calliper", "indicator", "tape")}
    for tool, kind, words in _AS_LONG:
        longest = reach[kind] if reach[kind] or tool == kind else math.inf  # a rule is at hand
        far = [one.key for one in read if one.tool == tool and taken.values[one.key] > longest]
        if far:
            only, named = length(longest, job.unit), ", ".join(far).replace("_", " ")
            return contradict(f"{named}: {words.format(only)}; read again", *far)
    dials = sorted((taken.values[one.key], one.key) for one in read if one.tool == "indicator")
    if dials and dials[-1][0] - dials[0][0] > reach["indicator"]:
        low, high = dials[0][1], dials[-1][1]
        travel = length(reach["indicator"], job.unit)
        return contradict(
            f"{low} and {high} lie farther apart than the indicator's travel, {travel};"
            " read both again",
            low,
            high,
        )
    return None


def longer_than_blade(
    job: CheckContext, name: str, value: float, blade: float
) -> Contradiction | None:
    """Refuse a length (mm), by its name, along a square whose blade is not so long."""
    if value <= blade + RULE_WITHIN_MM:
        return None
    only = length(blade, job.unit)
    return contradict(f"{name}: the square is only {only} long; read it again", name)


def proven_blade(job: CheckContext) -> float:
    """Give the length (mm) of the square that the point proves; without end where it names none."""
    return next((one.length for one in job.drawer.squares if one.id == job.proves), math.inf)


def to_either_side(job: CheckContext) -> float:
    """Give how far (mm) the longest straightedge reaches to either side of its middle."""
    edges = (one.reach for one in job.drawer.others if one.kind == "straightedge")
    return max(edges, default=math.inf) / 2


def with_straightedges_of(job: CheckContext, mm: float, what: str) -> CheckContext:
    """Leave in the drawer only straightedges that reach so far; where none is told (0), all.

    Raises:
        NotPossibleError: when the drawer holds straightedges, and none reaches.
    """
    edges = [one.reach for one in job.drawer.others if one.kind == "straightedge"]
    if edges and max(edges) + RULE_WITHIN_MM < mm:
        step = by_unit(job.unit, MM_PER_INCH / 4, 1.0)
        reach = length(max(edges), job.unit)
        wanted = length(step * math.ceil(mm / step - 1e-6), job.unit)
        raise NotPossibleError(
            f"{what} is {wanted}, but the straightedge reaches only {reach}: it takes a longer one"
        )
    long = tuple(
        one
        for one in job.drawer.others
        if one.kind != "straightedge" or one.reach + RULE_WITHIN_MM >= mm
    )
    return job._replace(drawer=job.drawer._replace(others=long))


def longer_than_straightedge(job: CheckContext, name: str, value: float) -> Contradiction | None:
    """Refuse a length (mm), by its name, that a straightedge must reach to either side."""
    side_mm = to_either_side(job)
    if value <= side_mm + RULE_WITHIN_MM:
        return None
    side = length(side_mm, job.unit)
    why = f"{name}: the straightedge reaches {side} to either side; read it again"
    return contradict(why, name)


def beyond_the_sizes(
    job: CheckContext, asked: Sequence[Reading | Pick], taken: Taken
) -> Contradiction | None:
    """Doubt a length that is many times the shop file's, or a small part of it: a slip of the unit.

    Another board may be half or twice as long as the usual one, but hardly more.
    """
    for one in asked:
        if not isinstance(one, Reading) or one.key not in taken.inputs:
            continue
        usual, value = job.sizes.get(one.size, 0.0), taken.values[one.key]
        if usual and not usual / OTHER_SIZE < value < usual * OTHER_SIZE:
            name = one.key.replace("_", " ")
            return unlikely(
                f"{name}: {leaf(value, job.unit)}, and the shop file says"
                f" {length(usual, job.unit)}; read it again",
                one.key,
            )
    return None
