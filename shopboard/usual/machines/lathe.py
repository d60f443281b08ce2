"""What is usual on a lathe: common practice, no source."""

from __future__ import annotations

from shopboard.usual.parts import UsualMachine, cutter, point, task

MACHINE = UsualMachine(
    "lathe",
    "lathe",
    "Lathe",
    points=(
        point(
            "spindle",
            "Spindle runs true",
            "runout",
            ("[3 thou|0.08 mm]", "[2 thou|0.05 mm]", "[1 thou|0.03 mm]"),
            face="inside of the spindle's taper, wiped clean",
            every="1 year",
            undone_by=["knocked", "belt changed"],
            cutter_near=True,
        ),
        point(
            "bed",
            "Bed free of wind",
            "wind",
            ("0.3 deg", "0.2 deg", "0.15 deg"),
            common=False,
            every="1 year",
            undone_by=["machine moved"],
            cutter_near=True,
            sizes={"width": "[6 in|150 mm]"},
        ),
        point(
            "centres",
            "Centres meet",
            "centres",
            ("[40 thou|1 mm]", "[20 thou|0.5 mm]", "[12 thou|0.3 mm]"),
            every="6 months",
            undone_by=["knocked", "machine moved"],
            rests_on=["spindle", "bed"],
            cutter_near=True,
            lock="the tailstock clamp",
        ),
        point(
            "tenons",
            "Tenons come off parallel",
            "taper",
            ("0.4 deg", "0.2 deg", "0.1 deg"),
            common=False,
            every="6 months",
            cutter_near=True,
            shows_in="tenon taper",
            sizes={"length": "[2 in|50 mm]"},
        ),
        point(
            "rest",
            "Tool rest smooth and straight",
            "go-no-go",
            face="top edge of the tool rest: nicks, hollows",
            every="2 months",
            cutter_near=True,
        ),
    ),
    tasks=(
        task(
            "ways",
            "Clean and wax the ways",
            "15 min",
            every=["4 weeks", "20 hours"],
            cutter_near=True,
            leaves="wax",
            steps=["Wipe the ways clean", "Thin coat of wax, wait 10 min", "Buff off the haze"],
        ),
        task(
            "rest",
            "File the tool rest smooth",
            "5 min",
            every="20 hours",
            cutter_near=True,
            leaves="dirt",
        ),
        task(
            "tapers",
            "Wipe out both tapers",
            "5 min",
            every="2 months",
            cutter_near=True,
            leaves="dirt",
        ),
    ),
    cutters=(
        cutter("roughing-gouge", "Roughing gouge", "gouge", like="hand tool", lasts="4 hours"),
        cutter("spindle-gouge", "Spindle gouge", "gouge", like="hand tool", lasts="3 hours"),
        cutter("skew", "Skew chisel", "skew", like="hand tool", lasts="2 hours", common=False),
        cutter("parting", "Parting tool", "parting tool", like="hand tool", common=False),
    ),
)
