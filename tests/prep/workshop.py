"""A small workshop with a project, for the tests of the prep day."""

from __future__ import annotations

from tests.shop_head import head

SHOP = (
    head("The loft")
    + """
[[machine]]
id = "saw"
name = "Table saw"
kind = "table saw"

[[machine.point]]
id = "fence"
name = "Mitre fence"
check = "square"
datum = "table"
face = "fence"
lever = "4 in"
tolerance = "0.1 deg"
every = "3 months"
shows_in = "end angle"
rests_on = ["blade"]
minutes = "6 min"

[[machine.point]]
id = "blade"
name = "Blade at 90"
check = "square"
datum = "table"
face = "blade"
lever = "4 in"
tolerance = "0.1 deg"
every = "3 months"
undone_by = ["blade changed"]
shows_in = ["end tilt", "length"]
minutes = "6 min"

[machine.point.adjuster]
kind = "screw"
name = "the stop screw"
thread = "1/4-20"
arm = "18 in"
clockwise = "toward"

[[machine.task]]
id = "wax"
name = "Wax the table"
every = "4 weeks"
minutes = "9 min"
steps = ["Wipe clean", "Wax on, wait 10 min", "Buff off the haze"]

[[machine.task]]
id = "pitch"
name = "Clean the pitch off the blade"
every = "4 weeks"
minutes = "8 min"
cutter_near = true
steps = ["Blade off, into the tub", "Soak, wait 20 min", "Scrub the teeth", "Blade on, nut tight"]

[[machine.cutter]]
id = "rip"
name = "Rip blade"
where = "on the machine"
state = "sharp"
lasts = "10 hours"

[[machine.cutter]]
id = "spare"
name = "Spare rip blade"
where = "on the shelf"
state = "sharp"
spare_for = "rip"

[[machine]]
id = "jointer"
name = "Jointer"
kind = "jointer"

[[machine.point]]
id = "fence"
name = "Jointer fence"
check = "square"
datum = "table"
face = "fence"
lever = "4 in"
tolerance = "0.1 deg"
every = "3 months"
minutes = "6 min"

[[machine.task]]
id = "dust"
name = "Empty the chip bag"
every = "2 weeks"
minutes = "7 min"

[[machine]]
id = "edges"
name = "Hand tools"

[[machine.task]]
id = "hone"
name = "Hone the gouges"
every = "8 hours"
minutes = "12 min"

[[project]]
id = "chest"
name = "Blanket chest"

[[project.joint]]
id = "box"
name = "Box"
kind = "carcase"
width = "18 in"
height = "16 in"
depth = "4 in"
thickness = "3/4 in"

[project.joint.fit]
gap = "40 thou"
square = "1/8 in"
length = "1/8 in"
"""
)
