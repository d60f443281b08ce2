"""What the keys of the shop as a whole are for, and those of its own safety questions."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.default_safety import usual_of_shop
from shopboard.shop.what_for.told import Page, WhatFor

OF_SHOP: Mapping[str, Page] = {
    "": {
        "": WhatFor("The file as a whole: what stands in the shop, and what measures it."),
        "shop": WhatFor("What holds for the shop as a whole."),
        "drawer": WhatFor("The tools that measure."),
        "gauge": WhatFor("A gauge that sends its readings over a serial line."),
        "machine": WhatFor("A machine, or a bench, with what is kept true on it."),
        "safety": WhatFor("A question of your own about the shop, asked by the safety walk."),
        "project": WhatFor("Something that will be made."),
    },
    "shop": {
        "": WhatFor("What holds for the shop as a whole."),
        "name": WhatFor("What the board calls the shop.", '"The old boathouse"'),
        "unit": WhatFor("What a bare number means, and what the screen shows."),
        "money": WhatFor("What costs are counted in: a word or a sign.", '"euros"'),
        "proof": WhatFor(
            "How sure a check must be before it says true.", '"95 %"', left_out='"95 %"'
        ),
        "risk": WhatFor(
            "How likely a point that creeps or drifts may be out before it is due. It counts as"
            " no less than what proof leaves open.",
            '"5 %"',
            left_out='"5 %"',
        ),
        "hours": WhatFor(
            "When somebody is in the shop. Prep days are planned into these hours, and no wait"
            " ends outside of them unless its step may_end_alone. A line without days holds for"
            " all that no other line names; on a day with no hours the shop is closed.",
            '["Mon to Fri 8:00 to 12:00 and 13:00 to 17:00", "Sat 9:00 to 12:00"]',
        ),
        "not_asked": WhatFor(
            "Usual questions of the safety walk that have no place in this shop, by their ids.",
            '["oily-rags"]',
            each={one.id: one.ask for one in usual_of_shop()},
        ),
        "projects": WhatFor(
            "Files beside this one, or in a folder beside it, that hold [[project]] and what"
            " belongs to it, nothing else.",
            '["bookcase.toml", "winter/stool.toml"]',
        ),
        "copies": WhatFor(
            "Folder for the copies of the journal that are made while the board is open. It must"
            " be there. Left out: a folder beside the journal.",
            '"/media/stick/shopboard"',
        ),
        "tags_off_by": WhatFor(
            "The benches, by their names (`shopboard who`), that may take a DO NOT USE tag off."
            " Any bench may put one on. Left out, any may take it off, too.",
            '["bench 1", "office"]',
        ),
        "bell": WhatFor(
            "Whether the board rings: at a key that does nothing, when something could not be"
            " recorded, and when a wait is over. false keeps it quiet; all of it is shown, too.",
            "false",
            left_out="true",
        ),
        "colours": WhatFor(
            "Colours of the board, where those that it chooses by itself do not suit the terminal:"
            " dark or light paper, the terminal's own 16, or none, by weights and marks alone."
            " Left out, it is what the terminal tells.",
            '"light"',
        ),
    },
    "gauge": {
        "": WhatFor(
            "A gauge that sends its readings over a serial line; one that types needs none."
        ),
        "id": WhatFor("Its short name.", '"dial"'),
        "name": WhatFor("What stands beside the field.", '"Dial"'),
        "port": WhatFor("Where it is plugged in: a path such as /dev/ttyUSB0, or COM3.", '"COM3"'),
        "speed": WhatFor("How fast it sends, in bits a second.", "9600", left_out="9600"),
        "form": WhatFor(
            "How its lines look: {number} is the reading, {unit} its unit if one is sent, *"
            " anything that is no part of them; all other signs stand for themselves.",
            '"{number} {unit}"',
            left_out='"{number} {unit}"',
        ),
        "unit": WhatFor(
            "What a number is in that no unit stands behind; left out: the shop's.", '"mm"'
        ),
        "sends": WhatFor(
            "Whether its readings go by and Enter takes the one that is shown, or it sends one"
            " when its button is pressed, which is taken at once.",
            '"on its button"',
            left_out='"always"',
        ),
        "ask": WhatFor(
            "What it wants to be sent, with a line end, before it tells a reading.", '"R"'
        ),
    },
    "safety": {
        "": WhatFor(
            "A question of your own about the shop, asked by the safety walk beside the usual ones."
        ),
        "id": WhatFor(
            "What is looked at; with the id of a usual question (`shopboard explain not_asked`"
            " lists them) it takes that one's place.",
            '"back-door"',
        ),
        "ask": WhatFor("What to look at, or what to do first.", '"Try the door from inside."'),
        "wanted": WhatFor(
            "The state that it should be in; of a list, any one will do.", '"it opens"'
        ),
        "others": WhatFor(
            "The other states that it can be in; nine answers in all at the most.",
            '["it sticks", "boards lean against it"]',
        ),
    },
}
"""By table, and key."""
