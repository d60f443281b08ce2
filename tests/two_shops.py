"""Two whole shops that are not the sample: one metric, one around a combination machine.

What holds of any shop is tried on them, too. In each the first machine is a saw (``saw``) whose
first point (``blade``) is checked with square and leaves, near its cutter.
"""

from __future__ import annotations

from pathlib import Path

from shopboard.base.locations import sample_path
from tests.shop_head import head, metric_head

_BLADE = """
[[machine.point]]
id = "blade"
name = "Blade at 90"
check = ["square", "flip"]
datum = "table, left of the blade"
face = "blade plate, between two teeth"
lever = "{lever}"
turn = "other side"
light_at_top = "the blade leans right at the top"
light_at_bottom = "the blade leans left at the top"
tolerance = "{tolerance}"
every = "3 months"
undone_by = ["blade changed", "machine moved"]
cutter_near = true
lock = "the tilt lock"
shows_in = ["end tilt", "edge angle"]

[machine.point.sizes]
width = "{width}"
"""

METRIC = f"""\
{metric_head("The lime kiln")}
[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "600 mm"
within = "0.02 mm"

[[drawer.indicator]]
id = "dial"
name = "Dial indicator"
reach = "10 mm"
within = "0.01 mm"

[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "150 mm"
within = "0.02 mm"

[[drawer.tape]]
id = "tape"
name = "Tape"
reach = "5000 mm"

[[machine]]
id = "saw"
name = "Sliding saw"
kind = "table saw"
{_BLADE.format(lever="90 mm", tolerance="1.5 mm/m", width="80 mm")}
[machine.point.adjuster]
kind = "screw"
name = "the stop screw"
thread = "M8x1.25"
arm = "120 mm"
clockwise = "toward"

[[machine.point]]
id = "fence"
name = "Crosscut fence"
check = "flip"
tolerance = "0.8 mm/m"
every = "6 months"
undone_by = ["knocked", "machine moved"]
rests_on = ["blade"]
cutter_near = true
shows_in = "end angle"

[machine.point.sizes]
width = "300 mm"

[[machine.point]]
id = "arbor"
name = "Arbor flange"
check = "runout"
face = "face of the flange, near its rim"
tolerance = "0.04 mm"
every = "1 year"
cutter_near = true

[[machine.cutter]]
id = "rip"
name = "Rip blade"
where = "on the machine"
state = "sharp"
lasts = "40 h"
plate = "2.2 mm"
kerf = "3.2 mm"

[[machine.cutter]]
id = "cross"
name = "Crosscut blade"
where = "on the shelf"
state = "sharp"
lasts = "25 h"
plate = "2 mm"
kerf = "3 mm"

[[machine.task]]
id = "wax"
name = "Wax the table"
every = "4 weeks"
cutter_near = true
steps = ["Wipe clean", "Wax on, wait 10 min", "Buff"]

[[machine]]
id = "planer"
name = "Thicknesser"
kind = "planer"

[[machine.point]]
id = "bed"
name = "Bed to head"
check = "thickness"
tolerance = "0.4 mm/m"
every = "6 months"
undone_by = ["knives changed", "machine moved"]
cutter_near = true
shows_in = "thickness"

[machine.point.sizes]
width = "250 mm"

[[machine]]
id = "tools"
name = "Hand tools"

[[machine.task]]
id = "hone"
name = "Hone the gouges"
every = "2 weeks"

[[project]]
id = "shelf"
name = "Wall shelf"
start = 2027-02-01

[[project.joint]]
id = "sides"
name = "Sides of three boards"
kind = "panel"
pieces = 3
width = "240 mm"
length = "900 mm"
thickness = "20 mm"
"""

COMBINATION = f"""\
{head("The tram shed")}
[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "50 in"
within = "1 thou"

[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "6 in"
within = "1 thou"

[[machine]]
id = "saw"
name = "Saw side"
kind = "table saw"
body = "five in one"
change = "3 min"
{_BLADE.format(lever="3 in", tolerance="0.15 deg", width="3 in")}
[[machine.cutter]]
id = "rip"
name = "Rip blade"
where = "on the machine"
state = "sharp"
lasts = "40 h"

[[machine]]
id = "jointer"
name = "Tables down"
kind = "jointer"
body = "five in one"
change = "8 min"

[[machine.point]]
id = "seated"
name = "Knives seated"
check = "seating"
every = "6 months"
undone_by = ["knives changed", "knives turned"]
cutter_near = true

[[machine.point]]
id = "fence"
name = "Fence at 90"
check = ["edge-pair", "square"]
datum = "outfeed table"
face = "fence face"
lever = "4 in"
tolerance = "0.1 deg"
every = "3 months"
undone_by = ["knocked", "machine moved"]
cutter_near = true
shows_in = "edge angle"

[[machine.point]]
id = "tables"
name = "Tables in one plane"
check = "coplanar"
tolerance = "4 thou/ft"
every = "1 year"
undone_by = ["machine moved"]
cutter_near = true

[[machine.point]]
id = "carry"
name = "Knives to the table"
check = "carry"
tolerance = "0 to 3 thou"
every = "3 months"
undone_by = ["knives changed", "knives turned"]
rests_on = ["seated"]
cutter_near = true

[[machine]]
id = "planer"
name = "Tables up"
kind = "planer"
body = "five in one"
change = "8 min"

[[machine.point]]
id = "bed"
name = "Bed to head"
check = "thickness"
tolerance = "4 thou/ft"
every = "6 months"
undone_by = ["knives changed", "knives turned", "machine moved"]
rests_on = ["jointer.seated"]
cutter_near = true
shows_in = "thickness"

[[machine.task]]
id = "oil"
name = "Oil the chain"
every = "3 months"

[[project]]
id = "stool"
name = "Three stools"

[[project.joint]]
id = "seat"
name = "Seat of four boards"
kind = "panel"
pieces = 4
width = "13 in"
length = "13 in"
thickness = "1 in"
"""

SHOPS = {
    "sample": sample_path().read_text(encoding="utf-8"),
    "metric": METRIC,
    "combination": COMBINATION,
}
"""Every shop that what holds of any is tried on."""


def written(name: str, folder: Path) -> Path:
    """Write the shop of that name into a folder; give its file."""
    path = folder / "shop.toml"
    path.write_text(SHOPS[name], encoding="utf-8")
    return path


NAMES = {
    "sample": "The tide mill",
    "metric": "The lime kiln",
    "combination": "The tram shed",
}
"""What the bar of the board says of each."""
