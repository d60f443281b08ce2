"""What would be left if a prep day ended now, with what that puts at risk. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from shopboard.prep.at_risk import LeftPiece, as_jobs, as_one
from shopboard.prep.pieces import Piece
from shopboard.prep.time_had import TimeHad
from shopboard.prep.timing import Settled, left_pieces


def left_undone(
    planned: Iterable[Piece], settled: Settled, risks: Mapping[str, str], had: TimeHad
) -> tuple[LeftPiece, ...]:
    """Give all that is planned and all that did not fit.

    No check is made any more: none is told as made without what is left.

    Args:
        planned: what is planned still.
        settled: the day.
        risks: what leaving a piece out puts at risk, by its id.
        had: the time one has.
    """
    over = settled._replace(shared=settled.shared._replace(stints=()))
    left = left_pieces(over, had)
    planned = tuple(planned)
    told = {one.id: risks.get(one.id, "") for one in planned}
    told |= {one.piece.id: one.risk for one in left}
    jobs = map(as_one, as_jobs((*planned, *(one.piece for one in left))))
    return tuple(LeftPiece(one, told[one.id]) for one in jobs)
