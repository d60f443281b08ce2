"""Reading the machines and their points."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal, cast

from shopboard.checks.job import Geometry, Turn
from shopboard.metrology.adjuster import Adjuster, Screw, Shim, Side, Slot, Toward
from shopboard.metrology.conformity import Tolerance
from shopboard.shop.kinds import FLAG, NAME, WORDS, choice
from shopboard.shop.machine import Machine, Point, ShowsIn, full_name
from shopboard.shop.machine_values import ARM, LEVER, LONGEST_ARM, TIMES
from shopboard.shop.measures import TURNS, length
from shopboard.shop.read_safety import read_not_asked, read_question
from shopboard.shop.read_tolerance import read_tolerance
from shopboard.shop.read_upkeep import read_cutter, read_tasks
from shopboard.shop.report import Fault
from shopboard.shop.settings import read_as
from shopboard.shop.table import Parser, Table, reads
from shopboard.shop.threads import PITCH, THREAD
from shopboard.shop.told_by_words import (
    is_slot,
    opposite,
    says_cutter_off,
    side_in,
    side_in_name,
    side_of_datum,
)
from shopboard.usual.called import id_of
from shopboard.usual.filling import SIGNS, filled, is_short, usual_ids

# Made once: a shop has hundreds of points.
_LIES = choice("upright", "flat")
_SIDE = cast(Parser[Side], choice("left", "right"))
_TURN = choice("no", "other side", "end for end")


@reads("[[machine]]")
def read_machine(t: Table) -> Machine:
    """Read a machine with everything on it."""
    ident = id_of(t.raw)  # refused as an id or not, references mean this machine by it
    if is_short(t.raw):
        _fill(t)
    kind = t.raw.get("kind")
    machine = read_as(
        t,
        Machine,
        points=lambda _: tuple(t.many("point", lambda below: _read_point(below, ident, kind))),
        tasks=lambda _: read_tasks(t),
        cutters=lambda _: tuple(t.many("cutter", read_cutter)),
        safety=lambda _: tuple(t.many("safety", read_question)),
        not_asked=lambda read: read_not_asked(t, read["kind"]),
    )
    if "change" in t.raw and "body" not in t.raw:
        t.refuse("change", "change without body", "write both, or neither")
    return machine._replace(id=ident)


def _fill(t: Table) -> None:
    """Put in what goes without saying of the usual points, tasks and cutters of a machine."""
    made = filled(t.raw, t.report.unit)
    for key in SIGNS:
        own, meant = t.raw.get(key), made.get(key)
        if isinstance(own, list) and isinstance(meant, list):
            for at, (one, other) in enumerate(zip(own, meant, strict=True)):
                if other is not one:
                    t.report.written[*t.path, key, at] = one.keys()
    t.raw = made


def _read_point(t: Table, machine: str, kind: object) -> Point:
    """Read a point; where it does not say how it is checked, name those that need not."""
    point = read_point(t, machine)
    if "check" in t.missing and (usual := usual_ids(kind)):
        allowed = f"only the usual points of a {kind} need none: {', '.join(usual)}"
        t.miss("check", t.missing["check"][0], allowed)
    return point


@reads("[[machine.point]]")
def read_point(t: Table, machine: str = "") -> Point:
    """Read a point; references to points of the same machine get its full name."""

    def adjuster(read: dict[str, Any]) -> Adjuster | None:
        # Of a tolerance that was refused it is not known whether an angle was meant.
        direct = read["tolerance"].kind != "angle" or t.report.has_error((*t.path, "tolerance"))
        return t.one("adjuster", lambda below: read_adjuster(below, direct=direct))

    times: list[tuple[int, str]] = []

    def every_days(_: object) -> int | None:
        read: tuple[tuple[int, str], ...] = t.take("every", TIMES, ())
        times.extend(sorted(read))
        return times[0][0] if times else None

    point = read_as(
        t,
        Point,
        machine=machine,
        geometry=lambda read: read_geometry(t, needed="square" in read["checks"]),
        tolerance=lambda read: read_tolerance(t, read["checks"]),
        every_days=every_days,
        every=lambda _: times[0][1] if times else "",
        sizes=lambda _: t.one("sizes", read_sizes) or {},
        adjuster=adjuster,
    )
    if point.shows_in and point.tolerance.kind != "angle":
        _refuse_where_it_cannot_show(t, point.shows_in, point.tolerance)
    if point.cutter_off and not point.cutter_near:
        allowed = "write cutter_near = true: the check begins with the machine unplugged"
        t.refuse("cutter_off", "cutter_off at a point with no cutter near", allowed)
    elif "cutter_off" not in t.raw and point.cutter_near:
        words = point.geometry.datum, point.geometry.face
        point = point._replace(cutter_off=says_cutter_off(*words))
    return point._replace(
        id=point.id or _typed(t, "id"),
        rests_on=tuple(full_name(name, machine) for name in point.rests_on),
    )


def _typed(t: Table, key: str) -> str:
    return str(t.raw.get(key, "")).strip()


ANGLES_ALONE: tuple[ShowsIn, ...] = (
    *("edge angle", "end angle", "end tilt", "mitre", "bevel", "leg angle", "hole angle"),
    "tenon taper",
)
"""Where a length shows in no work: it is no angle of a cut."""


def _refuse_where_it_cannot_show(
    t: Table, shows_in: tuple[ShowsIn, ...], tolerance: Tolerance
) -> None:
    """Refuse work in which a point that is no angle cannot show."""
    if t.report.has_error((*t.path, "tolerance")):
        return  # what it is is not known
    for index, cut in enumerate(shows_in):
        spot = (*t.path, "shows_in", index)
        if tolerance.kind == "yes or no":
            continue  # it adds nothing, and must be as it should be
        if tolerance.kind != "length":
            what = "only an angle, a length or a yes shows in the work"
            allowed = "its tolerance is none of them; leave shows_in out"
            t.report.add(Fault(spot, what, allowed))
        elif cut in ANGLES_ALONE:
            what = f"{cut} at a point whose tolerance is a length"
            t.report.add(Fault(spot, what, "an angle alone shows there"))


SIZES = (
    *("width", "length", "span", "radius", "thickness", "circle", "marks"),
    *("mount_lip", "mounts_along", "mounts_across", "mount_pitch"),
)
"""Sizes that a point may give, so that its checks need not ask for them."""


@reads("[machine.point.sizes]")
def read_sizes(t: Table) -> dict[str, float]:
    """Read the sizes of a point, mm."""
    size = length(0, LONGEST_ARM, "[6 in|150 mm]")
    read = {name: t.take(name, PITCH if "pitch" in name else size, None) for name in SIZES}
    return {name: mm for name, mm in read.items() if mm is not None}


def read_geometry(t: Table, *, needed: bool = True) -> Geometry:
    """Read how the square meets the point, from the point's own keys.

    Args:
        t: the point.
        needed: a square is used on this point, so that datum, face and lever must be there.
    """
    lies = cast(Literal["upright", "flat"], t.take("lies", _LIES, "upright"))
    top, bottom = FLAT_LIGHT if lies == "flat" else UPRIGHT_LIGHT
    geometry = Geometry(
        datum=t.take("datum", WORDS) if needed else t.take("datum", WORDS, ""),
        face=t.take("face", WORDS) if needed else t.take("face", WORDS, ""),
        lever=t.take("lever", LEVER) if needed else t.take("lever", LEVER, 0.0),
        lies=lies,
        turn=cast(Turn, t.take("turn", _TURN, "no")),
        other_side=t.take("other_side", WORDS, ""),
    )
    light = {key: t.take(key, WORDS, "") for key in (*UPRIGHT_LIGHT, *FLAT_LIGHT)}
    geometry = geometry._replace(light_at_top=light[top], light_at_bottom=light[bottom])
    _refuse_other_light(t, flat=lies == "flat")
    return _with_sides(t, geometry)


def _with_sides(t: Table, geometry: Geometry) -> Geometry:
    """Tell where the datum is, by keys or else by its words."""
    datum, other = geometry.datum, geometry.other_side
    side, in_slot = t.take("side", _SIDE, None), t.take("in_slot", FLAG, None)
    return geometry._replace(
        side=side_of_datum(datum, geometry.face) if side is None else side,
        turned_side=opposite(side) if side is not None and other else side_in(other),
        in_slot=is_slot(datum) if in_slot is None else in_slot,
    )


UPRIGHT_LIGHT = ("light_at_top", "light_at_bottom")
FLAT_LIGHT = ("light_at_tip", "light_at_heel")


def _refuse_other_light(t: Table, *, flat: bool) -> None:
    """Refuse top and bottom of a square that lies flat, tip and heel of one that stands."""
    right, wrong = (FLAT_LIGHT, UPRIGHT_LIGHT) if flat else (UPRIGHT_LIGHT, FLAT_LIGHT)
    lies = "flat" if flat else "upright"
    for key, other in zip(right, wrong, strict=True):
        refused = any(t.report.has_error((*t.path, one)) for one in ("lies", other))
        if other in t.raw and not refused:
            t.refuse(other, f'{other} at a point with lies = "{lies}"', f"write {key}")


@reads("[machine.point.adjuster]")
def read_adjuster(t: Table, *, direct: bool = False) -> Adjuster | None:
    """Read what sets a point right.

    Args:
        t: the table.
        direct: the point's error is no angle: a screw bears on the length itself.
    """
    kind = t.take("kind", choice(*ADJUSTERS))
    if "kind" not in t.raw or t.report.has_error((*t.path, "kind")):
        t.leave_others()
        return None
    return read_screw(t, direct=direct) if kind == "screw" else ADJUSTERS[kind](t)


@reads('[machine.point.adjuster] with kind = "screw"')
def read_screw(t: Table, *, direct: bool = False) -> Screw:
    """Read a stop or levelling screw; one that bears on a length itself needs no arm."""
    thread = t.take("thread", THREAD, None)
    pitch = t.take("pitch", PITCH, None)
    t.just_one(("thread", "pitch"))
    return read_as(
        t,
        Screw,
        pitch=thread or pitch or 1.0,
        arm=lambda _: t.take("arm", ARM, 0.0) if direct else t.take("arm", ARM),
        clockwise=lambda _: _sense(t),
        backlash_turns=lambda _: t.take("backlash", TURNS, 0.25),
        name=NAME,
        toward=WORDS,
        away=WORDS,
        side=lambda read: _side_of_part(t, read["name"]),
    )


def _side_of_part(t: Table, name: str) -> Side:
    """Tell on which side of the machine a part is, by a key or else by its name."""
    side = t.take("side", _SIDE, None)
    return side_in_name(name) if side is None else side


def _sense(t: Table) -> Toward:
    """Read what a clockwise turn does: to the top of a face, or to an error (less, more)."""
    word = t.take("clockwise", choice("toward", "away", "less", "more"))
    return "toward" if word in ("toward", "less") else "away"


@reads('[machine.point.adjuster] with kind = "slot"')
def read_slot(t: Table) -> Slot:
    """Read a part in slots that is tapped."""
    arm = length(0, LONGEST_ARM, "[10 in|250 mm]")
    return read_as(
        t,
        Slot,
        arm=arm,
        name=NAME,
        toward=WORDS,
        away=WORDS,
        side=lambda read: _side_of_part(t, read["name"]),
    )


@reads('[machine.point.adjuster] with kind = "shim"')
def read_shim(t: Table) -> Shim:
    """Read a part that is packed under one of two seats."""
    span = length(0, LONGEST_ARM, "[4 in|100 mm]")
    return read_as(t, Shim, span=span, toward_seat=NAME, away_seat=NAME)


ADJUSTERS: dict[str, Callable[[Table], Adjuster]] = {
    "screw": read_screw,
    "slot": read_slot,
    "shim": read_shim,
}
