"""What a project's wood goes through first, and which of its checks are in vain. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shopboard.prep.at_risk import with_bases
from shopboard.shop.model import Shop
from shopboard.shop.project import Project, ShowsIn

OPERATIONS: Mapping[ShowsIn, int] = {
    **dict.fromkeys(("edge line", "edge angle"), 1),
    **dict.fromkeys(("thickness", "resaw"), 2),
    **dict.fromkeys(("bevel",), 3),
    **dict.fromkeys(("end angle", "end tilt", "length", "mitre"), 4),
    **dict.fromkeys(("hole size", "hole angle", "leg angle", "tenon taper"), 5),
}
"""In which order wood is worked, by where in it an error shows: straight and square, to thickness,
ripped to a bevel, cut to length, bored and turned. (common practice, no source)"""


def first_cut(shop: Shop, project: Project) -> frozenset[str]:
    """Give the points that show in what a project's wood goes through first.

    That is of all its joints, in whatever order the shop file names them; with what they rest on.
    """
    cuts = {cut for joint in project.joints for cut, names in joint.points.items() if names}
    first = min((OPERATIONS[cut] for cut in cuts), default=0)
    names = (
        name
        for joint in project.joints
        for cut, points in joint.points.items()
        if OPERATIONS[cut] == first
        for name in points
    )
    return with_bases(shop, names)


def in_vain_for(shop: Shop, project: Project, stuck: Collection[str]) -> frozenset[str]:
    """Give the points of which no joint asks that could go, with what they alone rest on.

    Args:
        shop: what is there.
        project: the project.
        stuck: full names of its joints that no check of now can make go.
    """
    asking = [one for one in project.joints if one.full_name not in stuck]
    some, every = (
        with_bases(shop, (name for joint in joints for name in joint.point_names))
        for joints in (asking, project.joints)
    )
    return every - some
