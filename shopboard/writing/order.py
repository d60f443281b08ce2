"""The order of the tables and of the keys in each, as the sample shop writes them."""

from __future__ import annotations

from shopboard.shop.report import Path

_TOOL = ("id", "name")

ORDER: dict[str, tuple[str, ...]] = {
    "": ("shop", "drawer", "gauge", "safety", "machine", "project"),
    "shop": (
        *("name", "unit", "money", "proof", "risk"),
        *("hours", "not_asked", "projects", "copies", "tags_off_by", "bell", "colours"),
    ),
    "drawer": ("square", "feeler", "shims", "straightedge", "indicator", "calliper", "tape"),
    "drawer.square": (*_TOOL, "length", "grade", "within", "certified", "certified_to", "was"),
    "drawer.feeler": (*_TOOL, "leaves", "leaf_tolerance", "most_leaves", "was"),
    "drawer.shims": (*_TOOL, "thicknesses"),
    "drawer.straightedge": (*_TOOL, "reach", "within", "was"),
    "drawer.indicator": (*_TOOL, "reach", "within", "was"),
    "drawer.calliper": (*_TOOL, "reach", "within", "was"),
    "drawer.tape": (*_TOOL, "reach", "was"),
    "gauge": (*_TOOL, "port", "speed", "form", "unit", "sends", "ask"),
    "safety": ("id", "ask", "wanted", "others"),
    "machine": (
        *("id", "was", "name", "short", "kind", "body", "change", "not_asked"),
        *("point", "task", "cutter", "safety"),
    ),
    "machine.point": (
        *("id", "was", "name", "check", "proves", "lies", "datum", "in_slot", "side", "face"),
        *("lever", "turn", "other_side", "light_at_top", "light_at_bottom", "light_at_tip"),
        *("light_at_heel", "tolerance", "every", "undone_by", "rests_on", "cutter_near"),
        *("cutter_off", "guards", "lock", "shows_in", "minutes", "sizes", "adjuster"),
    ),
    "machine.point.sizes": (
        *("length", "span", "radius", "circle", "marks", "width", "thickness"),
        *("mount_lip", "mounts_along", "mounts_across", "mount_pitch"),
    ),
    "machine.point.adjuster": (
        *("kind", "name", "side", "thread", "pitch", "arm", "span", "clockwise"),
        *("toward", "away", "toward_seat", "away_seat", "backlash"),
    ),
    "machine.task": (
        *("id", "was", "name", "minutes", "every", "after", "cutter_near", "guards", "cleans"),
        *("leaves", "undoes", "before", "each", "steps"),
    ),
    "machine.task.steps": (
        "do",
        "wait",
        "at_most",
        "may_end_alone",
        "cutter",
        "leaves",
        "off_machine",
    ),
    "machine.cutter": (
        *("id", "was", "name", "spare_for", "serves", "where", "state", "kind", "like"),
        *("pieces", "edges", "edge", "leaves", "before"),
        *("plate", "kerf", "lasts", "sharpenings", "cost", "away"),
    ),
    "machine.safety": ("id", "ask", "wanted", "others", "running"),
    "project": ("id", "was", "name", "start", "thickness", "also_on", "joint"),
    "project.joint": (
        *(
            "id",
            "was",
            "name",
            "kind",
            "count",
            "pieces",
            "width",
            "length",
            "other_length",
            "depth",
        ),
        *("height", "thickness", "alternate", "two_fences", "made_on", "fit"),
    ),
    "project.joint.made_on": (
        *("edge_angle", "edge_line", "end_angle", "end_tilt", "mitre", "bevel", "length"),
        *("thickness", "resaw"),
        *("leg_angle", "hole_angle", "hole_size", "tenon_taper"),
    ),
    "project.joint.fit": ("gap", "cup", "square", "length", "thickness", "spring", "aim", "closed"),
}
"""By the names in a header, without brackets."""


def names_of(path: Path) -> str:
    """Give the names in the header of a table: ``machine.point``."""
    return ".".join(part for part in path if isinstance(part, str))


def rank(table: Path, key: str) -> int:
    """Give where a key comes in a table; one that is not known comes last."""
    order = ORDER.get(names_of(table), ())
    return order.index(key) if key in order else len(order)
