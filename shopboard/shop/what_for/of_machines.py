"""What the keys of a machine, its points and what sets them right are for."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.what_for.of_shop import OF_SHOP
from shopboard.shop.what_for.told import Page, WhatFor

OF_MACHINES: Mapping[str, Page] = {
    "machine": {
        "": WhatFor(
            "A machine, or a bench, with what is kept true on it. A combination machine is written"
            " as one for each of its modes."
        ),
        "id": WhatFor("Short name for the command line and the records; choose it once.", '"saw"'),
        "name": WhatFor("What the board calls it.", '"Table saw"'),
        "kind": WhatFor(
            "What sort of machine it is: the safety round asks more, and a project finds where its"
            " cuts are made. Left out: not told."
        ),
        "body": WhatFor(
            "What a combination machine is called, the same words at each of its modes: what moves"
            " or knocks one of them moves or knocks them all.",
            '"five in one"',
        ),
        "change": WhatFor(
            "How long the combination machine takes to be changed over into this mode. It needs"
            " body.",
            '"10 min"',
        ),
        "point": WhatFor("One thing on the machine that must be true."),
        "task": WhatFor("Work that comes again and again: clean, wax, oil, empty."),
        "cutter": WhatFor("A blade, a band, a set of knives or a bit."),
        "safety": WhatFor("A question of your own about the machine, asked by the safety round."),
        "not_asked": WhatFor(
            "Usual questions of the safety round that have no place at this machine, by their ids.",
            '["stop-button"]',
        ),
        "was": WhatFor("The id that it had before, so that its records stay with it.", '"old-saw"'),
    },
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
            " nothing at all, such as run-out, takes one value.",
            '"[0.1 deg|1.5 mm/m]"',
        ),
        "shows_in": WhatFor(
            "Where in the work its error shows. Projects ask for it; say it at every point whose"
            " error shows there, for what each adds adds up.",
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
            },
        ),
        "every": WhatFor(
            "Check again after this time, even if nothing happened; of a list, the soonest."
        ),
        "undone_by": WhatFor("What makes a check worthless.", '["blade changed", "machine moved"]'),
        "rests_on": WhatFor(
            'Points that must be true first, by their ids; of another machine as "saw.blade".',
            '["rip-fence"]',
        ),
        "cutter_near": WhatFor(
            "Hands come near a cutter, so the check begins with the plug in your hand."
        ),
        "cutter_off": WhatFor(
            "It is checked with the cutter off; it needs cutter_near. Left out, English words of"
            " datum and face may tell it."
        ),
        "lock": WhatFor("What to lock after setting it.", '"the tilt lock"'),
        "sizes": WhatFor("Lengths that are the same every time, so that Enter takes them."),
        "proves": WhatFor(
            "Id of the drawer's square or straightedge that this point proves: from that day the"
            " drawer goes by what was found.",
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
    "machine.safety": {
        **OF_SHOP["safety"],
        "": WhatFor(
            "A question of your own about the machine above it, asked by the safety round beside"
            " the usual ones."
        ),
        "id": OF_SHOP["safety"]["id"]._replace(example='"paddle"'),
        "ask": WhatFor(
            "What to look at, or what to do first.", '"Push the paddle with your knee."'
        ),
        "wanted": WhatFor(
            "The state that it should be in; of a list, any one will do.", '"it strikes the button"'
        ),
        "others": WhatFor(
            "The other states that it can be in; nine answers in all at the most.",
            '["it is off", "it misses the button"]',
        ),
        "running": WhatFor("The machine must run for it, so it is asked last."),
    },
}
"""By table, and key."""
