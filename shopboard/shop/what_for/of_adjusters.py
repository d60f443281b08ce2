"""What the keys of the sizes of a point are for, and of what sets it right."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.what_for.told import Page, WhatFor

OF_ADJUSTERS: Mapping[str, Page] = {
    "machine.point.sizes": {
        "": WhatFor("Lengths of a point that are the same every time, so that Enter takes them."),
        "width": WhatFor("Width of what is cut or measured.", '"[3 in|80 mm]"'),
        "length": WhatFor("Length of what is cut or measured.", '"[16 in|400 mm]"'),
        "span": WhatFor("From one reading of the indicator to the other.", '"[9 in|225 mm]"'),
        "radius": WhatFor("From the spindle to where the indicator touches.", '"[5 in|125 mm]"'),
        "thickness": WhatFor("Thickness of what is cut or measured.", '"[3/4 in|20 mm]"'),
        "circle": WhatFor("Diameter that the edges of the knives turn in.", '"[3 in|75 mm]"'),
        "marks": WhatFor("How far apart the two marks on a band are.", '"[20 in|500 mm]"'),
        "mount_lip": WhatFor(
            "From the lips of the jointer's tables to the inner two mounts.", '"[3 in|75 mm]"'
        ),
        "mounts_along": WhatFor("Between the mounts, along the jointer.", '"[20 in|500 mm]"'),
        "mounts_across": WhatFor("Between the mounts, across the jointer.", '"[9 in|225 mm]"'),
        "mount_pitch": WhatFor("How far a screw of these mounts goes in one turn.", '"1.5 mm"'),
    },
    "machine.point.adjuster": {
        "": WhatFor("What sets the point above it right, if it can be set: one of three kinds."),
        "kind": WhatFor(
            "How it sets the point.",
            each={
                "screw": "a stop or levelling screw",
                "slot": "a part that is tapped round",
                "shim": "a part that is packed under one of two seats",
            },
        ),
        "thread": WhatFor("The thread of the screw."),
        "pitch": WhatFor(
            "How far the screw goes in one turn, where its thread has no name.", '"1.25 mm"'
        ),
        "arm": WhatFor(
            "From the pivot to the screw; of a slot, from the snug bolt to the end that is tapped."
            " A screw that sets a length moves it by its thread alone and needs none.",
            '"[5 in|125 mm]"',
        ),
        "clockwise": WhatFor(
            "Where a clockwise turn moves the top.",
            each={
                "toward": "toward the square",
                "away": "away from the square",
                "less": "where there is no square: it makes the value less",
                "more": "where there is no square: it makes the value more",
            },
        ),
        "backlash": WhatFor(
            "How far to overrun, so that the thread bears on one side.", left_out='"1/4 turn"'
        ),
        "name": WhatFor("What you call it.", '"the 90 degree stop screw"'),
        "toward": WhatFor(
            "Where the part must go to bring the top toward the square, or the value down.",
            '"forward"',
        ),
        "away": WhatFor(
            "Where the part must go to bring the top away from the square, or the value up.",
            '"back"',
        ),
        "side": WhatFor("On which side of the machine it is; left out, the words of name tell it."),
        "span": WhatFor("Between the two seats.", '"[4 in|100 mm]"'),
        "toward_seat": WhatFor("The seat that tips it toward the square.", '"the upper bolt"'),
        "away_seat": WhatFor("The seat that tips it away from the square.", '"the lower bolt"'),
    },
}
"""By table, and key."""
