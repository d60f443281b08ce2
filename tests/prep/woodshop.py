"""A small shop with two projects: what the tests of needs and answers are asked about."""

from __future__ import annotations

from tests.shop_head import head

SHOP = (
    head("The old forge")
    + """
[[machine]]
id = "saw"
name = "Table saw"
kind = "table saw"

[[machine.point]]
id = "table"
name = "Wing level"
check = "square"
datum = "table"
face = "wing"
lever = "6 in"
tolerance = "0.1 deg"

[[machine.point]]
id = "blade"
name = "Blade at 90"
check = "square"
datum = "table"
face = "blade plate"
lever = "6 in"
tolerance = "0.1 deg"
every = "8 weeks"
undone_by = ["blade changed"]
rests_on = ["table"]
cutter_near = true
shows_in = "end tilt"
minutes = "7 min"

[[machine.point]]
id = "gauge"
name = "Mitre gauge at 90"
check = "square"
datum = "mitre bar"
face = "gauge face"
lever = "6 in"
tolerance = "0.1 deg"
undone_by = ["knocked"]
shows_in = ["end angle", "length"]
minutes = "9 min"

[[machine.point]]
id = "stop-45"
name = "Mitre stop at 45"
check = "square"
datum = "mitre bar"
face = "gauge face"
lever = "6 in"
tolerance = "0.1 deg"
shows_in = "mitre"
minutes = "25 min"

[[machine]]
id = "jointer"
name = "Jointer"
kind = "jointer"

[[machine.point]]
id = "fence"
name = "Fence at 90"
check = "square"
datum = "outfeed table"
face = "fence"
lever = "4 in"
tolerance = "0.1 deg"
undone_by = ["knocked"]
shows_in = "edge angle"
minutes = "5 min"

[[machine.point]]
id = "tables"
name = "Tables in one plane"
check = "leaf-gap"
datum = "straightedge"
face = "infeed table"
lever = "4 in"
tolerance = "4 thou"
shows_in = "edge line"

[[project]]
id = "chest"
name = "Blanket chest"
start = 2026-06-20
thickness = "7/8 in"

[[project.joint]]
id = "top"
name = "Lid panel"
kind = "panel"
pieces = 5
width = "4 in"
length = "40 in"
[project.joint.fit]
gap = "1/64 in"

[[project.joint]]
id = "turned"
name = "Bottom panel"
kind = "panel"
pieces = 4
width = "5 in"
length = "40 in"
alternate = true
[project.joint.fit]
gap = "1/64 in"

[[project.joint]]
id = "lid-frame"
name = "Lid frame"
kind = "frame"
width = "3 in"
length = "40 in"
other_length = "20 in"

[[project.joint]]
id = "leaf"
name = "Veneer of the lid"
kind = "veneer"
height = "8 in"

[[project]]
id = "box"
name = "Tool box"

[[project.joint]]
id = "sides"
name = "Box sides"
kind = "carcase"
width = "16 in"
height = "8 in"
depth = "6 in"
thickness = "1/2 in"
"""
)
