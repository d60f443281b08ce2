"""What the fields of the JSON mean that several commands give: a point, a cutter, an outcome."""

from __future__ import annotations

from collections.abc import Mapping

FieldWords = Mapping[str, str]
"""Meaning by path."""


def under(path: str, fields: FieldWords) -> FieldWords:
    """Put fields below a path."""
    return {f"{path}.{name}": meaning for name, meaning in fields.items()}


POINT: FieldWords = {
    "id": "of the point: machine.point",
    "name": "of the point",
    "state": "true, near, out, due, unproven, or another word of the board",
    "reason": "why it stands so, in words",
    "tolerance_used": "share of the tolerance that the error uses; 1 is either limit",
    "probability": "that the true error lies within the tolerance",
    "due": "when it is due next",
    "last.uid": "name of the newest result that counts; last is null without one",
    "last.when": "when it was recorded",
    "last.by": "the bench or device that recorded it; null where it had no name",
    "last.run": "as-found, or as-left after a correction",
    "last.method": "by which it was measured",
    "last.error.UNIT": "what was found",
    "last.expanded.UNIT": "its uncertainty, either way, 95 %",
    "last.verdict": "true, near, out or noted on that day",
}

STOOD: FieldWords = {**POINT, "taken_back_since": "why its result was withdrawn later, or null"}

TASK: FieldWords = {
    "id": "machine.task",
    "name": "of the task",
    "due": "whether it is to be done now",
    "reason": "why, in words",
    "due_on": "when it is due next, where that is known",
    "last": "when it was last done",
    "recorded": "when that was recorded",
    "by": "the bench or device that recorded it; null where it had no name",
    "under_way.steps_done": "of a task that was begun; under_way is null else",
    "under_way.steps": "how many it has",
    "under_way.wait_seconds": "left of the wait that runs; null without one",
}

CUTTER: FieldWords = {
    "id": "machine.cutter",
    "name": "of the cutter",
    "kind": "blade, band, knives, bit or hand tool, or the shop's own words",
    "like": "how it is changed: blade, band, knives, bit or hand tool",
    "where": "on the machine, on the shelf, at the sharpener, worn out",
    "state": "sharp, dirty or dull",
    "edge": "which of its edges is in use, from 1",
    "edges": "how many it has",
    "serves[]": "the machines that it cuts on: modes of one body",
    "use.minutes": "run since it was sharp",
    "use.cuts": "made since then",
    "use.UNIT": "length cut since then",
    "use.projects": "finished since then",
    "life.amount": "how long an edge lasts; life is null where nothing tells",
    "life.unit": "of that",
    "life.times_dull": "how often it was found dull, from which that is known",
    "past_life": "whether it was used longer than an edge lasts",
    "sharpenings_left": "before it is worn out; null where that is not counted",
    "cost": "of one sharpening",
    "money": "in which it is counted",
    "cost_per.cost": "of cutting; cost_per is null where it cannot be told",
    "cost_per.per": "for how much cutting",
    "sent": "when it went to the sharpener",
    "note": "words saved with it",
    "unsure": "why what is on record may not be all, or null: the journal is whole",
}

ROUND: FieldWords = {
    "when": "of the newest answer; the walk is null before the first",
    "finished": "whether every question was answered",
    "answered": "how many questions",
    "of": "of so many",
    "not_as_wanted[].question": "answered otherwise than wanted",
    "not_as_wanted[].answer": "that was given",
    "not_as_wanted[].when": "that was",
}

REASON: FieldWords = {
    "sort": "of the reason to hold",
    "reason": "in words",
    "about": "the cut or the gap that it is about",
    "to_do": "what lifts it, in words",
    "check[]": "points to check for that",
    "methods.*": "by which method, by point, where it is not the first",
    "minutes": "that takes",
}

JOINT: FieldWords = {
    "id": "of the joint",
    "name": "of the joint",
    "kind": "panel, frame, carcase, drawer, tenon, stave ring, segment ring, veneer, round tenon,"
    " leg or stretcher",
    "count": "joints of the sort",
    "pieces": "in it, where the kind has no fixed number",
    "closed": "how it is closed, where that matters",
    "two_fences": "whether its mitres are cut on two fences that complement each other",
    "alternate": "whether faces are alternated",
    "sizes_mm.*": "sizes by name, mm",
    "made_on.*": "points that show in each of its cuts, by the name of the cut",
    "stands": "fits, may not fit, or not proven",
    "nothing_proves[]": "cuts in which no point of the shop shows",
    "not_proven.*": "why a point is not proven, by its id",
    "effects[].fit": "the setting of the fit that limits it",
    "effects[].what": "the gap or error, in words",
    "effects[].note": "how it comes about",
    "effects[].likely.UNIT": "what it is likely to be; null where it is not known",
    "effects[].at_most.UNIT": "the most that it will be",
    "effects[].wanted.UNIT": "what it may be",
    "effects[].wanted_by": "who says so",
    "effects[].cancels": "whether it cancels for sure",
    "effects[].fits": "whether it is within what is wanted; null where not known",
    "effects[].not_asked": "why it is not asked for, or null",
    "effects[].shares[].shows_in": "a cut that it comes from",
    "effects[].shares[].point": "which point shows there",
    "effects[].shares[].at_most.UNIT": "its part, not passed",
    "effects[].shares[].cancels": "whether that part cancels",
}

DECISION: FieldWords = {
    "uid": "name of the record: it was glued up on hold",
    "when": "that was decided",
    "by": "the bench or device that recorded it; null where it had no name",
    "why": "in words",
    "held[]": "what it was on hold for",
    "taken_back": "why it was withdrawn, or null",
}

