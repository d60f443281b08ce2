"""Whole sets of readings of every method of typed readings, and points that they are taken at."""

from __future__ import annotations

from dataclasses import dataclass, field

from shopboard.checks.job import CheckContext
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer, OtherTool
from shopboard.metrology.limits import parse_limits
from tests.builders import DRAWER, SQUARE_6, make_job
from tests.checks.cuts import NOWHERE

LONG_EDGE = OtherTool("edge", "Straightedge, 50 inches", "straightedge", 1270.0, 0.02)
DIAL = OtherTool("dial", "Dial indicator, 3 mm", "indicator", 3.0, 0.01)
CALLIPER = OtherTool("calliper", "Calliper, 6 inches", "calliper", 152.4, 0.02)
TOOLS = Drawer(DRAWER.squares, DRAWER.feelers, DRAWER.shims, (LONG_EDGE, DIAL, CALLIPER))

TOLERANCES = {
    "carry": "0 to 3 thou",
    "centres": "1/32 in",
    "flatness": "10 thou",
    "straightness": "10 thou",
    "runout": "2 thou",
    "snipe": "3 thou",
    "three-straightedges": "3 thou",
    "blade-tension": "10000 to 20000 psi",
    "timed": "0 to 10 s",
}


def leaves(key: str, goes: str, refused: str) -> dict[str, str]:
    return {f"{key}.goes": goes, f"{key}.refused": refused}


KNIVES = [f"knife{number}_{end}" for number in (1, 2, 3, 4) for end in ("front", "back")]
LINES = ("front", "back", "left", "right", "rising", "falling", "closing")
STATIONS = ("near", "quarter", "middle", "three-quarters", "far")
INFEED = ("front_lip", "front_end", "back_lip", "back_end")

GOOD: dict[str, dict[str, str]] = {
    "blade-tension": {"over": "5 in", "stretch": "0.003 in"},
    "carry": {"circle": "3 in", "knives": "four", **dict.fromkeys(KNIVES, "1/8 in")},
    "centres": {"nearer": "away", "across": "20 thou", "higher": "high", "up": "10 thou"},
    "coplanar": {
        "length": "23 in", "width": "10 in", "front_light": "none", "back_light": "none",
        **{key: text for one in INFEED for key, text in leaves(one, "15 thou", "16 thou").items()},
    },
    "diagonals": {
        "d1": "1081.67 mm", "d2": "1081.67 mm", "width": "600 mm", "other_width": "600 mm",
        "length": "900 mm", "other_length": "900 mm",
    },
    "drift-angle": {"side": "right", "length": "20 in", "offset": "1/4 in"},
    "drilled-angle": {
        "against": "bevel", "low": "1 in", "high": "1 1/16 in", "rise": "6 in", "depth": "1.5 in",
    },
    "edge-pair": {
        "flush": "flush", "open": "fence", "thickness": "3/4 in", **leaves("gap", ".005", ".006"),
    },
    "five-cut": {"a": "1.012 in", "b": "1.008 in", "length": "16 in"},
    "flatness": {f"{line}_light": "none" for line in LINES},
    "flip": {"open": "fence", "width": "6 in", **leaves("gap", ".004", ".005")},
    "frame": {"open": "toe", "width": "2.5 in", **leaves("gap", ".049", ".050")},
    "runout": {"low": "0.001 in", "high": "0.002 in"},
    "snipe": {
        "middle": ".750 in", "lead": ".740 in", "tail": ".747 in",
        "lead_length": "2 1/2 in", "tail_length": "2 in",
    },
    "square-flip": {"at": "6 in", "lies": "right", "gap": "0.006 in"},
    "straightness": {
        "light": "some",
        **{key: text for one in STATIONS for key, text in leaves(one, "0", "1.5 thou").items()},
    },
    "sweep": {"span": "9 in", "front": "2 thou", "back": "0"},
    "taper": {
        "carried": "bed", "head": "1.51 in", "tail": "1.5 in", "length": "12 in",
        "between": "16 in",
    },
    "thickness": {"left": ".756 in", "right": ".750 in", "width": "12 in"},
    "three-squares": {
        "length": "6 in", "ab_light": "top", "ac_light": "none", "bc_light": "top",
        **leaves("ab", ".002", ".003"), **leaves("bc", ".002", ".003"),
    },
    "three-straightedges": {
        "ab_light": "middle", "ac_light": "none", "bc_light": "ends",
        **leaves("ab", ".002", ".003"), **leaves("bc", ".002", ".003"),
    },
    "timed": {"time": "4"},
    "wind": {
        "high": "left", "sticks": "20 in", "across": "6 in", **leaves("raised", ".004", ".006"),
    },
    "tram": {"radius": "4 in", "near": "2 thou", "right": "1 thou", "far": "0", "left": "1 thou"},
}  # fmt: skip
"""Readings of each method that contradict nothing."""


@dataclass(frozen=True)
class Case:
    """Readings that cannot be, what is said of them, and which are asked for again."""

    method: str
    wrong: dict[str, str]
    says: str
    again: tuple[str, ...] = ()
    """Names that are asked for again; empty: all of them."""
    sizes: dict[str, float] = field(default_factory=dict)
    more: dict[str, str] = field(default_factory=dict)
    """What is answered otherwise than usual, right or wrong."""
    may_be: bool = False


MITRE = {"use": "mitre", "open": "tip", "width": "5 in"}
ACROSS = {"use": "straightedge", "open": "away", "thickness": "10 in"}


def job_of(case: Case) -> CheckContext:
    """A point with every tool in the drawer; the tools that are proven are the drawer's own."""
    tolerance = TOLERANCES.get(case.method)
    limits = parse_limits(tolerance) if tolerance else Tolerance(-0.01, 0.01, "10 mm/m")
    proves = SQUARE_6.id if "square" in case.method else ""
    return make_job(
        drawer=TOOLS, geometry=NOWHERE, tolerance=limits, sizes=case.sizes, proves=proves
    )


def right(case: Case) -> dict[str, str]:
    return {"care": "understood", **GOOD[case.method], **case.more}
