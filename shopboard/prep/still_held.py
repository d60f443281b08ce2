"""Which joints of a project stay on HOLD after a plan, for checks that do not fit into it. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from shopboard.prep.at_risk import LeftPiece, with_bases
from shopboard.prep.plan_words import span
from shopboard.shop.model import Shop
from shopboard.shop.project import Joint, Project


def still_held(
    shop: Shop, project: Project | None, left: Sequence[LeftPiece], stuck: Collection[str] = ()
) -> tuple[str, ...]:
    """Say which joints need checks that do not fit, and how long these take: one sentence or none.

    Args:
        shop: what is there.
        project: what the plan is for; None: all that is due.
        left: what does not fit into the time one has.
        stuck: full names of joints that no check of now can make go; that is said elsewhere.
    """
    joints = project.joints if project is not None else ()
    joints = tuple(one for one in joints if one.full_name not in stuck)
    checks: dict[str, float] = {}
    lacks: list[tuple[str, float]] = []
    for one in joints:
        mine = dict(_checks(shop, one, left))
        lacks += [(one.name, sum(mine.values()))] if mine else []
        checks.update(mine)
    if not checks:
        return ()
    # what lacks little may be worth a few minutes more
    differs = len({minutes for _, minutes in lacks}) > 1
    held = [f"{name} ({span(minutes)})" if differs else name for name, minutes in lacks]
    return (f"HOLD for {'; '.join(held)}: {span(sum(checks.values()))} of checks more.",)


def _checks(shop: Shop, joint: Joint, left: Sequence[LeftPiece]) -> Iterator[tuple[str, float]]:
    """Give the checks for a joint that do not fit: of which point, minutes."""
    names = with_bases(shop, joint.point_names)
    for one in left:
        if one.piece.sort == "check" and one.piece.target in names:
            yield one.piece.target, one.piece.minutes