OUTCOME: FieldWords = {
    "method": "by which it was measured",
    "error.UNIT": "what was found, with its sign",
    "uncertainty.standard.UNIT": "standard uncertainty",
    "uncertainty.expanded.UNIT": "expanded uncertainty, 95 %",
    "uncertainty.k": "expanded by standard",
    "uncertainty.dof": "degrees of freedom; null: without end",
    "uncertainty.budget[].source": "what makes it uncertain",
    "uncertainty.budget[].standard_UNIT": "by how much",
    "uncertainty.budget[].share": "of the whole variance",
    "tolerance.UNIT": "half of its width; tolerance is null where none was given",
    "tolerance.low.UNIT": "lower limit",
    "tolerance.high.UNIT": "upper limit",
    "probability": "that the true error lies within the tolerance",
    "verdict": "true, near, out or noted",
    "note": "what must be known beside it, in words",
}

ADDED: FieldWords = {
    "a.UNIT": "three-squares, three-straightedges: error of A",
    "b.UNIT": "error of B",
    "c.UNIT": "error of C",
    "across.UNIT": "coplanar: tilt across the tables",
    "along.UNIT": "coplanar: tilt along the tables",
    "step.UNIT": "coplanar: how much lower the infeed table is at the lips",
    "end_point.UNIT": "straightness: departure from the line through both ends",
    "planes.infeed.*": "coplanar: plane of the infeed table, z = a + b x + c y",
    "planes.outfeed.*": "coplanar: plane of the outfeed table",
    "least_squares_plane.*": "flatness: plane of least squares, z = a + b x + c y",
    "least_squares.UNIT": "departure from the line of least squares",
    "ls_peak_to_valley.UNIT": "departure from the plane of least squares",
    "minimum_zone.UNIT": "between the closest two lines or planes that hold every point",
    "residual.UNIT": "level: what is left when the screws are turned",
    "residual_set_by_hand.UNIT": "level: what is left by turns in eighths",
    "screws[].x.UNIT": "level: where the screw is",
    "screws[].y.UNIT": "level: where the screw is",
    "screws[].move.UNIT": "level: how far it moves the plate",
    "screws[].turns": "level: turns, plus clockwise",
    "screws[].degrees": "level: the same in degrees",
    "advance_per_turn.UNIT": "screw: of its thread",
    "turns": "screw: turns for the move",
    "degrees": "screw: the same in degrees",
    "from.UNIT": "screw, level: where it is",
    "to.UNIT": "screw, level: where it is wanted",
    "closing_deg": "frame: what the last corner misses, degrees",
    "gap.UNIT": "frame: gap in the last corner",
    "gap_of_each_corner_alone.UNIT": "frame: gap at each corner when shared out",
    "open_at": "frame: toe or heel",
    "deeper_end": "snipe: which end",
    "lead_depth.UNIT": "snipe: at the leading end",
    "tail_depth.UNIT": "snipe: at the trailing end",
    "lead_length.UNIT": "snipe: how far in it reaches at the leading end",
    "tail_length.UNIT": "snipe: how far in it reaches at the trailing end",
    "difference.UNIT": "thickness: left less right; taper: head less tail",
    "toward_you.UNIT": "centres: of the tail point; minus: away from you",
    "above_axis.UNIT": "centres: of the tail point; minus: below",
    "tail_off.UNIT": "taper: how far the tail point stands too near the tool",
    "leans_over_rise.UNIT": "drilled-angle: how much further away at the higher place",
    "sight_line.UNIT": "leg: off the line front to back",
    "leg_length.UNIT": "leg: from floor to seat along it",
    "foot_back.UNIT": "leg: how far the foot stands out by the rake",
    "foot_out.UNIT": "leg: how far the foot stands out by the splay",
    "far_end": "drift-angle: to which side",
    "fence_follows_over_length.UNIT": "drift-angle: how far the fence moves over that length",
    "fence_move.UNIT": "five-cut: how far the fence moves",
    "fence_move_way": "five-cut: which way",
    "force_on_wheel.UNIT": "blade-tension: of both strands",
    "force_per_strand.UNIT": "blade-tension: of one strand",
    "stress.UNIT": "blade-tension: of the band",
    "strain": "blade-tension: stretch by length",
    "height.UNIT": "carry: of the knife above the outfeed table",
    "heights.*": "carry: of each knife at each end",
    "spread.UNIT": "carry: between the highest and the lowest",
    "side": "carry: which end stands higher",
    "left_right.UNIT": "tram: left against right",
    "left_right.high": "tram: which side is high",
    "near_far.UNIT": "tram: near against far",
    "near_far.high": "tram: which side is high",
    "worse": "tram: the worse of the two",
    "nearer_to_the_slot": "sweep: front or back",
    "skew.UNIT": "diagonals: of the panel",
    "worst_corner.UNIT": "diagonals: off 90 degrees",
    "offset_of_axis.UNIT": "runout: half of it",
    "wobble_of_face.UNIT": "runout: of a face, as an angle",
    "wrong[]": "seating: what is not as it should be",
    "text": "note: its words",
    "feed.UNIT": "knife-marks: speed of the board",
    "mark_height.UNIT": "knife-marks: height of a mark",
    "pitch.UNIT": "knife-marks: from mark to mark",
    "marks_per_cm": "knife-marks",
    "marks_per_inch": "knife-marks",
    "speed.UNIT": "rim-speed: of the teeth or the rim",
}

FINDING: FieldWords = {
    "run": "as-found, or as-left after a correction",
    "uid": "name of the result on record; absent with --no-record",
    **OUTCOME,
    "lean": "which way it is off, in words",
    "correction[]": "what to turn, in words",
    "readings.*": "as recorded: nm, nrad, Pa and us, as their names say",
}
