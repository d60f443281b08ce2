"""What the coplanar check reads on a jointer's two tables, and which mounts it moves.

x runs from the lips toward the outfeed table's outer end, y from front to back
with 0 half way, z upward from the straightedge; mm.
"""

from __future__ import annotations

import math

from shopboard.checks.asked import Chosen, Pick, Reading, Values
from shopboard.checks.job import CheckContext
from shopboard.checks.report import value_json
from shopboard.metrology.form import FittedForm
from shopboard.metrology.levelling import Coplanarity, coplanarity, least_moves
from shopboard.metrology.wording import short_turn, small_move

SIDES = ("front", "back")
_NAMES = {"front": "along the front edge", "back": "along the back, by the fence"}


def ask_side(side: str) -> tuple[Pick | Reading, ...]:
    """Ask for one line: how it lies on the outfeed table, then both gaps over the infeed table."""
    lay = f"Lay the straightedge {_NAMES[side]}, on the outfeed table."
    return (
        Pick(
            f"{side}_light",
            f"{side.capitalize()} line: is light under it on the outfeed table?",
            (
                ("none", "none: it lies tight"),
                ("lip", "light at the lip"),
                ("end", "light at the outer end"),
            ),
            lines=(lay, "It reaches over the infeed table."),
        ),
        Reading(
            f"{side}_out",
            f"{side.capitalize()} line: how wide is that gap?",
            "leaves",
            at_most=5,
            closed_if=(f"{side}_light", "none"),
        ),
        Reading(
            f"{side}_lip",
            f"{side.capitalize()} line: gap over the infeed table, at its lip?",
            "leaves",
            at_most=10,
        ),
        Reading(
            f"{side}_end",
            f"{side.capitalize()} line: gap at the infeed table's outer station?",
            "leaves",
            at_most=10,
            may_equal=True,
        ),
    )


def tables(values: Values, words: Chosen) -> Coplanarity:
    """Lay a plane through each table's four stations."""
    length, width = values["length"], values["width"]
    lip, end, far = (values.get(f"edge_{at}", 0.0) for at in ("lip", "out", "in"))
    outfeed, infeed = [], []
    for side, y in zip(SIDES, (-width / 2, width / 2), strict=True):
        gap, at_end = values[f"{side}_out"], words[f"{side}_light"] == "end"
        outfeed += [
            (0.0, y, lip - (0.0 if at_end else gap)),
            (length, y, end - (gap if at_end else 0.0)),
        ]
        infeed += [
            (0.0, y, lip - values[f"{side}_lip"]),
            (-length, y, far - values[f"{side}_end"]),
        ]
    return coplanarity(outfeed, infeed)


def planes_json(found: Coplanarity) -> dict[str, object]:
    """Give pitch, twist, step and both planes in every unit."""
    planes = {"outfeed": found.outfeed, "infeed": found.infeed}
    return {
        "along": value_json(math.atan(found.along), "angle"),
        "across": value_json(math.atan(found.across), "angle"),
        "step": value_json(found.step, "length"),
        "planes": {
            name: {
                "a": value_json(plane.at_origin, "length"),
                "b": value_json(math.atan(plane.slopes[0]), "angle"),
                "c": value_json(math.atan(plane.slopes[1]), "angle"),
            }
            for name, plane in planes.items()
        },
    }


def mount_moves(job: CheckContext, found: Coplanarity) -> tuple[str, ...]:
    """Say how to move each mount of an infeed table that stands on four; empty where it does not.

    The shop file's sizes tell where they are: ``mount_lip`` from the lips to the inner two,
    ``mounts_along`` and ``mounts_across`` between them, ``mount_pitch`` for screws.
    """
    sizes = job.sizes
    if "mounts_along" not in sizes or "mounts_across" not in sizes:
        return ()
    inner = -sizes.get("mount_lip", 0.0)
    outer, half = inner - sizes["mounts_along"], sizes["mounts_across"] / 2
    places = {
        "front mount by the lips": (inner, -half),
        "back mount by the lips": (inner, half),
        "front mount at the outer end": (outer, -half),
        "back mount at the outer end": (outer, half),
    }
    tilt = FittedForm(0.0, (found.along, found.across))
    moves = least_moves(tilt, tuple(places.values()))
    return tuple(_move_words(name, move, job) for name, move in zip(places, moves, strict=True))


def _move_words(name: str, move: float, job: CheckContext) -> str:
    if abs(move) < LEAST_MOVE_MM:
        return f"Leave the {name}."
    pitch = job.sizes.get("mount_pitch")
    turned = f": its screw {short_turn(abs(move) / pitch)}" if pitch else ""
    way = "Raise" if move > 0 else "Lower"
    return f"{way} the {name} by {small_move(move, job.unit)}{turned}."


LEAST_MOVE_MM = 0.005
"""No shim is that thin, and no hand turns a screw that fine: common practice, no source."""
