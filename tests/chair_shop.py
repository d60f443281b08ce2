"""The shop of a maker of chairs, by inches: a file as its owner would write it.

Bandsaw, lathe and drill press, a sander, and edges that are held by hand. Its kinds of cutters are
mostly in the shop's own words.
"""

from __future__ import annotations

SHOP = """\
[shop]
name = "The old dairy"
unit = "inch"
money = "dollars"

[[drawer.square]]
id = "square-6"
name = "Try square, 6 inches"
length = "6 in"
grade = "1"

[[drawer.feeler]]
id = "leaves"
name = "Feeler leaves"
leaves = [
    ".0015 in", ".002 in", ".003 in", ".004 in", ".006 in", ".008 in", ".010 in", ".015 in",
    ".020 in", ".030 in",
]

[[drawer.calliper]]
id = "calliper"
name = "Dial calliper"
reach = "6 in"
within = "1 thou"

[[drawer.indicator]]
id = "dial"
name = "Dial indicator"
reach = "1 in"
within = "0.5 thou"

[[machine]]
id = "bandsaw"
name = "Bandsaw"
kind = "bandsaw"

[[machine.point]]
id = "table"
name = "Table to the band"
check = "square"
datum = "table, left of the band"
face = "band, between two teeth"
lever = "5 in"
light_at_top = "the band leans right at the top"
light_at_bottom = "the band leans left at the top"
tolerance = "0.2 deg"
every = "3 months"
undone_by = ["blade changed", "knocked", "machine moved"]
cutter_near = true
lock = "the trunnion knob"

[[machine.cutter]]
id = "resaw"
name = "Wide band"
kind = "band"
where = "on the machine"
state = "sharp"
lasts = "12 hours"

[[machine.cutter]]
id = "seat-band"
name = "Narrow band for seats"
kind = "band"
where = "on the shelf"
state = "sharp"
spare_for = "resaw"

[[machine]]
id = "lathe"
name = "Lathe"
kind = "lathe"

[[machine.point]]
id = "centres"
name = "Centres meet"
check = "centres"
tolerance = "1/32 in"
every = "6 months"
undone_by = ["knocked", "machine moved"]
cutter_near = true
lock = "the tailstock lever"

[[machine.point]]
id = "tenons"
name = "Tenons come off straight"
check = "taper"
tolerance = "0.2 deg"
every = "6 months"
shows_in = "tenon taper"
sizes = { length = "2 in", span = "16 in" }

[[machine.point]]
id = "gauge"
name = "Tenon gauge"
check = "go-no-go"
face = "a tenon that just squeaks goes into the gauge block"
every = "1 month"
shows_in = "tenon taper"

[[machine.point]]
id = "bed"
name = "Bed without wind"
check = "wind"
tolerance = "0.15 deg"
every = "1 year"
undone_by = "machine moved"
cutter_near = true
sizes = { width = "7 in" }

[[machine.cutter]]
id = "roughing"
name = "Roughing gouge"
kind = "gouge"
like = "hand tool"
where = "on the machine"
state = "sharp"
lasts = "4 hours"
sharpenings = 200

[[machine.cutter]]
id = "spindle"
name = "Spindle gouge, 3/8 in"
kind = "gouge"
like = "hand tool"
where = "on the machine"
state = "dull"
lasts = "3 hours"

[[machine.task]]
id = "ways"
name = "Wax the ways"
every = "4 weeks"
leaves = "wax"
cutter_near = true
minutes = "10 min"

[[machine]]
id = "drill"
name = "Drill press"
kind = "drill press"

[[machine.point]]
id = "chuck"
name = "Bit runs true"
check = "runout"
face = "bit, just above its flutes"
tolerance = "6 thou"
every = "1 year"
undone_by = "knocked"
cutter_near = true
shows_in = "hole size"

[[machine.point]]
id = "table"
name = "Table drills square"
check = ["drilled-angle", "tram"]
face = "a drill rod"
tolerance = "1 deg"
every = "6 months"
undone_by = ["knocked", "machine moved"]
rests_on = "chuck"
shows_in = "hole angle"
sizes = { thickness = "1 1/2 in", length = "5 in", radius = "4 in" }

[[machine.point]]
id = "leg-jig"
name = "Leg jig, along the line of sight"
check = "drilled-angle"
datum = "the tall end of the jig"
tolerance = "1 deg"
every = "1 year"
undone_by = ["knocked", "stop re-set"]
rests_on = "chuck"
shows_in = "leg angle"
sizes = { thickness = "1 1/2 in", length = "5 in" }

[machine.point.adjuster]
kind = "shim"
span = "10 in"
toward_seat = "the tall end of the jig"
away_seat = "the low end of the jig"

[[machine.cutter]]
id = "leg-bit"
name = "Tapered reamer"
kind = "reamer"
like = "bit"
where = "on the shelf"
state = "sharp"
lasts = "40 cuts"

[[machine]]
id = "sander"
name = "Belt sander"
kind = "sander"

[[machine.point]]
id = "table"
name = "Table to the belt"
check = "square"
datum = "table"
face = "platen, belt off"
lever = "4 in"
tolerance = "0.3 deg"
every = "1 year"
undone_by = "knocked"
cutter_near = true

[[machine.cutter]]
id = "belt"
name = "Belt, 120 grit"
kind = "abrasive belt"
like = "bit"
where = "on the machine"
state = "sharp"

[[machine]]
id = "bench"
name = "Bench and horse"

[[machine.cutter]]
id = "knife"
name = "Drawknife"
kind = "drawknife"
like = "hand tool"
where = "on the machine"
state = "sharp"
lasts = "6 hours"

[[machine.cutter]]
id = "shave"
name = "Travisher iron"
kind = "shave iron"
like = "hand tool"
where = "at the sharpener"
state = "dull"
away = "1 week"

[[machine.task]]
id = "hone"
name = "Hone the drawknife and shaves"
every = "1 project"
minutes = "30 min"
leaves = "dirt"

[[project]]
id = "settee"
name = "Side chair with turned legs"
start = 2026-12-14

[[project.joint]]
id = "legs"
name = "Legs in the seat"
kind = "leg"
count = 4
depth = "1 1/2 in"
length = "17 in"

[project.joint.fit]
aim = "1/2 in"
gap = "1/32 in"

[[project.joint]]
id = "side-stretchers"
name = "Side stretchers"
kind = "stretcher"
count = 2
height = "9 in"
depth = "1 in"
length = "13 in"

[project.joint.fit]
aim = "3/8 in"
gap = "1/32 in"

[project.joint.made_on]
length = "by hand"

[[project.joint]]
id = "spindles"
name = "Spindles of the back"
kind = "round tenon"
count = 7
depth = "3/4 in"
length = "20 in"

[project.joint.fit]
aim = "3/8 in"
gap = "1/32 in"
"""
