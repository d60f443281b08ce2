"""Which joints of a project stay on HOLD after a plan, and whether checks more would help. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from shopboard.prep.at_risk import LeftPiece, with_bases
from shopboard.prep.plan_words import span
from shopboard.prep.stays_open import StaysOpen
from shopboard.shop.model import Shop
from shopboard.shop.project import Joint, Project


def still_held(
    shop: Shop,
    project: Project | None,
    left: Sequence[LeftPiece],
    stays: Sequence[StaysOpen] = (),
) -> tuple[str, ...]:
    """Say which joints need checks that do not fit, and how long these take, and which need more.

    Args:
        shop: what is there.
        project: what the plan is for; None: all that is due.
        left: what does not fit into the time one has.
        stays: what no work of the day settles: minutes are said of no joint that waits for that.
    """
    checks: dict[str, float] = {}
    lacks: list[tuple[str, float]] = []
    stuck, told = list[str](), list[str]()
    open_ = {(one.sort, one.target) for one in stays}
    for one in project.joints if project is not None else ():
        mine = dict(_checks(shop, one, left))
        if ("joint", one.full_name) in open_ or (mine and _waits(shop, one, open_)):
            stuck.append(one.name)
        elif mine and (points := _open_points(shop, one, stays)):
            told.append(f"HOLD for {one.name}: {points}.")
        elif mine:
            lacks.append((one.name, sum(mine.values())))
            checks.update(mine)
    if stuck:
        told.append(f"HOLD for {'; '.join(stuck)}: checks alone bring no GO.")
    return (*_lacking(lacks, sum(checks.values())), *told)


def _waits(shop: Shop, joint: Joint, open_: Collection[tuple[str, str]]) -> bool:
    """Tell whether a machine that a joint comes from waits for what no work settles."""
    names = with_bases(shop, joint.point_names)
    return any(("machine", shop.points[name].machine) in open_ for name in names)


def _open_points(shop: Shop, joint: Joint, stays: Sequence[StaysOpen]) -> str:
    """Say which points of a joint stay open, whatever else is checked for it; empty: none."""
    names = with_bases(shop, joint.point_names)
    found = [one.name for one in stays if one.sort == "point" and one.target in names]
    return f"{', '.join(found)} {'stays' if len(found) == 1 else 'stay'} open" if found else ""


def _lacking(lacks: Sequence[tuple[str, float]], minutes: float) -> tuple[str, ...]:
    """Say what joints lack that go with checks more, of so many minutes in all."""
    if not lacks:
        return ()
    # what lacks little may be worth a few minutes more
    differs = len({minutes for _, minutes in lacks}) > 1
    held = [f"{name} ({span(minutes)})" if differs else name for name, minutes in lacks]
    return (f"HOLD for {'; '.join(held)}: {span(minutes)} of checks more.",)


def _checks(shop: Shop, joint: Joint, left: Sequence[LeftPiece]) -> Iterator[tuple[str, float]]:
    """Give the checks for a joint that do not fit: of which point, minutes."""
    names = with_bases(shop, joint.point_names)
    for one in left:
        if one.piece.sort == "check" and one.piece.target in names:
            yield one.piece.target, one.piece.minutes
