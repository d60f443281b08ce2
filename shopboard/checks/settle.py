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


def what_would_settle(outcome: Outcome) -> str:
    """Name what would most reduce the uncertainty; empty when the verdict is proven."""
    if outcome.verdict != "near":
        return ""
    main = max(outcome.estimate.budget.sources, key=lambda source: source.u)
    for start, remedy in _REMEDIES:
        if main.name.startswith(start):
            return f"Not proven either way. What would settle it: {remedy}."
    return "Not proven either way."
