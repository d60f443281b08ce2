"""What the keys of the drawer and its tools are for."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.what_for.told import Page, WhatFor

_TOOL_ID = WhatFor(
    "Short name of the tool for the command line and the records; choose it once.",
    '"square-6"',
)
_WAS = WhatFor("The id that it had before, so that its records stay with it.", '"old-square"')


OF_DRAWER: Mapping[str, Page] = {
    "drawer": {
        "": WhatFor("The tools that measure. Of two of a kind a check takes the better one."),
        "square": WhatFor("A square. What it may be off by is known by one of three things."),
        "feeler": WhatFor("A set of feeler leaves."),
        "shims": WhatFor("Shim stock, to pack out a part that is not square."),
        "straightedge": WhatFor("A straightedge."),
        "indicator": WhatFor("A dial or lever indicator."),
        "calliper": WhatFor("A calliper."),
        "tape": WhatFor("A tape."),
    },
    "drawer.square": {
        "": WhatFor("A square. What it may be off by is known by one of three things."),
        "id": _TOOL_ID,
        "name": WhatFor("What the board calls it.", '"Machinist\'s square"'),
        "length": WhatFor(
            "Length of its blade: no longer reach can be felt with it.", '"[6 in|150 mm]"'
        ),
        "grade": WhatFor(
            "It is made to DIN 875-1; the program works out what that grade allows.", '"0"'
        ),
        "within": WhatFor(
            "What its maker promises, either way.", '"[1 thou over 6 in|0.03 mm over 150 mm]"'
        ),
        "certified": WhatFor(
            "What a calibration found. Plus: it shows light at the top against a face that is"
            " true.",
            '"[0.1 thou/ft|0.01 mm/m]"',
        ),
        "certified_to": WhatFor(
            "How well that is known: the uncertainty that the certificate gives, k = 2.",
            '"[0.2 thou/ft|0.02 mm/m]"',
        ),
        "was": _WAS,
    },
    "drawer.feeler": {
        "": WhatFor("A set of feeler leaves."),
        "id": _TOOL_ID._replace(example='"leaves"'),
        "name": WhatFor("What the board calls it.", '"Feeler set, 26 leaves"'),
        "leaves": WhatFor(
            "How thick each leaf is, as it is marked.",
            '[[".002 in", ".003 in", ".004 in"|"0.05 mm", "0.08 mm", "0.1 mm"]]',
        ),
        "leaf_tolerance": WhatFor(
            "How far a leaf may be off what is marked on it.", '"0.003 mm"', left_out='"0.003 mm"'
        ),
        "most_leaves": WhatFor(
            "How many may be put together in one stack; each one more adds its own tolerance.",
            left_out="2",
        ),
        "was": _WAS._replace(example='"old-leaves"'),
    },
    "drawer.shims": {
        "": WhatFor("Shim stock, to pack out a part that is not square."),
        "id": _TOOL_ID._replace(example='"shim-stock"'),
        "name": WhatFor("What the board calls it.", '"Brass shim stock"'),
        "thicknesses": WhatFor(
            "How thick the sheets are.", '[["2 thou", "5 thou"|"0.05 mm", "0.1 mm"]]'
        ),
    },
    "drawer.straightedge": {
        "": WhatFor("A straightedge."),
        "id": _TOOL_ID._replace(example='"straightedge"'),
        "name": WhatFor("What the board calls it.", '"Long straightedge"'),
        "reach": WhatFor("How long it is.", '"[50 in|1250 mm]"'),
        "within": WhatFor(
            "How far it may be off a straight line, either way.", '"[2 thou|0.05 mm]"'
        ),
        "was": _WAS._replace(example='"old-edge"'),
    },
    "drawer.indicator": {
        "": WhatFor("A dial or lever indicator."),
        "id": _TOOL_ID._replace(example='"indicator"'),
        "name": WhatFor("What the board calls it.", '"Dial indicator on a block"'),
        "reach": WhatFor("Its travel.", '"[1 in|10 mm]"'),
        "within": WhatFor(
            "How far it may be off, either way, within one turn of its dial.",
            '"[0.5 thou|0.01 mm]"',
        ),
        "was": _WAS._replace(example='"old-dial"'),
    },
    "drawer.calliper": {
        "": WhatFor("A calliper."),
        "id": _TOOL_ID._replace(example='"calliper"'),
        "name": WhatFor("What the board calls it.", '"Dial calliper"'),
        "reach": WhatFor("How far it opens.", '"[6 in|150 mm]"'),
        "within": WhatFor("How far it may be off, either way.", '"[1 thou|0.02 mm]"'),
        "was": _WAS._replace(example='"old-calliper"'),
    },
    "drawer.tape": {
        "": WhatFor("A tape. A rule is at hand in any shop; a tape says how long it can read."),
        "id": _TOOL_ID._replace(example='"tape"'),
        "name": WhatFor("What the board calls it.", '"Tape"'),
        "reach": WhatFor("How long it is.", '"[16 ft|5 m]"'),
        "was": _WAS._replace(example='"old-tape"'),
    },
}
"""By table, and key."""
