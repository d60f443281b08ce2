"""The misfits of a joint that are not as wanted, and what would mend each."""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.joint_fit import JointFit, JointNeeds, box_of
from shopboard.prep.mend import (
    Mend,
    Minutes,
    Options,
    find_mend,
)
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


def mends_of(needs: JointNeeds, options: Options, minutes: Minutes) -> list[OpenMisfit]:
    """Find what would do for each misfit that is not proven to be as wanted.

    Of a box, whose ends open or which leans, that one is looked at which can be proven.
    """

    def asked(*fits: JointFit) -> list[OpenMisfit]:
        return [
            OpenMisfit(one, one.limit, find_mend(one, needs.each, options, minutes))
            for one in fits
            if one.limit is not None and not one.fits and all(each.point for each in one.acting)
        ]

    box = box_of(needs.fits)
    if box is None or box.gap.fits or box.square.waived:
        return asked(*needs.fits)
    rest = [one for one in needs.fits if one is not box.gap and one is not box.square]
    held, drawn = asked(box.gap), asked(box.closed, box.square)
    by_drawing = bool(drawn) and all(one.can_be for one in drawn)
    open_ends = not all(one.can_be for one in held)
    return [*(drawn if open_ends and by_drawing else held), *asked(*rest)]
