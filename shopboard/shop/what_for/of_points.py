"""What the keys of a point are for."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.what_for.told import Page, WhatFor

OF_POINTS: Mapping[str, Page] = {
    "machine.point": {
        "": WhatFor("One thing on the machine above it that must be true."),
        "id": WhatFor(
            "Short name for the command line and the records, which are kept under the machine's"
            " id and this one; choose it once.",
            '"blade"',
        ),
        "name": WhatFor("What the board calls it.", '"Blade at 90"'),
        "check": WhatFor(
            "How it is proven: by one method, or by any of a list, which are held to one"
            " tolerance. `shopboard explain` lists them.",
            '["square", "flip"]',
        ),
        "datum": WhatFor(
            "What the stock of the square stands on, or what else is measured from.",
            '"table, left of the blade"',
        ),
        "face": WhatFor(
            "What the blade of the square touches, or what else is looked at.",
            '"blade plate, between two teeth"',
        ),
        "lever": WhatFor(
            "How far from the touching end of the square the leaf is tried: the longer, the finer."
        ),
        "lies": WhatFor("Whether the square stands, or lies flat."),
        "turn": WhatFor(
            "Whether the square can be turned over, so that its own error cancels out.",
            '"other side"',
            each={
                "no": "it cannot",
                "other side": "it can stand against the opposite face, too",
                "end for end": "a block square, without a stock, turned upside down",
            },
        ),
        "other_side": WhatFor(
            "Where the square stands when it is turned to the other side; say left, right, front"
            " or back.",
            '"right of the blade"',
        ),
        "light_at_top": WhatFor(
            "What it means when light shows at the top. Of other methods: what an error means that"
            " is plus.",
            '"the blade leans right at the top"',
        ),
        "light_at_bottom": WhatFor(
            "What it means when light shows at the bottom. Of other methods: what an error means"
            " that is minus.",
            '"the blade leans left at the top"',
        ),
        "light_at_tip": WhatFor(
            "The same as light_at_top where the square lies flat; the tip is the free end of its"
            " blade.",
            '"the right end of the gauge is too far back"',
        ),
        "light_at_heel": WhatFor(
            "The same as light_at_bottom where the square lies flat.",
            '"the right end of the gauge is too far forward"',
        ),
        "side": WhatFor(
            "On which side of the face the datum is; left out, the words of datum tell it."
        ),
        "in_slot": WhatFor(
            "The datum is a slot, in which the base of an indicator rides; left out, the words of"
            " datum tell it."
        ),
        "tolerance": WhatFor(
            "How far off it may be, of the kind that the method measures. One value is meant either"
            ' way; a range allows what it says: "0 to 3 thou/ft" is one side only. What is best at'
            " zero, such as run-out, takes one value.",
            '"[0.1 deg|1.5 mm/m]"',
        ),
        "shows_in": WhatFor(
            "Where in the work its error shows. Projects ask for it; say it at every point whose"
            " error shows there, for what each adds adds up. Left out at what is set with the"
            " knives, each joint of that machine asks that it be known and not out.",
            '["end tilt", "edge angle"]',
            each={
                "edge angle": "an edge out of square with its face",
                "edge line": "an edge that is not straight; an angle (of two tables) or a length",
                "end angle": "a crosscut, seen from the face",
                "end tilt": "a crosscut, through the thickness",
                "mitre": "the angle of each mitre",
                "bevel": "the angle of a stave's edge",
                "length": "pieces cut to one stop; an angle (of its face) or a length",
                "thickness": "across the width of a planed board; an angle or a length",
                "resaw": "across the height of a resawn leaf; an angle or a length",
                "leg angle": "a leg's hole in its seat, off its lean",
                "hole angle": "any other round tenon's hole, off its angle",
                "hole size": "a hole larger than its bit, by run-out; a length",
                "tenon taper": "a round tenon thicker at one end",
            },
        ),
        "every": WhatFor(
            "Check again after this time, even if nothing happened; of a list, the soonest."
        ),
        "undone_by": WhatFor("What calls for a new check.", '["blade changed", "machine moved"]'),
        "rests_on": WhatFor(
            'Points that must be true first, by their ids; of another machine as "saw.blade".',
            '["rip-fence"]',
        ),
        "cutter_near": WhatFor(
            "Hands come near a cutter, so the check begins with the plug in your hand."
        ),
        "cutter_off": WhatFor(
            "It is checked with the cutter off; only where the cutter is near (cutter_near)."
            " Left out, English words of datum and face may tell it."
        ),
        "guards": WhatFor(
            "It proves what guards you: a guard, a riving knife, how soon the cutter stops. Where"
            " time is short a prep day takes it first, and for each project on its machine."
        ),
        "lock": WhatFor("What to lock after setting it.", '"the tilt lock"'),
        "sizes": WhatFor("Lengths that are the same every time, so that Enter takes them."),
        "proves": WhatFor(
            "Id of the square or straightedge of yours that this point proves: from that day"
            " it goes by what was found.",
            '"framing-square"',
        ),
        "adjuster": WhatFor("What sets the point right, if it can be set."),
        "minutes": WhatFor(
            "How long its check takes. Left out, the records tell it, or else what its method"
            " usually takes."
        ),
        "was": WhatFor(
            "The id that it had before, so that its records stay with it.", '"blade-90"'
        ),
    },
}
"""By table, and key."""
