"""Every method's whole way from one file of answers, correction included; and its blank file."""

from __future__ import annotations

from typing import Any

import pytest
import tomli

from shopboard.checks.registry import names
from tests.checks.readings import GOOD, KNIVES, TOLERANCES, leaves
from tests.cli.program import SHOP, Program

TOOLS = """
[[drawer.square]]
id = "try-4"
name = "Try square, 4 in"
length = "4 in"
grade = "1"

[[drawer.square]]
id = "combination"
name = "Square that slides"
length = "10 in"
grade = "1"

[[drawer.straightedge]]
id = "edge"
name = "Straightedge, 50 in"
length = "50 in"
within = "0.02 mm"

[[drawer.straightedge]]
id = "level"
name = "Level, 48 in"
length = "48 in"
within = "0.05 mm"

[[drawer.straightedge]]
id = "rail"
name = "Rail, 50 in"
length = "50 in"
within = "0.1 mm"

[[drawer.indicator]]
id = "dial"
name = "Dial"
reach = "3 mm"
within = "0.01 mm"

[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "6 in"
within = "0.02 mm"

[[machine]]
id = "all"
name = "All in one"
"""

SLOT = """
[machine.point.adjuster]
kind = "slot"
name = "the bracket"
arm = "10 in"
toward = "in"
away = "out"
"""

PROVES = {
    "three-squares": "square-6",
    "square-flip": "square-6",
    "three-straightedges": "edge",
}
NOT_SET = {*PROVES, "note"}
"""What is not set right in a check: a tool of the drawer, a note."""

TYPED: dict[str, dict[str, str]] = {
    "square": {"light": "top", "goes": ".040 in", "refused": ".042 in"},
    "leaf-gap": {"goes": ".040 in", "refused": ".042 in"},
    "go-no-go": {"looks": "bad"},
    "seating": {one: "yes" for one in ("clean", "pins", "light", "screws", "edges")},
    "note": {"text": "new drive belt put on"},
}
"""Answers of the methods that are led leaf by leaf, or looked at."""

OUT: dict[str, dict[str, str]] = {}
"""What differs from a good set of readings where the point is out."""
