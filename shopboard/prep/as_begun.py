"""The order in which a day was begun is kept as long as it is as good as any. Pure.

After each record the rest of the day is planned anew, and of orders that are as good the optimiser
finds another one each time. Whoever was told what comes next finds that there, unless something
better was found since.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from shopboard.prep.as_good import loses_nothing
from shopboard.prep.fill_window import Stint
from shopboard.prep.kept_plans import followed_by


def as_begun(stint: Stint, order: Sequence[str], stay: Collection[str] = ()) -> Stint:
    """Let a window's work be in the order of the day as it was begun, where nothing is lost by it.

    What was not known then keeps its place.

    Args:
        stint: what is done in one window.
        order: ids of the jobs in that order; some may be done already.
        stay: ids of jobs that stay where they are: somebody is at them.
    """
    rank = {name: at for at, name in enumerate(order) if name not in stay}
    turns = iter(sorted(filter(rank.__contains__, stint.found.order), key=rank.__getitem__))
    wanted = [next(turns) if name in rank else name for name in stint.found.order]
    if wanted == [*stint.found.order]:
        return stint
    found = followed_by(stint.workday, wanted)
    if found is None or not loses_nothing(stint.workday, stint.found, found):
        return stint
    return stint._replace(found=found._replace(bound=stint.found.bound))  # of any order
