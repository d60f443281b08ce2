"""The words of screens, help and paper: one for each thing. The states have a table of their own.

`tests/test_glossary.py` holds every text of the program to them.
"""

from __future__ import annotations

GLOSSARY = {
    "point": "one thing on a machine that must be true, such as the fence square to the table",
    "error": "how far a point is from where it should be",
    "tolerance": "how far it may be, as the shop file says",
    "±": "how well the error is known: the true one lies that near it, 95 times of 100",
    "leaf": "a feeler leaf; a stack is two or three together",
    "goes, won't go": "the thickest that went in, the thinnest that would not; the gap is between",
    "reach": "how far from the corner the leaf or the dial reads",
    "as found, as left": "a result before anything was set, and after",
    "depends on": "is measured from another point, which must be true first",
    "check again after": "what upsets a point: a blade changed, a knock, the machine moved",
    "creep": "what a point moves by itself, to and fro",
    "drift": "what it moves by itself, one way",
    "tools": "the squares, leaves, indicators and the rest that the shop measures with",
    "hand": "what your own readings repeat to, learnt from readings taken twice",
    "cutter": "a blade, a set of knives, a bit",
    "in progress": "begun and not finished; it goes on where it was left",
    "prep day": "all that is due, in the shortest order, before the next project",
    "stays open": "what no work of the prep day settles, told with what would",
    "gap": "how far a joint stands open",
    "GO, HOLD": "whether a joint fits as the machines stand; it says nothing of safety",
    "daily safety walk": "plug, cutter, guard, push stick, stop button, way out, looked at",
    "DO NOT USE": "tagged by hand, on every screen, until the tag is cleared with a reason",
    "withdraw": "mark as a mistake what was recorded; it stays readable",
    "shop file": "what is in the shop: machines, points, tools, projects",
    "journal": "what happened, entry by entry; nothing in it is ever lost or edited",
}
"""Each word, and what it means; at most 25."""
