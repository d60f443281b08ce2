"""What plain sense and plain geometry say of a joint, from the description of the work alone.

Worked out by the simplest rules there are; it shares no code with the program:

- a cut is made on the machine that the joint names, else on the usual one for it; every point of
  that machine that shows in it counts;
- a result stands until what undoes it happens to its machine (a knock or a move: to any mode of its
  body; another cutter: to any mode that the cutter serves), or to what it rests on, or until it is
  too old; it rests on what was proven true and was not set anew since;
- what was measured with a square says nothing any more once the next proof of it finds it off from
  what it was taken as;
- a machine whose cutter is off, in any mode of its body, makes nothing; a cutter that is dull or
  past its rated life cuts badly, but where it always did;
- a misfit is coordinates and tangents (trigonometry of the cut boards, no source needed).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from tests.prep.random_work import CUTS_OF, OF_CUTTER, WHOLE_BODY, Act, Measure, P, Work

Array = NDArray[np.float64]
USUAL: Mapping[str, tuple[str, ...]] = {
    "edge angle": ("jointer", "table saw"),
    "edge line": ("jointer", "table saw"),
    "end angle": ("table saw", "mitre saw"),
    "end tilt": ("table saw", "mitre saw"),
    "length": ("table saw", "mitre saw"),
    "mitre": ("mitre saw", "table saw"),
    "bevel": ("table saw",),
    "thickness": ("planer",),
    "resaw": ("bandsaw",),
}
"""Sorts of machines by the cut, the usual one first: common practice, no source."""
TOLERANCE = {"angle": math.radians(0.1), "length": 0.1, "yes or no": 0.5}
TOLERANCE["pair"] = TOLERANCE["angle"]
UNPROVEN = 5e-5
"""rad; what a square of grade 0 may be off by while nothing is proven of it: 8 um over 6 in
(our choice, about the limit of that grade; no source)."""
AGREES = 2e-4
"""rad; a proof within this finds a square as it was taken: dropped ones are off by far more."""
STOP_FACE = 75.0
"""Widest face of a stop that a piece touches, mm: common practice, no source."""


def cut_on(work: Work) -> dict[str, tuple[str, ...]]:
    """Give the points that show in each cut of the joint, by where it is made."""
    found: dict[str, tuple[str, ...]] = {}
    cuts = CUTS_OF[work.joint.kind]
    for cut in sorted(cuts, key=("end angle", "mitre", "end tilt", "length").__contains__):
        found[cut] = ()
    for cut in sorted(cuts, key=lambda one: one in ("end tilt", "length")):
        named = work.joint.made_on.get(cut, ())
        if named:
            on = [
                point.name
                for name in named
                for machine in work.machines
                for point in machine.points
                if name in (machine.id, point.name) and cut in point.shows
            ]
            found[cut] = tuple(dict.fromkeys(on))
            continue
        able = [m for m in work.machines if any(cut in one.shows for one in m.points)]
        lead = next((found[one] for one in ("end angle", "mitre") if found.get(one)), ())
        if cut in ("end tilt", "length") and lead:
            there = [m for m in able if m.id == lead[0].partition(".")[0]]
            able = there or able
        usual = [m for kind in USUAL[cut] for m in able if m.kind == kind]
        points = [one for machine in (usual or able)[:1] for one in machine.points]
        found[cut] = tuple(one.name for one in points if cut in one.shows)
    return found | {"length": ()} if work.joint.lengths_by_hand else found


def counted(work: Work) -> tuple[str, ...]:
    """Give every point that shows in the joint."""
    return tuple(dict.fromkeys(name for names in cut_on(work).values() for name in names))


def under(work: Work, name: str) -> set[str]:
    """Give all that a point rests on, near or far."""
    found: set[str] = set()
    for base in work.points[name].rests:
        found |= {base} | under(work, base)
    return found


def newest(work: Work) -> dict[str, tuple[int, Act]]:
    """Give the newest result of each point that was not withdrawn, with its number."""
    found: dict[str, list[tuple[int, Act]]] = {}
    for number, act in enumerate(work.acts):
        if act.what == "result":
            found.setdefault(act.about, []).append((number, act))
        elif act.what == "void" and found.get(act.about):
            found[act.about].pop()
    return {name: results[-1] for name, results in found.items() if results}


def _proofs(work: Work, tool: str) -> list[tuple[int, Act]]:
    """Give what stands of what was found of a square, with its number."""
    found: list[tuple[int, Act]] = []
    for number, act in enumerate(work.acts):
        if act.what == "proof" and act.about == tool:
            found.append((number, act))
        elif act.what == "proof taken back" and act.about == tool and found:
            found.pop()
    return found


def taken_as(work: Work, number: int) -> Act | None:
    """Give the proof by which the square of a result was taken; None: it was not proven then."""
    before = Work(work.machines, work.joint, work.acts[:number])
    return next((act for _, act in reversed(_proofs(before, work.acts[number].which))), None)


def doubted(work: Work, name: str) -> bool:
    """Tell whether a point was measured with a square that is known to be bad since."""
    number, result = newest(work)[name]
    if not result.which:
        return False
    proof = taken_as(work, number)
    after = next((act for at, act in _proofs(work, result.which) if at > number), None)
    taken = proof.error if proof is not None else 0.0
    return after is not None and abs(after.error - taken) > AGREES


def _own(work: Work, number: int) -> float:
    """Give how far the square of a result may have been off from what it was taken as, rad."""
    if not work.acts[number].which:
        return 0.0
    proof = taken_as(work, number)
    return UNPROVEN if proof is None else 2 * proof.sigma


def reaches(work: Work, act: Act, point: P) -> bool:
    """Tell whether what happened happened to the machine of a point."""
    machines = {machine.id: machine for machine in work.machines}
    at, mine = machines[act.about], machines[point.machine]
    if at is mine:
        return True
    if not (at.body and mine.body):
        return False
    heads = [{one.id, one.serves} for one in work.machines if one.serves]
    shared = any({at.id, mine.id} <= both for both in heads)
    return act.which in WHOLE_BODY or (act.which in OF_CUTTER and shared)


def stands(work: Work, name: str, *, as_base: bool = False) -> bool:
    """Tell whether a point can be gone by: measured, and nothing undid it since.

    Args:
        work: the work.
        name: of the point.
        as_base: others rest on it, so that it must be true, and not only known.
    """
    point, results = work.points[name], newest(work)
    if name not in results:
        return False
    at, result = results[name]
    since = work.acts[at + 1 :]
    below = under(work, name)
    for act in since:
        if act.what == "moved" and act.about in {name, *point.rests}:
            return False
        happened = _happened(work, act)
        for one in (name, *below) if happened is not None else ():
            other = work.points[one]
            if happened and happened.which in other.undone and reaches(work, happened, other):
                return False
    if point.weeks and sum(act.days for act in since) >= 7 * point.weeks:
        return False
    if doubted(work, name):
        return False
    own = _own(work, at)
    if (as_base or point.measure == "yes or no") and not _is_true(point, result, own):
        return False
    return all(stands(work, base, as_base=True) for base in point.rests)


def _happened(work: Work, act: Act) -> Act | None:
    """Give what happened to a machine: also where its cutter was put on again."""
    if act.what == "cutter" and act.which == "on":
        at = next(machine for machine in work.machines if machine.id == act.about)
        return Act("happens", act.about, at.changed)
    return act if act.what == "happens" else None


def _is_true(point: P, result: Act, own: float) -> bool:
    """Tell whether a result is within the tolerance at 95 %.

    Two tails of a normal error, in the mean over all that the square may have been off by.
    """
    if point.measure == "yes or no":
        return result.error == 0
    limit, scale = TOLERANCE[point.measure], result.sigma * math.sqrt(2)
    inside = 0.0
    for at, weight in zip(*np.polynomial.legendre.leggauss(40), strict=True):
        error = result.error + own * at
        inside += weight / 2 * math.erf((limit - error) / scale)
        inside += weight / 2 * math.erf((limit + error) / scale)
    return inside / 2 >= 0.95 - 1e-6


def tagged(work: Work) -> set[str]:
    """Give the machines that are not to be used, each with the other modes of its body."""
    tags = {act.about for act in work.acts if act.what == "tag"}
    bodies = {machine.id for machine in work.machines if machine.body}
    return tags | (bodies if tags & bodies else set())


def cutter_off(work: Work, *, only_own: bool = False) -> set[str]:
    """Give the machines with their cutter off, each with the other modes of its body."""
    last: dict[str, str] = {}
    for act in work.acts:
        if act.what == "cutter" and act.which in ("on", "off"):
            last[act.about] = act.which
    off = {name for name, is_now in last.items() if is_now == "off"}
    bodies = {machine.id for machine in work.machines if machine.body}
    return off | (bodies if off & bodies and not only_own else set())


def begun(work: Work) -> set[str]:
    """Give the points that somebody began to check and has left since, less than a day ago."""
    found: dict[str, int] = {}
    for act in work.acts:
        if act.what == "begun":
            found[act.about] = 0
        found = {name: days + act.days for name, days in found.items()}
    return {name for name, days in found.items() if days == 0}


def why_not(work: Work) -> str:
    """Say why this can be no go, whatever the numbers are; empty: there is no such reason."""
    for cut, names in cut_on(work).items():
        by_hand = cut == "length" and work.joint.lengths_by_hand
        if not by_hand and all(work.points[name].measure == "yes or no" for name in names):
            return "a cut that nothing measured shows in"
    if work.joint.two_fences and not any(
        work.points[name].measure == "pair" for name in cut_on(work)["mitre"]
    ):
        return "nothing tells how square two fences are to each other"
    for name in counted(work):
        if not stands(work, name):
            return f"{name} cannot be gone by"
        if name.partition(".")[0] in tagged(work):
            return f"the machine of {name} is tagged"
        if name.partition(".")[0] in cutter_off(work):
            return f"the machine of {name} has its cutter off"
        if ({name} | under(work, name)) & begun(work):
            return f"a check of {name}, or of what it depends on, is not finished"
    return ""


# What geometry says


def too_much(work: Work, errors: Mapping[str, Array]) -> NDArray[np.bool_]:
    """Tell where the joint is not as wanted, each point being off by so much (rad or mm)."""
    joint, size, wanted = work.joint, work.joint.sizes, work.joint.wanted
    thick, pieces = size.get("thickness", 0.0), joint.pieces or 4
    lone = np.zeros(len(next(iter(errors.values()))))
    found: NDArray[np.bool_]

    def shown(cut: str, measure: Measure) -> Array:
        alike = ("angle", "pair") if measure == "angle" else (measure,)
        if cut == "mitre" and joint.two_fences:  # what turns both fences makes up for itself
            alike = ("pair",)
        names = [one for one in cut_on(work).get(cut, ()) if work.points[one].measure in alike]
        return sum((errors[name] for name in names), lone)

    def over(cut: str, face: float) -> Array:
        """Out of line over a face."""
        return abs(face * np.tan(shown(cut, "angle"))) + abs(shown(cut, "length"))

    def stop(wide: float) -> Array:
        return over("length", min(wide, STOP_FACE))

    if joint.kind == "panel":
        angle = lone if joint.alternate else shown("edge angle", "angle")
        bent = size["length"] / 2 * np.tan(abs(shown("edge line", "angle")) / 2)
        line = bent + abs(shown("edge line", "length"))
        across = 2 * thick * np.tan(abs(angle))
        turn = np.arange(pieces)[:, None] * 2 * angle
        rise = np.cumsum(size["width"] * np.sin(turn - turn.mean(axis=0)), axis=0)
        cups = np.ptp(np.vstack([lone, rise]), axis=0) > wanted["cup"]
        if joint.closed == "sprung":
            found = cups | (across > wanted["gap"]) | (line > wanted["spring"])
        else:
            found = cups | (across + 2 * line > wanted["gap"])
        return found
    if joint.kind in ("frame", "segment ring", "stave ring"):
        cut, wide = ("mitre", size["width"]) if "width" in size else ("bevel", thick)
        each = over(cut, wide / math.cos(math.pi / pieces))
        gap = 2 * each * {"last corner": pieces, "half rings": 0}.get(joint.closed, 1)
        # Of fences on one side of the blade it opens, turned over or not.
        if cut == "mitre" and (joint.two_fences or not joint.alternate):
            gap = gap + 2 * thick * np.tan(abs(shown("end tilt", "angle")))
        found = gap > wanted["gap"]
        if joint.kind == "frame":
            found |= stop(wide) > wanted["length"]
            if joint.closed == "last corner" and pieces == 4:
                lean = 2 * shown("mitre", "angle")
                found |= _apart(size["length"], size["other_length"], lean) > wanted["square"]
        return found
    if joint.kind in ("carcase", "drawer"):
        deep = size["depth" if joint.kind == "carcase" else "height"]
        high = size["height" if joint.kind == "carcase" else "depth"]
        angle, tilt = shown("end angle", "angle"), shown("end tilt", "angle")
        open_by, tilt_by = deep * np.tan(abs(angle)), thick * np.tan(abs(tilt))
        if joint.alternate:  # drawn closed, the ends stay as open over the width
            apart = _apart(size["width"], high, tilt)
            closed = open_by
        else:
            apart = _apart(max(size["width"], high), deep, angle)
            closed = tilt_by
        held = open_by + tilt_by
        drawn = (apart > wanted["square"]) | (closed > wanted["gap"])
        found = (held > wanted["gap"]) & drawn
        return found | (stop(deep) > wanted["length"])
    if joint.kind == "tenon":
        shoulder = over("end angle", size["width"]) + stop(size["width"])
        shoulder = shoulder + thick / 3 * np.tan(abs(shown("end tilt", "angle")))
        found = (shoulder > wanted["gap"]) | (stop(size["width"]) > wanted["length"])
        return found
    found = over("resaw", size["height"]) + over("thickness", size["width"]) > wanted["thickness"]
    return found


def _apart(wide: float, high: float, lean: Array) -> Array:
    """Give the difference of the diagonals of a rectangle whose upright sides lean."""
    along, against = wide + high * np.sin(lean), wide - high * np.sin(lean)
    return abs(np.hypot(along, high * np.cos(lean)) - np.hypot(against, high * np.cos(lean)))


def share_beyond(work: Work, number: int, seed: int = 0) -> float:
    """Give how often a misfit passes what is wanted, the errors being what the results say."""
    dice, results = np.random.default_rng(seed), newest(work)
    errors = {
        name: results[name][1].error
        + results[name][1].sigma * dice.standard_normal(number)
        + _own(work, results[name][0]) * dice.uniform(-1, 1, number)
        for name in counted(work)
    }
    return float(np.mean(too_much(work, errors)))
