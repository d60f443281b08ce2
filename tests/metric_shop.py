"""A metric shop with a little of everything: the file of a shop in a former net loft."""

from __future__ import annotations

from tests.shop_head import metric_head

_DRAWER = """
[[drawer.indicator]]
id = "dial"
name = "Dial indicator"
reach = "10 mm"
within = "0.01 mm"

[[drawer.straightedge]]
id = "edge"
name = "Straightedge, 1 m"
reach = "1000 mm"
within = "0.03 mm"

[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "150 mm"
within = "0.03 mm"
"""

_SAW = """
[[safety]]
id = "floor"
ask = "How is the floor?"
wanted = "dry and swept"
others = ["wet", "full of chips"]

[[machine]]
id = "saw"
name = "Sliding saw"
kind = "table saw"

[[machine.point]]
id = "blade"
name = "Blade at 90"
check = ["square", "flip"]
datum = "table"
face = "blade plate"
lever = "70 mm"
turn = "other side"
light_at_top = "the blade leans out"
light_at_bottom = "the blade leans in"
tolerance = "0.1 deg"
undone_by = ["blade changed", "machine moved"]
every = "3 months"
cutter_near = true
lock = "the tilt lock"
shows_in = "end tilt"
minutes = "8 min"

[machine.point.adjuster]
kind = "screw"
name = "the stop screw"
thread = "M8"
arm = "250 mm"
clockwise = "toward"

[[machine.point]]
id = "fence"
name = "Crosscut fence at 90"
check = "five-cut"
tolerance = "0.5 mm/m"
undone_by = ["knocked"]
rests_on = ["blade"]
shows_in = ["end angle", "length"]

[[machine.task]]
id = "slide"
name = "Clean the slide"
every = ["4 weeks", "20 hours"]
steps = ["Brush the rails", "Oil, wait 10 min", "Wipe dry"]

[[machine.cutter]]
id = "rip"
name = "Rip blade, 24 teeth"
kind = "blade"
where = "on the machine"
state = "sharp"
lasts = "40 hours"

[[machine.cutter]]
id = "cross"
name = "Crosscut blade, 60 teeth"
kind = "blade"
where = "on the shelf"
state = "sharp"
lasts = "40 hours"
"""

_REST = """
[[machine]]
id = "drill"
name = "Pillar drill"
kind = "drill press"

[[machine.point]]
id = "table"
name = "Table to the spindle"
check = "tram"
tolerance = "0.1 mm over 200 mm"
undone_by = ["knocked"]
[machine.point.sizes]
radius = "100 mm"

[[machine.point]]
id = "chuck"
name = "Chuck runs true"
check = "runout"
tolerance = "0.1 mm"

[[machine.point]]
id = "brake"
name = "Stops in time"
check = "timed"
tolerance = "0 to 10 s"

[[machine]]
id = "bench"
name = "Bench"

[[machine.point]]
id = "top"
name = "Top, flat"
check = "flatness"
tolerance = "0.4 mm"

[[machine.point]]
id = "vice"
name = "Vice closes even"
check = "go-no-go"

[[machine.point]]
id = "words"
name = "What there is to note"
check = "note"

[[machine.task]]
id = "hone"
name = "Hone the gouges"
every = ["4 weeks", "8 hours"]

[[project]]
id = "trestle"
name = "Trestle table"
thickness = "22 mm"

[[project.joint]]
id = "top"
name = "Table top"
kind = "carcase"
width = "400 mm"
height = "200 mm"
depth = "150 mm"
"""

SHOP = metric_head("The net loft") + _DRAWER + _SAW + _REST
