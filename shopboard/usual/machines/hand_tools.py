"""What is usual of hand tools and the bench: common practice, no source."""

from __future__ import annotations

from shopboard.usual.parts import UsualMachine, cutter, point, task

MACHINE = UsualMachine(
    "hand tools",
    "hand-tools",
    "Hand tools",
    points=(
        point(
            "shooting-board",
            "Shooting board fence",
            "square",
            ("0.15 deg", "0.1 deg", "0.05 deg"),
            common=False,
            lies="flat",
            datum="edge that the plane runs along",
            face="shooting board fence",
            lever="[5 in|125 mm]",
            light_at_tip="the far end of the fence is too far back",
            light_at_heel="the far end of the fence is too far forward",
            every="6 months",
            undone_by=["knocked"],
            shows_in="end angle",
        ),
        point(
            "sole",
            "Sole of the long plane",
            "straightness",
            ("[6 thou|0.15 mm]", "[4 thou|0.1 mm]", "[3 thou|0.08 mm]"),
            common=False,
            face="sole of the plane, iron drawn back",
            every="1 year",
            undone_by=["knocked"],
        ),
    ),
    tasks=(
        task(
            "hone-chisels",
            "Hone the chisels",
            "30 min",
            every=["8 hours", "1 project"],
            leaves="nothing",
        ),
        task(
            "grind-chisels",
            "Regrind the chisels",
            "1 h",
            every=["1 year", "80 hours"],
            leaves="nothing",
            undoes=["hone-chisels"],
        ),
        task(
            "hone-planes",
            "Hone the plane irons",
            "40 min",
            every=["6 hours", "1 project"],
            leaves="nothing",
            steps=[
                "Iron out, cap iron off",
                "Hone the bevel",
                "Back flat on the stone",
                "Set the iron, take a test shaving",
            ],
        ),
        task(
            "grind-planes",
            "Regrind the plane irons",
            "1 h",
            common=False,
            every=["1 year", "60 hours"],
            leaves="nothing",
            undoes=["hone-planes"],
        ),
        task(
            "hone-shaves",
            "Hone spokeshaves and drawknives",
            "20 min",
            common=False,
            every=["12 hours", "2 projects"],
            leaves="nothing",
        ),
        task(
            "hone-gouges",
            "Hone the gouges",
            "30 min",
            common=False,
            every=["4 hours", "1 project"],
            leaves="nothing",
        ),
        task(
            "stones",
            "Flatten the stones",
            "15 min",
            common=False,
            every=["2 months", "10 hours"],
            leaves="nothing",
        ),
        task(
            "oil-tools",
            "Oil plane soles and saw plates",
            "10 min",
            every="3 months",
            leaves="nothing",
            steps=[
                "Wipe off dust and old oil",
                "Thin coat of oil, wait 5 min",
                "Wipe off the excess",
            ],
        ),
    ),
    cutters=(
        cutter("drawknife", "Drawknife", "drawknife", like="hand tool", common=False),
        cutter("spokeshave", "Spokeshave iron", "shave iron", like="hand tool", common=False),
        cutter("adze", "Adze or scorp for seats", "adze", like="hand tool", common=False),
    ),
)
