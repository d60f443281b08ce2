"""What the keys of tasks, their steps and cutters are for."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.what_for.told import Page, WhatFor

_ID = WhatFor("Short name for the command line and the records; choose it once.")
_WAS = WhatFor("The id that it had before, so that its records stay with it.")

OF_UPKEEP: Mapping[str, Page] = {
    "machine.task": {
        "": WhatFor(
            "Work on a machine that comes again and again, such as cleaning, wax and oil. Without"
            " every and after it is done when needed."
        ),
        "id": _ID._replace(example='"wax-table"'),
        "name": WhatFor("What the board calls it.", '"Clean and wax the table"'),
        "every": WhatFor(
            "When it is due again; of a list, whichever comes first. Hours and projects are told"
            " to the board as what happened.",
            '["4 weeks", "40 hours"]',
        ),
        "after": WhatFor("What makes it due at once.", '"blade changed"'),
        "steps": WhatFor(
            'What is done one after the other, a step a screen. One that ends in "wait 10 min"'
            " counts the time down and rings. Left out: it is done in one go.",
            '["Wipe it clean", "Wax on, wait 10 min", "Buff off the haze"]',
        ),
        "each": WhatFor(
            "What of a set it is done with, one after the other: its steps are asked for each by"
            " name, and those done stay done.",
            '["[1/4 in|6 mm] chisel", "[1/2 in|12 mm] chisel"]',
        ),
        "cutter_near": WhatFor(
            "Hands come near a cutter, so it begins with the plug in your hand."
        ),
        "cleans": WhatFor(
            "It cleans the cutter that is on the machine, such as pitch off a blade: a dirty one is"
            " clean once it is done, and is not cleaned a second time on a prep day."
        ),
        "guards": WhatFor(
            "It sees to what guards you, such as guard and cord: where time is short a prep day"
            " takes it first."
        ),
        "leaves": WhatFor(
            "What it leaves on the machine. Left out, English words of its steps may tell it.",
            '"wax"',
            each={
                "nothing": "nothing that matters to other tasks",
                "dirt": "dirt, or wet: done before what wants a clean machine",
                "wax": "wax, oil or another coat: done on a clean machine, and nothing that leaves"
                " dirt comes between its steps or after it",
            },
        ),
        "undoes": WhatFor(
            "Tasks of this machine whose work it undoes, as grinding undoes honing: it is done"
            " before them. Left out, English words of their names may tell it.",
            '["hone"]',
        ),
        "before": WhatFor(
            "Tasks that come after it on a prep day, and cutters that are changed after it, by"
            ' their ids; of another machine, or another mode of this one, as "planer.wax".',
            '["wax-table"]',
        ),
        "minutes": WhatFor(
            "How long one has to work at it, waits not counted; of a set, at all of it.",
            '"15 min"',
        ),
        "was": _WAS._replace(example='"old-task"'),
    },
    "machine.task.steps": {
        "": WhatFor(
            'A step that says more than its words, in braces: { do = "Blade off", cutter = "off" }.'
        ),
        "do": WhatFor("What is done.", '"Blade off, flat on a tray"'),
        "wait": WhatFor(
            "How long it is left alone then; a clock counts it down.", left_out='"0 min"'
        ),
        "at_most": WhatFor(
            "How long it may be left alone at the longest, as solvent that dries on. The prep day"
            " never leaves it longer, whatever minutes that costs. Left out, a wait may be planned"
            " longer by half of it, or by 10 min; where it must be by more, the plan says so.",
            '"20 min"',
        ),
        "may_end_alone": WhatFor(
            "Whether the wait may end when nobody is in the shop, as that of glue or of a bath"
            " overnight. Left out, the prep day begins it only when somebody will be there at its"
            " end.",
            "true",
            left_out="false",
        ),
        "cutter": WhatFor(
            "What becomes of the cutter.",
            '"off"',
            each={
                "stays": "it stays where it is",
                "off": "it comes off the machine",
                "on": "it is on the machine again",
            },
        ),
        "leaves": WhatFor(
            "What this step leaves on the machine, where that is not what the whole task does:"
            " scouring, ahead of the wax.",
            '"dirt"',
            each={
                "nothing": "nothing that matters to other tasks",
                "dirt": "dirt, or wet: done before what wants a clean machine",
                "wax": "wax, oil or another coat: done on a clean machine",
            },
        ),
        "off_machine": WhatFor(
            "Done off the machine, as a bath in a tray: the machine is checked meanwhile, unless"
            " its cutter is out, and a combination machine may be in another mode."
        ),
    },
    "machine.cutter": {
        "": WhatFor(
            "A cutter of the machine above it, as it was when this was written. From its first"
            " record on, the board goes by the records."
        ),
        "id": _ID._replace(example='"rip-24"'),
        "name": WhatFor("What the board calls it.", '"Rip blade, 24 teeth"'),
        "where": WhatFor("Where it is."),
        "state": WhatFor("How its edge is."),
        "kind": WhatFor(
            "What sort of cutter it is. Of each kind but hand tools one is on the machine at a"
            ' time. Putting on a blade or a band is "blade changed", knives "knives changed"; a bit'
            " or a hand tool undoes no check."
        ),
        "like": WhatFor(
            "How a cutter of a kind in your own words is changed: what putting it on undoes goes by"
            " that.",
            '"hand tool"',
        ),
        "edges": WhatFor("How many edges knives can be turned to.", "2", left_out="1"),
        "pieces": WhatFor(
            "How many knives a set has: they are turned or put on one by one, and those done stay"
            " done. Left out: in one go.",
            "4",
            left_out="1",
        ),
        "edge": WhatFor("The edge in use, from 1.", "1", left_out="1"),
        "plate": WhatFor(
            "How thick the plate of a blade is; the safety walk asks for the riving knife by it.",
            '"2.2 mm"',
        ),
        "kerf": WhatFor(
            "How wide it cuts, which is more than its plate; the safety walk asks for the riving"
            " knife by it.",
            '"3.2 mm"',
        ),
        "lasts": WhatFor(
            "How long an edge stays sharp, by what you can tell. Found dull twice, the records say"
            " it instead."
        ),
        "sharpenings": WhatFor(
            "How often it can still be sharpened; 0: it is thrown away. Left out: not known.", "6"
        ),
        "cost": WhatFor(
            "What a sharpening costs, or a new one where it is thrown away, in the shop's money."
        ),
        "away": WhatFor(
            "How long it is away to be sharpened, or how long a new one takes to come.",
            '"10 days"',
        ),
        "spare_for": WhatFor(
            "The cutter of this machine whose work it can do, too: while one of them is away, the"
            " other one cuts.",
            '"rip-24"',
        ),
        "serves": WhatFor(
            "On a combination machine, the other modes that it cuts in, by their ids; it is written"
            " once.",
            '["planer"]',
        ),
        "leaves": WhatFor(
            "What changing it leaves on the machine. Left out: knives leave dirt, for the head is"
            " cleaned; others nothing.",
            '"dirt"',
            each={
                "nothing": "nothing that matters to tasks",
                "dirt": "dirt, or wet: it is changed before wax and oil",
            },
        ),
        "before": WhatFor(
            "Tasks that come after its change on a prep day, by their ids; of another machine, or"
            ' another mode of this one, as "planer.wax".',
            '["wax-table"]',
        ),
        "was": _WAS._replace(example='"old-blade"'),
    },
}
"""By table, and key."""
