"""What makes each source of uncertainty smaller, by the identities of the sources.

What would settle a verdict and what a check takes to prove a point both speak of it. A source that
one method alone makes brings its remedy along.
"""

from __future__ import annotations

from shopboard.metrology import sources
from shopboard.metrology.kind import Kind
from shopboard.metrology.sources import NOTHING, Remedy
from shopboard.metrology.uncertainty import Budget, Source

TURN_OVER = Remedy("turn over", "turning the square over")
"""What cancels the square's own error, where it can be done."""

READ_AGAIN = Remedy("read again", "taking the readings again", "more readings", "first")
"""What makes smaller how far the readings scatter."""

FINER_INDICATOR = Remedy("indicator", "a finer indicator", longer="distance")

NOT_AGREED = Remedy("not agreed", f"{READ_AGAIN.words}: the two do not agree")

THINNER = "a thinner leaf"
"""What leaves between those that were used are where none is used yet, or the thinnest refused."""

_BETWEEN = Remedy("leaves between", "leaves between those that you used", THINNER)
_SINGLE = Remedy("single leaves", "single leaves in place of stacks")
_FARTHER = Remedy("farther", longer="distance")

_REMEDIES: dict[str, Remedy] = {
    sources.LEVER_BRACKET: _BETWEEN._replace(longer="lever"),
    sources.LEVER_LEAF: _SINGLE._replace(longer="lever"),
    sources.FEEL: READ_AGAIN,
    sources.LEVER: Remedy("lever", "a longer reach (lever in the shop file)", "", "first"),
    sources.SQUARE: Remedy(
        "finer square",
        "a finer square",
        "a finer square, or turning it over where the point allows it",
        "first",
    ),
    sources.SQUARE_PROVEN: Remedy("prove closer", "proving the square closer"),
    sources.SQUARE_TURNED: NOTHING,
    sources.GAP_BRACKET: _BETWEEN._replace(longer="distance"),
    sources.GAP_LEAF: _SINGLE._replace(longer="distance"),
    # Of several gaps in one formula each keeps its feel, however finely and often they are read;
    # what is read once more lessens how well the whole repeats.
    sources.GAP_FEEL: _FARTHER,
    sources.INDICATOR: FINER_INDICATOR,
    sources.CALLIPER: Remedy("calliper", "a finer calliper", longer="distance"),
    sources.STRAIGHTEDGE: Remedy(
        "straightedge", "a straighter straightedge, or one that is proven closer"
    ),
    # How finely a scale is read is taken as usual: reading it finer would tell nothing more.
    sources.SCALE: _FARTHER,
    sources.RULE: _FARTHER,
    sources.WATCH: NOTHING,
    sources.TYPED: Remedy("typed", "more digits", by_going_back=True),
    sources.HEIGHTS: Remedy("heights", "heights that are known closer"),
    sources.REPEATS: READ_AGAIN,
    sources.SCATTER: READ_AGAIN,
    sources.APART: NOT_AGREED,
}


def remedy_for(source: Source) -> Remedy | None:
    """Give what makes a source smaller.

    Returns:
        `NOTHING` where nothing does; None for a source that is not known here.
    """
    return source.remedy or _REMEDIES.get(source.id)


def best_remedy(budget: Budget, *, can_turn: bool = False) -> tuple[Remedy, float]:
    """Give what would most reduce an uncertainty, and what share of the budget it works on.

    Args:
        budget: the budget.
        can_turn: the square was not turned over, and can be.
    """
    shares: dict[Remedy, float] = {}
    for source in budget.sources:
        remedy = remedy_for(source) or NOTHING
        if can_turn and source.id in sources.OF_THE_SQUARE:
            remedy = TURN_OVER
        shares[remedy] = shares.get(remedy, 0.0) + budget.share(source)
    best = max(shares, key=lambda remedy: shares[remedy], default=NOTHING)
    return best, shares.get(best, 0.0)


NO_TOOL = "a wider tolerance, or a finer method"
"""Where no tool and no reading makes the largest part smaller."""

OVER_A_LENGTH: tuple[Kind, ...] = ("angle", "stress")
"""What is taken over a length, and known better over a longer one; a length is not."""


def would_take(budget: Budget, kind: Kind) -> str:
    """Say what a check takes that is not begun yet, so that it can prove more.

    Args:
        budget: of what it usually gives.
        kind: of the error.
    """
    remedy, _ = best_remedy(budget)
    here = remedy.words if remedy.before is None else remedy.before
    over = bool(remedy.longer) and kind in OVER_A_LENGTH
    named = [here, "a longer distance to measure over" if over else ""]
    return ", or ".join(one for one in named if one) or NO_TOOL
