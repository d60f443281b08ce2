"""Tables of the help that only the board can tell: its marks and its keys. Pure; no screen."""

from __future__ import annotations

from shopboard.base.state_words import state_word
from shopboard.board.glyphs import STATE_MARKS, TAG_MARK
from shopboard.board.keys import ARROWS, DIGITS, HELP, PAD, QUIT
from shopboard.handbook.glossary import GLOSSARY
from shopboard.handbook.tables import STATES, method_tables
from shopboard.handbook.topics import HelpRow, Tables


def help_tables() -> Tables:
    """Give every table that a text of the help names."""
    states = [
        HelpRow(f"{STATE_MARKS[one]} {state_word(one)}", words, one)
        for one, words in STATES.items()
    ]
    tagged = "tagged by hand, or its tag may be lost; until the tag is cleared"
    keys = [HelpRow(*DIGITS), *(HelpRow(key.label, key.means) for key in PAD.values())]
    keys += [HelpRow("↑ ↓ ← →", ARROWS), *(HelpRow(key.label, key.help) for key in (HELP, QUIT))]
    return {
        "states": [*states, HelpRow(f"{TAG_MARK} DO NOT USE", tagged, "danger")],
        "words": [HelpRow(word, meaning) for word, meaning in GLOSSARY.items()],
        "keys": keys,
        **method_tables(),
    }
