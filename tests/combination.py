"""A metric shop with a combination machine, whose one head planes in two modes."""

from __future__ import annotations

SERVES = 'serves = "thick"\n'

_HEAD = """\
[shop]
name = "The tram depot"
unit = "mm"

[[drawer.square]]
id = "square"
name = "Square"
length = "100 mm"
grade = "0"

[[drawer.feeler]]
id = "leaves"
name = "Leaves"
leaves = [0.04, 0.05, 0.06, 0.08, 0.1, 0.15, 0.2, 0.3, 0.5]
leaf_tolerance = "0.003 mm"
most_leaves = 2
"""


def machine(ident: str, name: str, kind: str) -> str:
    """Give the head of a mode of the combination machine."""
    return f"""
[[machine]]
id = "{ident}"
name = "{name}"
kind = "{kind}"
body = "combination"
change = "5 min"
"""


def point(ident: str, more: str) -> str:
    """Give a point that a square proves."""
    return f"""
[[machine.point]]
id = "{ident}"
name = "{ident.capitalize()}"
check = "square"
datum = "table"
face = "{ident}"
lever = "80 mm"
tolerance = "2 mm/m"
minutes = "6 min"
{more}
"""


def cutter(ident: str, kind: str, more: str) -> str:
    """Give a cutter that lasts 20 hours."""
    return f"""
[[machine.cutter]]
id = "{ident}"
name = "The {ident}"
kind = "{kind}"
state = "sharp"
lasts = "20 hours"
{more}
"""


TURNED = 'undone_by = ["knives changed", "knives turned"]'
SAW = machine("saw", "Sawing", "table saw") + point("blade", 'undone_by = ["blade changed"]')
BLADE = cutter("universal", "blade", 'where = "on the machine"')
TOP = machine("top", "Surfacing", "jointer") + point(
    "seat", f'{TURNED}\nshows_in = "edge angle"\ncutter_near = true'
)
KNIVES = cutter("head", "knives", 'edges = 2\nwhere = "on the machine"\n' + SERVES)
THICK = (
    machine("thick", "Thicknessing", "planer")
    + point("bed", f'{TURNED}\nshows_in = "thickness"')
    + """
[[machine.task]]
id = "rollers"
name = "Wipe the rollers"
after = ["knives turned"]
minutes = "4 min"
"""
)
SHOP = _HEAD + SAW + BLADE + TOP + KNIVES + THICK
LAST_HOME = _HEAD + SAW + BLADE + THICK + TOP + KNIVES
"""The same with the head in the last mode of the file."""
TWO_HEADS = SHOP.replace(SERVES, "")
"""The same as it was written before a cutter could say what it serves."""
