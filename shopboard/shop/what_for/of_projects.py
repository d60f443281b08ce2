"""What the keys of projects and their joints are for."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.what_for.told import Page, WhatFor

_MADE_ON = "a machine, one of its points, or a list of them; left out, the machine that is usual"

_WAS = WhatFor("The id that it had before, so that what was decided of its joints stays with it.")

OF_PROJECTS: Mapping[str, Page] = {
    "project": {
        "": WhatFor(
            "Something that will be made: it can be told which points matter for it, and how true"
            " they must be."
        ),
        "id": WhatFor("Short name for the command line and the records.", '"bookcase"'),
        "name": WhatFor("What the board calls it.", '"Bookcase of ash"'),
        "start": WhatFor("The day on which its wood is cut. Left out: as soon as possible."),
        "thickness": WhatFor("How thick its wood is, for every joint that does not say it."),
        "joint": WhatFor("One joint of the project, or several alike."),
        "also_on": WhatFor(
            "Machines that it runs on though no joint tells it, such as the planer that takes all"
            " its wood to thickness: one finished counts for them, too.",
            '"planer"',
        ),
        "was": _WAS._replace(example='"old-bookcase"'),
    },
    "project.joint": {
        "": WhatFor("One joint of the project above it, or several alike."),
        "id": WhatFor("Short name for the command line and the records.", '"shelves"'),
        "name": WhatFor("What the board calls it.", '"Shelves of three boards"'),
        "was": _WAS._replace(example='"old-shelves"'),
        "kind": WhatFor(
            "What sort of joint it is.",
            each={
                "panel": "boards glued edge to edge",
                "frame": "members with mitred ends",
                "carcase": "a box of four boards",
                "drawer": "a box of four boards",
                "tenon": "shoulders of mortise and tenon",
                "stave ring": "staves with bevelled edges, glued into a ring",
                "segment ring": "segments with mitred ends, glued into a ring",
                "veneer": "leaves that are resawn",
                "round tenon": "a spindle or rung in its hole",
                "leg": "a leg by a round tenon in its seat",
                "stretcher": "between two legs, a round tenon in each",
            },
        ),
        "count": WhatFor("How many there are alike.", left_out="1"),
        "pieces": WhatFor(
            "How many boards, members, staves or segments come together; of a frame 4 where it is"
            " left out.",
            "4",
        ),
        "width": WhatFor(
            "Width of a board, member, rail or segment, outside width of a box, or width of a leaf"
            " that is planed."
        ),
        "length": WhatFor(
            "Length of a panel, outside length of a frame, or of a leg from its seat to the floor,"
            " of a stretcher, rung or spindle from hole to hole."
        ),
        "other_length": WhatFor(
            "The other outside length of a frame; left out, it is as long.", '"[16 in|400 mm]"'
        ),
        "height": WhatFor(
            "Outside height of a box, height of a leaf as it is sawn, or how far down the legs from"
            " the seat a stretcher goes in.",
            '"[6 in|150 mm]"',
        ),
        "depth": WhatFor("Depth of a box, or how deep a round tenon goes in.", '"[12 in|300 mm]"'),
        "thickness": WhatFor(
            "Thickness of its wood; it may be told once for the project. A segment ring should"
            " tell it."
        ),
        "alternate": WhatFor(
            "Faces are alternated between the cuts, so that one error cancels the next."
        ),
        "two_fences": WhatFor(
            "Each mitre cut on one fence of a sled meets one cut on the other, so that what turns"
            " both alike cancels."
        ),
        "fit": WhatFor("How well it should fit."),
        "made_on": WhatFor("Where its cuts are made."),
    },
    "project.joint.fit": {
        "": WhatFor("How well the joint above it should fit."),
        "closed": WhatFor(
            "How it is closed; left out, the first way that its kind knows.",
            each={
                "as planed": "a panel: its edges as they come off the machine",
                "sprung": "a panel: each edge planed hollow on purpose and clamped shut",
                "all round": "a frame or ring: pulled together by a strap",
                "last corner": "a frame or ring: one after the other, all errors in the last",
                "half rings": "a ring: two halves, whose ends are sanded to fit",
            },
        ),
        "gap": WhatFor("No glue line wider; left out, [0.006 in|0.15 mm]."),
        "cup": WhatFor("A panel no more hollow; left out, [1/32 in|0.8 mm].", '"[1/32 in|0.8 mm]"'),
        "square": WhatFor(
            "The diagonals of a box or frame no more unequal; left out, [1/32 in|0.8 mm].",
            '"[1/32 in|0.8 mm]"',
        ),
        "length": WhatFor(
            "Pieces that should be alike no more unequal; left out, [1/64 in|0.4 mm].",
            '"[1/64 in|0.4 mm]"',
        ),
        "thickness": WhatFor(
            "A leaf of veneer no more uneven; left out, [0.010 in|0.25 mm].", '"[0.010 in|0.25 mm]"'
        ),
        "spring": WhatFor(
            "An edge of a sprung panel no further off its hollow; left out, [1/64 in|0.4 mm].",
            '"[1/64 in|0.4 mm]"',
        ),
        "aim": WhatFor(
            "The far end of a leg, stretcher, rung or spindle no further off its place; left out,"
            " [1/4 in|6.4 mm].",
            '"[1/4 in|6.4 mm]"',
        ),
    },
    "project.joint.made_on": {
        "": WhatFor("Where the cuts of the joint above it are made."),
        "edge_angle": WhatFor(f"Where its edges are made square: {_MADE_ON}.", '"jointer"'),
        "edge_line": WhatFor(f"Where its edges are made straight: {_MADE_ON}.", '"jointer"'),
        "end_angle": WhatFor(f"Where its ends are cut: {_MADE_ON}.", '"saw"'),
        "end_tilt": WhatFor(
            f"What gives its ends their tilt: {_MADE_ON}, or where the ends are cut.", '"saw"'
        ),
        "mitre": WhatFor(f"Where its mitres are cut: {_MADE_ON}.", '"saw.sled-fence"'),
        "bevel": WhatFor(f"Where the bevels of its staves are cut: {_MADE_ON}.", '"saw"'),
        "length": WhatFor(
            f"What gives its pieces their length: {_MADE_ON}, or where the ends are cut;"
            ' "by hand" where there is no stop.',
            '"by hand"',
        ),
        "thickness": WhatFor(f"Where it is planed: {_MADE_ON}.", '"planer"'),
        "resaw": WhatFor(f"Where it is resawn: {_MADE_ON}.", '"bandsaw"'),
        "leg_angle": WhatFor(f"Where the legs' holes are drilled: {_MADE_ON}.", '"drill.jig"'),
        "hole_angle": WhatFor(f"What gives its holes their angle: {_MADE_ON}.", '"drill.table"'),
        "hole_size": WhatFor(f"What makes its holes larger than the bit: {_MADE_ON}.", '"drill"'),
        "tenon_taper": WhatFor(f"Where its tenons are turned: {_MADE_ON}.", '"lathe"'),
    },
}
"""By table, and key."""
