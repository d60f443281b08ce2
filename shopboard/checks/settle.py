"""What would settle a verdict that is not proven either way."""

from __future__ import annotations

from shopboard.checks.outcome import Outcome

_REMEDIES = (
    ("bracket", "leaves between those that you used, or a longer lever in the shop file"),
    ("square", "turning the square over, or a finer square"),
    ("feel", "reading it a second time"),
    ("leaf", "single leaves in place of stacks, or a longer lever in the shop file"),
    ("lever", "measuring the lever closer"),
)

_BY_TOOL = (
    ("the indicator", "a finer indicator, or readings farther apart"),
    ("the calliper", "a finer calliper, or readings farther apart"),
    ("reading it", "reading it between the divisions, or readings farther apart"),
    ("between the leaves", "leaves between those that you used"),
    ("feel of the leaf", "reading it a second time"),
    ("the rule", "measuring it closer than with a rule"),
    ("how well it repeats", "reading it all once more"),
    ("scatter of the readings", "reading it all once more"),
)
"""By the end of the source's name: ``front, the indicator``."""


def what_would_settle(outcome: Outcome) -> str:
    """Name what would most reduce the uncertainty; empty when the verdict is proven."""
    if outcome.verdict != "near":
        return ""
    main = max(outcome.estimate.budget.sources, key=lambda source: source.u)
    for start, remedy in _REMEDIES:
        if main.name.startswith(start):
            return f"Not proven either way. What would settle it: {remedy}."
    remedy = _by_tool(outcome)
    if remedy:
        return f"Not proven either way. What would settle it: {remedy}."
    return "Not proven either way."


def _by_tool(outcome: Outcome) -> str:
    """Name the remedy for the tool whose readings together leave most uncertain."""
    budget = outcome.estimate.budget
    shares = dict.fromkeys((remedy for _, remedy in _BY_TOOL), 0.0)
    for end, remedy in _BY_TOOL:
        shares[remedy] += sum(budget.share(x) for x in budget.sources if x.name.endswith(end))
    worst = max(shares, key=lambda remedy: shares[remedy])
    return worst if shares[worst] > 0 else ""
