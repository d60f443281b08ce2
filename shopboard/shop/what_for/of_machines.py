"""What the keys of a machine and of its own safety questions are for."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.default_safety import where_usual
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
        "short": WhatFor(
            "What the board calls it in large letters. Left out: made of its name.", '"SAW"'
        ),
        "kind": WhatFor(
            "What sort of machine it is: the safety walk asks more, and a project finds where its"
            " cuts are made. Left out: not told."
        ),
        "body": WhatFor(
            "What a combination machine is called, the same words at each of its modes: what moves"
            " or knocks one of them moves or knocks them all.",
            '"five in one"',
        ),
        "change": WhatFor(
            "How long the combination machine takes to be changed over into this mode; only beside"
            " what that machine is called (body).",
            '"10 min"',
        ),
        "point": WhatFor("One thing on the machine that must be true."),
        "task": WhatFor("Work that comes again and again: clean, wax, oil, empty."),
        "cutter": WhatFor("A blade, a band, a set of knives or a bit."),
        "safety": WhatFor("A question of your own about the machine, asked by the safety walk."),
        "not_asked": WhatFor(
            "Usual questions of the safety walk that have no place at this machine, by their ids.",
            '["stop-button"]',
            each=where_usual(),
        ),
        "was": WhatFor("The id that it had before, so that its records stay with it.", '"old-saw"'),
    },
    "machine.safety": {
        **OF_SHOP["safety"],
        "": WhatFor(
            "A question of your own about the machine above it, asked by the safety walk beside"
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
