"""A small workshop with tasks, chains and a bench of hand tools, for the board's tests."""

from __future__ import annotations

from tests.shop_head import head

SHOP = (
    head("The loft")
    + """
[[machine]]
id = "saw"
name = "Saw"

[[machine.point]]
id = "stop"
name = "Stop"
check = "square"
datum = "fence"
face = "stop"
lever = "4 in"
tolerance = "0.1 deg"
rests_on = ["fence"]

[[machine.point]]
id = "fence"
name = "Fence"
check = "square"
datum = "table"
face = "fence"
lever = "4 in"
tolerance = "0.1 deg"
undone_by = ["knocked"]
rests_on = ["table"]

[[machine.point]]
id = "table"
name = "Table"
check = "square"
datum = "table"
face = "wing"
lever = "4 in"
tolerance = "0.1 deg"
undone_by = ["machine moved"]

[[machine.task]]
id = "clean"
name = "Clean the blade"
every = ["4 weeks", "20 hours"]
after = "blade changed"
cutter_near = true
steps = ["Spray", "Soak, wait 10 min", "Scrub the teeth", "Wipe dry"]

[[machine.task]]
id = "dust"
name = "Empty the dust box"
every = ["2 weeks", "1 project"]

[[machine.task]]
id = "guard"
name = "Look over the guard"
cutter_near = true

[[machine]]
id = "edges"
name = "Hand tools"

[[machine.task]]
id = "hone"
name = "Hone the gouges"
every = ["4 weeks", "8 hours"]
"""
)
