"""What a setting is called on the screens that change it: the file's key is no word of the bench.

Each is short enough for a list of 80 columns; where a key is a good word itself, it is not here.
"""

from __future__ import annotations

from collections.abc import Mapping

_SHARED: Mapping[str, str] = {
    "was": "id before",
    "undone_by": "check again after",
    "cutter_near": "hands near a cutter",
    "not_asked": "left out of the walk",
    "within": "may be off by",
    "minutes": "minutes it takes",
}
"""In whatever table."""

_HERE: Mapping[str, str] = {
    "shop.money": "costs are in",
    "shop.proof": "how sure a proof is",
    "shop.risk": "risk taken",
    "shop.hours": "hours in the shop",
    "shop.projects": "files of projects",
    "shop.copies": "folder for copies",
    "shop.tags_off_by": "tags taken off by",
    "drawer.square.length": "length of its blade",
    "drawer.square.certified": "error found",
    "drawer.square.certified_to": "that is known to",
    "drawer.feeler.leaf_tolerance": "a leaf may be off by",
    "drawer.feeler.most_leaves": "leaves in a stack",
    "drawer.straightedge.reach": "its length",
    "drawer.indicator.reach": "its travel",
    "drawer.calliper.reach": "opens to",
    "drawer.tape.reach": "its length",
    "machine.short": "short name",
    "machine.kind": "sort of machine",
    "machine.body": "one machine with",
    "machine.change": "change-over takes",
    "machine.point.check": "proven by",
    "machine.point.proves": "tool that it proves",
    "machine.point.lies": "square stands or lies",
    "machine.point.datum": "measured from",
    "machine.point.in_slot": "base rides in the slot",
    "machine.point.side": "side measured from",
    "machine.point.face": "measured to",
    "machine.point.lever": "reach of the leaf",
    "machine.point.turn": "square can be turned",
    "machine.point.other_side": "stands then",
    "machine.point.light_at_top": "light at the top says",
    "machine.point.light_at_bottom": "light at the foot says",
    "machine.point.light_at_tip": "light at the tip says",
    "machine.point.light_at_heel": "light at the heel says",
    "machine.point.every": "check again every",
    "machine.point.rests_on": "depends on",
    "machine.point.cutter_off": "with the cutter off",
    "machine.point.lock": "lock after setting",
    "machine.point.shows_in": "shows in the work as",
    "machine.point.adjuster.kind": "set by",
    "machine.point.adjuster.name": "what sets it",
    "machine.point.adjuster.side": "it sits on which side",
    "machine.point.adjuster.thread": "its thread",
    "machine.point.adjuster.pitch": "its pitch",
    "machine.point.adjuster.arm": "from pivot to there",
    "machine.point.adjuster.span": "between the seats",
    "machine.point.adjuster.clockwise": "clockwise turns it",
    "machine.point.adjuster.toward": "toward is",
    "machine.point.adjuster.away": "away is",
    "machine.point.adjuster.toward_seat": "seat for toward",
    "machine.point.adjuster.away_seat": "seat for away",
    "machine.point.adjuster.backlash": "play in the screw",
    "machine.task.every": "due every",
    "machine.task.after": "due at once after",
    "machine.task.leaves": "leaves behind",
    "machine.task.undoes": "undoes the work of",
    "machine.task.before": "comes before",
    "machine.task.each": "done with each of",
    "machine.cutter.spare_for": "cuts in the place of",
    "machine.cutter.serves": "cuts in, too",
    "machine.cutter.where": "where it is",
    "machine.cutter.state": "its edge is",
    "machine.cutter.kind": "sort of cutter",
    "machine.cutter.like": "changed like a",
    "machine.cutter.pieces": "knives in the set",
    "machine.cutter.edges": "edges to turn to",
    "machine.cutter.edge": "edge in use",
    "machine.cutter.leaves": "its change leaves",
    "machine.cutter.before": "changed before",
    "machine.cutter.plate": "plate is thick",
    "machine.cutter.kerf": "cuts as wide as",
    "machine.cutter.lasts": "an edge lasts",
    "machine.cutter.sharpenings": "sharpenings left",
    "machine.cutter.cost": "a sharpening costs",
    "machine.cutter.away": "is away for",
    "machine.safety.running": "asked while it runs",
    "project.start": "its wood is cut on",
    "project.thickness": "thickness of its wood",
    "project.also_on": "also runs on",
    "project.joint.count": "how many alike",
    "project.joint.alternate": "faces alternate",
    "project.joint.two_fences": "two fences",
}
"""In one table; below it with a dot."""


def on_screen(table: str, key: str) -> str:
    """Give what a setting is called.

    Args:
        table: of the thing that it is of: ``machine.point``.
        key: of a table below it with a dot: ``sizes.width``.
    """
    found = _HERE.get(f"{table}.{key}") or _SHARED.get(key)
    return found or key.replace("_", " ").replace(".", ": ")
