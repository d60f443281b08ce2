"""What a prep day leaves undone, in words: how much, and of each what that puts at risk."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from shopboard.base.text import counted
from shopboard.journal.kinds import LeftUndone
from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.pieces import Piece
from shopboard.prep.plan_words import span


def as_left(pieces: Sequence[LeftPiece]) -> tuple[LeftUndone, ...]:
    """Give pieces that are left as they go on record at the end of a day."""
    told = ((one.piece.machine, _words(one.piece), one.piece.minutes, one.risk) for one in pieces)
    return tuple(LeftUndone(*one) for one in told)


def _words(piece: Piece) -> str:
    """Name a piece; steps alone do not say what they are part of."""
    alone = bool(piece.of) and piece.name not in piece.words
    return f"{piece.words} ({piece.name})" if alone else piece.words


def how_much(left: Sequence[LeftUndone]) -> str:
    """Say how much is left: ``5 jobs, 1 h 20 min``; empty: nothing is."""
    return f"{counted(len(left), 'job')}, {span(sum(one.minutes for one in left))}" if left else ""


def left_lines(left: Sequence[LeftUndone], machines: Mapping[str, str]) -> Iterator[str]:
    """Tell what is left, a line each.

    Args:
        left: the pieces.
        machines: names of the machines, by id; one that is gone is called by its id.
    """
    for one in left:
        risk = f"; {one.risk}" if one.risk else ""
        where = machines.get(one.machine, one.machine)
        yield f"  {where}: {one.words}, {span(one.minutes)}{risk}"
