"""What sets a point, and what the sum of how far to turn takes of it."""

from __future__ import annotations

from typing import Any

from shopboard.describing.ask import choice, few, length
from shopboard.describing.talk import Asking, Talk
from shopboard.metrology.units import by_unit
from shopboard.usual.parts import UsualPoint, in_unit

_KINDS = {
    "screw": "a screw: {}",
    "slot": "bolts in slots, tapped round: {}",
    "shim": "shims under one of two seats",
}

_THREADS_INCH = ("10-32", "1/4-20", "1/4-28", "5/16-18", "3/8-16", "1/2-13")
_THREADS_MM = ("M5x0.8", "M6x1", "M8x1.25", "M10x1.5", "M12x1.75")
"""Mostly there, by ASME B1.1 and ISO 261; from memory. Which a machine has is read at it."""

_OTHER_THREAD = "By its name, or threads per inch: 7/16-14, M8x1, 20 tpi."

_SIZES = {
    "screw": {"thread": "Which thread does it have?", "arm": "How far is it from the pivot?"},
    "slot": {"arm": "How far is it from the bolt that stays snug to the end that is tapped?"},
    "shim": {"span": "How far apart are the two seats?"},
}


def adjuster_of(talk: Talk, key: str, usual: UsualPoint) -> Asking[dict[str, Any] | None]:
    """Ask what sets a point; None: nothing does, or nobody knows."""
    sets = {kind: dict(in_unit(says, talk.unit)) for kind, says in usual.sets.items()}
    options = {
        "nothing": "nothing, or I do not know: no advice on how far to turn",
        **{kind: _KINDS[kind].format(says.get("name", "")) for kind, says in sets.items()},
    }
    kind = yield from choice(f"{key}.set", f"{usual.name}: what sets it?", options, "nothing")
    if kind == "nothing":
        return None
    says = {"kind": kind, **sets[kind]}
    for setting, title in _SIZES[kind].items():
        if setting in says:
            where = (talk, f"{key}.{setting}", title, ("machine.point.adjuster", setting))
            if setting == "thread":
                threads = {one: one for one in by_unit(talk.unit, _THREADS_INCH, _THREADS_MM)}
                says[setting] = yield from few(*where, threads, says[setting], _OTHER_THREAD)
            else:
                says[setting] = yield from length(*where, says[setting])
    if kind != "screw" or "clockwise" in says:
        return says
    way = yield from _clockwise(key, usual, says)
    return {**says, "clockwise": way} if way else None


def _clockwise(key: str, usual: UsualPoint, says: dict[str, Any]) -> Asking[str]:
    """Ask which way it goes; empty: that is not known, and so is not how far."""
    is_faced = "square" in usual.checks
    less, more = ("toward", "away") if is_faced else ("less", "more")
    options = {
        less: f"it goes {says['toward']}" if "toward" in says else "toward the square",
        more: f"it goes {says['away']}" if "away" in says else "away from the square",
        "unknown": "I do not know: leave the screw out for now",
    }
    title = "Turned clockwise, where does it go?"
    way = yield from choice(f"{key}.clockwise", title, options, "unknown")
    return "" if way == "unknown" else way
