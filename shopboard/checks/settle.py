"""What would settle a verdict that is not proven either way."""

from __future__ import annotations

from shopboard.checks.outcome import Outcome

_FARTHER = ", or readings farther apart"
"""Over a longer distance an angle is known better; a length is not."""

NOTHING = ""
"""Deliberately none: nothing that is done at the machine makes it smaller."""

_WHOLE_NAMES = {
    "bracket between the leaves": "leaves between those that you used, or a longer lever in the"
    " shop file",
    "leaf thickness": "single leaves in place of stacks, or a longer lever in the shop file",
    "feel of the leaf": "reading it a second time",
    "lever": "measuring the lever closer",
    "square, its own error": "turning the square over where that is possible, or a finer square",
    "square, as certified or proven": "turning the square over where that is possible, or proving"
    " it closer",
    "square (cancelled by turning it over)": NOTHING,
    "board edge, not straight": "a board with a straighter edge",
    "edges of the board out of parallel": "a board whose edges are closer to parallel",
    "angle of the lever": "setting the indicator's lever along the surface",
    "two axes make one tilt": f"a finer indicator{_FARTHER}",
    "the two readings disagree": "reading it all once more: the two do not agree",
    "heights of the points": "heights that are known closer",
    "modulus of the steel": NOTHING,
}

_STARTS = {"straightedge": "a straighter straightedge, or proving the one at hand"}

_ENDS = {
    "the indicator": f"a finer indicator{_FARTHER}",
    "the calliper": f"a finer calliper{_FARTHER}",
    "reading it": f"reading it between the divisions{_FARTHER}",
    "between the leaves": f"leaves between those that you used{_FARTHER}",
    "the leaves": f"leaves between those that you used{_FARTHER}",
    "leaf thickness": f"single leaves in place of stacks{_FARTHER}",
    "feel of the leaf": "reading it all once more",
    "the rule": "measuring it closer than with a rule",
    "the watch": "a stopwatch, started by the hand that switches off",
    "as typed": "more digits",
    "how well it repeats": "reading it all once more",
    "scatter of the readings": "reading it all once more",
}
"""By the end of the source's name: ``front, the indicator``."""


def remedy_for(source: str) -> str | None:
    """Give what makes one source of uncertainty smaller, by its name in a budget.

    Returns:
        A few words; `NOTHING` where nothing does; None for a source that is not known here.
    """
    if source in _WHOLE_NAMES:
        return _WHOLE_NAMES[source]
    for start, remedy in _STARTS.items():
        if source.startswith(start):
            return remedy
    return next((remedy for end, remedy in _ENDS.items() if source.endswith(end)), None)


def what_would_settle(outcome: Outcome) -> str:
    """Name what would most reduce the uncertainty; empty when the verdict is proven."""
    if outcome.verdict != "near":
        return ""
    budget = outcome.estimate.budget
    shares: dict[str, float] = {}
    for source in budget.sources:
        remedy = remedy_for(source.name) or NOTHING
        shares[remedy] = shares.get(remedy, 0.0) + budget.share(source)
    best = max(shares, key=lambda remedy: shares[remedy], default=NOTHING)
    if best == NOTHING:
        main = max(budget.sources, key=lambda source: source.u, default=None)
        open_part = f" No reading here settles it: {main.name}." if main else ""
        return f"Not proven either way.{open_part}"
    remedy = best if outcome.kind == "angle" else best.removesuffix(_FARTHER)
    return f"Not proven either way. What would settle it: {remedy}."
