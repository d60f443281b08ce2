"""What is told beside an error is called in plain words, as one says it at the machine.

The names are those of JSON (`commands/json_parts.py`); one that is plain words already has no row.
"""

from __future__ import annotations

NAMES: dict[str, str] = {
    "a": "A",
    "b": "B",
    "c": "C",
    "above_axis": "above the axis",
    "across": "tilt across",
    "advance_per_turn": "one turn moves",
    "along": "tilt along",
    "closing_deg": "last corner misses",
    "deeper_end": "deeper at",
    "end_point": "off the line through its ends",
    "far_end": "far end goes to",
    "fence_follows_over_length": "fence must follow by",
    "fence_move": "fence moves",
    "fence_move_way": "fence goes",
    "force_on_wheel": "force on the wheel",
    "force_per_strand": "force in each strand",
    "gap": "gap in the last corner",
    "gap_of_each_corner_alone": "gap if all corners share it",
    "heights": "knife",
    "lead_depth": "depth at the leading end",
    "lead_length": "length at the leading end",
    "leans_over_rise": "further away higher up by",
    "least_squares": "band along the best line",
    "left_right": "left against right",
    "ls_peak_to_valley": "band along the best plane",
    "marks_per_cm": "marks",
    "marks_per_inch": "marks",
    "minimum_zone": "narrowest band",
    "near_far": "near against far",
    "nearer_to_the_slot": "nearer end",
    "offset_of_axis": "axis is off by",
    "pitch": "from mark to mark",
    "residual": "left when set",
    "residual_set_by_hand": "left when set by eighths of a turn",
    "side": "which way",
    "spread": "highest to lowest",
    "step": "step at the lips",
    "strain": "stretched by",
    "tail_depth": "depth at the trailing end",
    "tail_length": "length at the trailing end",
    "tail_off": "tail point too near the tool by",
    "wobble_of_face": "face wobbles by",
    "worse": "worse is",
    "wrong": "not as it should be",
}
"""Of what is named."""

WORDS: dict[str, dict[str, str]] = {
    "deeper_end": {"lead": "the leading end", "tail": "the trailing end"},
    "worse": {"near_far": "near against far", "left_right": "left against right"},
    "side": {"either": "cannot be told"},
}
"""Of what is one of a few words."""

FOR_PROGRAMS = frozenset({"planes", "least_squares_plane"})
"""Numbers of a plane as one reckons with it, which nobody says: only data has them."""


def name_of(name: str) -> str:
    """Give the plain name: of a knife's end, ``1, front``."""
    if name.startswith("knife") and "_" in name:
        return name.removeprefix("knife").replace("_", ", ")
    return NAMES.get(name, name.replace("_", " "))
