"""Usual tools that measure, and what each may be off by: common practice, no source, but grades.

What a tool is promised to be is chosen from a list, or typed; of one that nobody vouches for so
much is taken that a check with it proves little until it has been proven itself.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import by_unit
from shopboard.usual.parts import PRACTICE, Says, in_unit


class Promise(NamedTuple):
    """What is known of a tool before it is proven."""

    words: str
    """As a person would choose it: ``grade 0``."""
    says: Says
    """What the file says of it."""
    prove_first: bool = False
    """Nobody vouches for it: the shop proves it by a check of its own before it counts."""
    source: str = PRACTICE


class UsualTool(NamedTuple):
    """A sort of tool of the drawer."""

    sort: str
    """As the file has it below `drawer`: ``square``."""
    id: str
    name: str
    wanted: str
    """The usual one, as it is asked for: ``a square of grade 0``."""
    sizes: tuple[str, ...] = ()
    """Usual lengths, in both units; empty: it has none of its own."""
    size_key: str = ""
    """The key of that length."""
    promises: tuple[Promise, ...] = ()
    """The usual first."""

    def table(self, unit: Unit, size: int = 0, promise: int = 0) -> dict[str, object]:
        """Give it as the file has it, by the numbers of a size and of a promise."""
        told: dict[str, object] = {"id": self.id, "name": self.name}
        if self.sizes:
            told[self.size_key] = self.sizes[size]
        if self.promises:
            told |= self.promises[promise].says
        found: dict[str, object] = in_unit(told, unit)
        return found


_GRADE = "DIN 875-1, which gives what each grade allows"

SQUARE = UsualTool(
    "square",
    "square",
    "Square",
    "a square of grade 0, [6 in|150 mm]",
    ("[6 in|150 mm]", "[3 in|75 mm]", "[4 in|100 mm]", "[8 in|200 mm]", "[12 in|300 mm]"),
    "length",
    (
        Promise("grade 0 (inspection)", {"grade": "0"}, source=_GRADE),
        Promise("grade 1 (workshop)", {"grade": "1"}, source=_GRADE),
        Promise("grade 2", {"grade": "2"}, source=_GRADE),
        Promise("grade 00 (reference)", {"grade": "00"}, source=_GRADE),
        Promise("its maker says 1 in 2000", {"within": "[6 thou/ft|0.5 mm/m]"}),
        Promise("not sure: prove it first", {"within": "[25 thou/ft|2 mm/m]"}, True),
    ),
)

_LEAVES_INCH = (
    *(".0015 in", ".002 in", ".0025 in", ".003 in", ".004 in", ".005 in", ".006 in", ".007 in"),
    *(".008 in", ".009 in", ".010 in", ".011 in", ".012 in", ".013 in", ".014 in", ".015 in"),
    *(".016 in", ".017 in", ".018 in", ".019 in", ".020 in", ".021 in", ".022 in", ".023 in"),
    *(".024 in", ".025 in"),
)
_LEAVES_MM = tuple(f"{n / 100:.2f} mm" for n in range(5, 105, 5))
_FEW_MM = (
    *("0.05 mm", "0.10 mm", "0.15 mm", "0.20 mm", "0.25 mm", "0.30 mm", "0.40 mm", "0.50 mm"),
    *("0.60 mm", "0.70 mm", "0.80 mm", "0.90 mm", "1.00 mm"),
)
_FINE_MM = (
    *("0.03 mm", "0.04 mm", "0.05 mm", "0.06 mm", "0.07 mm", "0.08 mm", "0.09 mm", "0.10 mm"),
    *("0.15 mm", "0.20 mm", "0.25 mm", "0.30 mm", "0.35 mm", "0.40 mm", "0.45 mm", "0.50 mm"),
    *("0.55 mm", "0.60 mm", "0.65 mm", "0.70 mm", "0.75 mm", "0.80 mm", "0.85 mm", "0.90 mm"),
    *("0.95 mm", "1.00 mm"),
)


def _leaves(words: str, leaves: tuple[str, ...]) -> Promise:
    return Promise(
        words, {"leaves": list(leaves), "leaf_tolerance": "[0.12 thou|0.003 mm]", "most_leaves": 2}
    )


FEELERS: Mapping[Unit, UsualTool] = {
    "inch": UsualTool(
        "feeler",
        "leaves",
        "Feeler leaves",
        "feeler leaves",
        promises=(_leaves("26 leaves, .0015 to .025 in", _LEAVES_INCH),),
    ),
    "mm": UsualTool(
        "feeler",
        "leaves",
        "Feeler leaves",
        "feeler leaves",
        promises=(
            _leaves("20 leaves, 0.05 to 1 mm", _LEAVES_MM),
            _leaves("13 leaves, 0.05 to 1 mm", _FEW_MM),
            _leaves("26 leaves, 0.03 to 1 mm", _FINE_MM),
        ),
    ),
}
"""Usual sets of leaves, by the unit that they are marked in: a metric shop may have either."""

_MORE_INCH = (".001 in", ".030 in", ".032 in", ".035 in", ".040 in")
_MORE_MM = ("0.02 mm",)


def leaf_thicknesses(unit: Unit) -> tuple[str, ...]:
    """Give every thickness that leaves are mostly marked with, the thinnest first."""
    sets = [one.says["leaves"] for one in FEELERS[unit].promises]
    every = {leaf for leaves in sets for leaf in leaves} | {*by_unit(unit, _MORE_INCH, _MORE_MM)}
    return tuple(sorted(every, key=lambda leaf: float(leaf.split()[0])))


STRAIGHTEDGE = UsualTool(
    "straightedge",
    "straightedge",
    "Straightedge",
    "a straightedge of [36 in|900 mm], within [2 thou|0.05 mm]",
    ("[36 in|900 mm]", "[24 in|600 mm]", "[50 in|1250 mm]", "[18 in|450 mm]"),
    "reach",
    (
        Promise("its maker says [2 thou|0.05 mm]", {"within": "[2 thou|0.05 mm]"}),
        Promise("ground, [1 thou|0.02 mm]", {"within": "[1 thou|0.02 mm]"}),
        Promise("not sure: prove it first", {"within": "[10 thou|0.25 mm]"}, True),
    ),
)

CALLIPER = UsualTool(
    "calliper",
    "calliper",
    "Calliper",
    "a calliper",
    ("[6 in|150 mm]", "[8 in|200 mm]", "[12 in|300 mm]"),
    "reach",
    (
        Promise("dial or digital", {"within": "[1 thou|0.03 mm]"}),
        Promise("vernier", {"within": "[2 thou|0.05 mm]"}),
    ),
)

INDICATOR = UsualTool(
    "indicator",
    "indicator",
    "Dial indicator",
    "a dial indicator",
    ("[1 in|10 mm]", "[0.5 in|25 mm]", "[0.03 in|0.8 mm]"),
    "reach",
    (
        Promise("read to [half a thou|0.01 mm]", {"within": "[0.5 thou|0.01 mm]"}),
        Promise("an ordinary one", {"within": "[1 thou|0.03 mm]"}),
    ),
)

TAPE = UsualTool(
    "tape",
    "tape",
    "Tape",
    "a tape",
    ("[16 ft|5 m]", "[10 ft|3 m]", "[25 ft|8 m]"),
    "reach",
)

SHIMS = UsualTool(
    "shims",
    "shims",
    "Shim stock",
    "shim stock",
    promises=(
        Promise(
            "brass sheet",
            {
                "thicknesses": [
                    *("[1 thou|0.03 mm]", "[2 thou|0.05 mm]", "[5 thou|0.1 mm]"),
                    "[10 thou|0.2 mm]",
                ]
            },
        ),
    ),
)


def tools(unit: Unit) -> tuple[UsualTool, ...]:
    """Give every sort of tool that the file has, in the order in which it is asked for."""
    return (SQUARE, FEELERS[unit], STRAIGHTEDGE, CALLIPER, INDICATOR, TAPE, SHIMS)
