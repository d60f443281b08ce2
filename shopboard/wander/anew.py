"""How long a result holds once another one that it was judged with has been withdrawn."""

from __future__ import annotations

from shopboard.journal import Store
from shopboard.results.record import CheckRecord
from shopboard.shop.watched import WatchedShop


class HeldAnew:
    """Reckons with what still stands of all that was recorded up to a result."""

    def __init__(self, read: WatchedShop) -> None:
        """Go by a shop file as it was read last."""
        self._read = read

    def __call__(self, journal: Store, newest: CheckRecord) -> CheckRecord:
        """Give a point's newest result with how long it holds; one that was not true as it is.

        Raises:
            JournalError: when the journal cannot be read.
        """
        from shopboard.wander.outlook import holds_by_wander, outlook  # seldom asked for
        from shopboard.wander.point_history import point_past

        shop = self._read.shop
        point = shop.points.get(f"{newest.machine}.{newest.point}")
        if point is None or newest.verdict != "true":
            return newest
        plain = newest._replace(holds=None)
        past = point_past(journal, point, newest.seq, shop.reached.get(point.machine))
        seen = outlook(point, past, plain, shop.accepted_risk)
        return plain._replace(holds=holds_by_wander(point, past, seen, shop.unit))
