"""The usual questions of a safety round, by the sort of machine: they stand in for a shop's own.

Common practice, no source. The maker's manual, local codes and licensed practice come before all
of them. Each is asked by a state that can be seen; none says what follows from it. Needed only
when a round is walked, and when a shop file leaves some of them out.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.machine import MachineKind, SafetyQuestion

_Q = SafetyQuestion

PLUG = _Q(
    "plug",
    "Isolate it and wait until the cutter has stopped. How is it now?",
    ("the plug is out, where I can see it", "the switch is locked off, the key is with me"),
    ("it cannot be isolated: plug, cord or switch is damaged",),
    plug=True,
)

_CUTTER = _Q(
    "cutter",
    "Look at the cutter from all sides, fingers off the edges.",
    ("sound, clean and tight",),
    ("a tooth, an edge or a weld is damaged", "it is loose", "it rubs on something"),
)

_STOP = _Q(
    "stop-button",
    "Stand clear of the cutter, start it, press stop.",
    ("it stops, and stays stopped when I let go",),
    (
        "it does not stop",
        "it starts again when I let go",
        "the button is blocked, or out of my reach",
    ),
    running=True,
)

_GUARD = _Q(
    "guard",
    "Move the guard as the work would, and let it go.",
    ("it is on and moves freely",),
    ("it is off", "it binds"),
)

_SWINGS_BACK = _GUARD._replace(
    ask="Swing the guard off the cutter and let it go.",
    wanted=("it comes back over the cutter by itself",),
    others=("it stays open, or comes back slowly", "it is off"),
)

_PUSH_STICKS = _Q(
    "push-sticks",
    "Push stick and push block: where are they?",
    ("within reach of where I stand, and sound",),
    ("not here", "worn or broken"),
)

_PUSH_BLOCKS = _PUSH_STICKS._replace(
    id="push-blocks",
    ask="Push blocks: where are they?",
    others=("not here", "their soles are smooth or torn"),
)

_RIVING_KNIFE = _Q(
    "riving-knife",
    "Look at the riving knife from above: thicker than the plate, thinner than the kerf?",
    ("it is on, between the two, in line, close to the teeth",),
    ("it is off", "too thin or too thick for this blade", "loose, bent, or far from the teeth"),
)

_CHUCK_KEY = _Q(
    "chuck-key",
    "Where is the chuck key?",
    ("in its holder",),
    ("in the chuck", "nowhere to be seen"),
)

_OF_KIND: Mapping[MachineKind, tuple[SafetyQuestion, ...]] = {
    "": (_GUARD,),
    "table saw": (_GUARD, _RIVING_KNIFE, _PUSH_STICKS),
    "mitre saw": (
        _GUARD._replace(
            ask="Lower the head and let it come up again.",
            wanted=("the guard opens and closes by itself",),
            others=("it sticks, or stays open", "it is off"),
        ),
        _Q(
            "hold-down",
            "Try the clamp that holds the work down.",
            ("it is there and it holds",),
            ("it is not here", "it slips"),
        ),
    ),
    "bandsaw": (
        _GUARD._replace(
            ask="Lower the blade guard to the work.",
            wanted=("it comes down, and stays where it is set",),
            others=("it is off", "it binds", "it sinks by itself"),
        ),
        _Q(
            "wheel-doors",
            "Look at the doors over both wheels.",
            ("shut and latched",),
            ("one is open, or will not latch",),
        ),
        _PUSH_STICKS,
    ),
    "jointer": (_SWINGS_BACK, _PUSH_BLOCKS),
    "planer": (
        _GUARD._replace(
            ask="Look at the covers over cutter head, belts and chains.",
            wanted=("all on, all tight",),
            others=("one is off", "one is loose"),
        ),
        _Q(
            "pawls",
            "Lift each anti-kickback pawl with a stick, and let it fall.",
            ("each falls by itself", "this planer was built without them"),
            ("one sticks", "one is missing"),
        ),
    ),
    "drill press": (
        _CHUCK_KEY,
        _GUARD._replace(
            ask="Look at the belt cover and the guard of the chuck.",
            wanted=("cover shut, guard on",),
            others=("the cover is open", "the guard is off"),
        ),
        _Q(
            "vice",
            "Vice and clamps for small work: where are they?",
            ("within reach, and they hold",),
            ("not here", "they slip"),
        ),
    ),
    "router table": (_GUARD, _PUSH_STICKS),
    "shaper": (_GUARD, _PUSH_STICKS),
    "lathe": (
        _CHUCK_KEY,
        _Q(
            "tool-rest",
            "Turn the work once round by hand.",
            ("it clears the rest, and the rest is locked",),
            ("it touches", "the rest moves"),
        ),
        _Q(
            "face-shield",
            "Face shield: where is it?",
            ("at the lathe, clear and sound",),
            ("not here", "scratched or cracked"),
        ),
    ),
    "sander": (
        _CUTTER._replace(
            ask="Look at the belt, drum or disc all round, and see how it tracks.",
            wanted=("sound, tight, and it tracks in the middle",),
            others=("it is torn or glazed", "it is loose", "it rubs on something"),
        ),
        _GUARD._replace(
            ask="Look at the covers over belt, wheels or disc.",
            wanted=("all on, all tight",),
            others=("one is off", "one is loose"),
        ),
        _Q(
            "work-rest",
            "Look at the gap between work rest and abrasive.",
            ("narrow, and the rest is locked", "this sander was built without one"),
            ("a finger goes in", "the rest moves"),
        ),
        _Q(
            "sparks",
            "Was metal sanded here, and is wood dust left in the hood or collector?",
            ("no metal sanded, or all dust cleaned out first",),
            ("metal was sanded, and there is dust in it",),
        ),
    ),
}

_OF_SHOP = (
    _Q(
        "extinguisher",
        "Go to the fire extinguisher and read its gauge.",
        ("in its place, the way to it clear, the gauge reads full",),
        ("it is not in its place", "something is in the way", "the gauge reads low"),
    ),
    _Q(
        "way-out",
        "Try each door that leads out.",
        ("each opens by hand, nothing in front of it",),
        ("one sticks or is locked", "something is in front of one"),
    ),
    _Q(
        "first-aid",
        "Open the first aid box.",
        ("in its place, and nothing is missing",),
        ("something is missing", "it is not in its place"),
    ),
    _Q(
        "glasses-and-muffs",
        "Glasses, ear muffs, dust mask: where are they?",
        ("within reach, clean and sound",),
        ("one of them is not here", "one of them is broken"),
    ),
    _Q(
        "oily-rags",
        "Rags with oil or finish on them: where are they?",
        ("in a metal can with its lid on", "spread out flat in the open air", "there are none"),
        ("in a heap, or in a bin",),
    ),
    _Q(
        "cords",
        "Follow each loose cord from end to end.",
        ("undamaged, and none where I walk", "there are none"),
        ("one is damaged", "one lies where I walk"),
    ),
    _Q(
        "floor",
        "Look over the floor around every machine.",
        ("clear and dry",),
        ("offcuts, dust or tools are on it", "it is wet or waxed"),
    ),
)


def usual(kind: MachineKind) -> tuple[SafetyQuestion, ...]:
    """Give the usual questions about a machine with a cutter, in the order asked."""
    if kind == "hand tools":
        return ()
    asked = {one.id: one for one in (PLUG, _CUTTER, *_OF_KIND[kind], _STOP)}
    return tuple(asked.values())


def may_have_riving_knife(kind: MachineKind) -> bool:
    """Tell whether a machine may have a riving knife: not told what it is, it may be any."""
    return not kind or _RIVING_KNIFE in _OF_KIND.get(kind, ())


def usual_of_shop() -> tuple[SafetyQuestion, ...]:
    """Give the usual questions about the shop itself."""
    return _OF_SHOP


def where_usual() -> dict[str, str]:
    """Tell at which machines each of the usual questions is asked, by its id."""
    kinds: dict[str, list[str]] = {}
    for kind in _OF_KIND:
        for one in usual(kind):
            kinds.setdefault(one.id, []).append(kind)
    return {
        ident: "any machine with a cutter" if len(at) == len(_OF_KIND) else _listed(at)
        for ident, at in kinds.items()
    }


def _listed(kinds: list[str]) -> str:
    return ", ".join(kind or "one without a kind" for kind in kinds)
