"""The head of a small shop file, in inches or metric: its name, a square and a set of leaves."""

from __future__ import annotations

_HEAD = """\
[shop]
name = "{name}"
unit = "inch"

[[drawer.square]]
id = "square"
name = "Square"
length = "6 in"
grade = "0"

[[drawer.feeler]]
id = "leaves"
name = "Leaves"
leaves = [".0015 in", ".002 in", ".003 in", ".004 in", ".006 in", ".008 in", ".010 in", ".015 in"]
leaf_tolerance = "0.003 mm"
most_leaves = 2
"""


def head(name: str) -> str:
    """Give the head of the shop file of a shop of that name."""
    return _HEAD.format(name=name)


_METRIC = """\
[shop]
name = "{name}"
unit = "mm"

[[drawer.square]]
id = "square"
name = "Square"
length = "150 mm"
grade = "0"

[[drawer.feeler]]
id = "leaves"
name = "Leaves"
leaves = [{leaves}]
"""
_FINE = "0.04, 0.05, 0.06, 0.08, 0.1, 0.15, 0.2, 0.3"


def metric_head(name: str, leaves: str = _FINE) -> str:
    """Give the head of the shop file of a metric shop of that name, whose leaves are so thick."""
    return _METRIC.format(name=name, leaves=leaves)
