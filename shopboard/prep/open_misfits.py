"""The misfits of a joint that are not as wanted, and what would mend each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.joint_fit import JointFit, JointNeeds, box_of
from shopboard.prep.known import KnownPoint
from shopboard.prep.mend import Mend, Minutes, Options, find_mend
from shopboard.prep.project_needs import by_ease
from shopboard.shop.project import MisfitLimit


class OpenMisfit(NamedTuple):
    """A misfit that is not proven to be as wanted, and what would do."""

    fit: JointFit
    limit: MisfitLimit
    mend: Mend | None
    """None: nothing that is known of would."""

    @property
    def can_be(self) -> bool:
        """Whether it can be proven with the tools at hand."""
        return self.mend is not None and self.mend.at_hand


def mends_of(
    needs: JointNeeds, known: Mapping[str, KnownPoint], options: Options, minutes: Minutes
) -> list[OpenMisfit]:
    """Find what would do for each misfit that is not proven to be as wanted.

    Of a box, whose ends open or which leans, the way to close it is looked at that asks less of the
    points, or the other one where that alone can be proven.
    """

    def asked(fits: Iterable[JointFit]) -> list[OpenMisfit]:
        return [
            OpenMisfit(one, one.limit, find_mend(one, needs.each, options, minutes))
            for one in fits
            if one.limit is not None and not one.fits and all(each.point for each in one.acting)
        ]

    box = box_of(needs.fits)
    if box is None or box.gap.fits or box.square.waived:
        return asked(needs.fits)
    rest = [one for one in needs.fits if one is not box.gap and one is not box.square]
    way, other = map(asked, by_ease(box, known))
    if other and all(one.can_be for one in other) and not all(one.can_be for one in way):
        way = other
    return [*way, *asked(rest)]
