"""What is usual on a thickness planer: common practice, no source."""

from __future__ import annotations

from shopboard.usual.parts import UsualMachine, cutter, point, task

MACHINE = UsualMachine(
    "planer",
    "planer",
    "Thickness planer",
    points=(
        point(
            "knives",
            "Knives seated",
            "seating",
            every="6 months",
            undone_by=["knives changed", "knives turned"],
            cutter_near=True,
        ),
        point(
            "bed",
            "Bed parallel to the head",
            "thickness",
            (
                "[8 thou over 12 in|0.2 mm over 300 mm]",
                "[4 thou over 12 in|0.1 mm over 300 mm]",
                "[3 thou over 12 in|0.08 mm over 300 mm]",
            ),
            light_at_top="the board is thicker at its left edge",
            light_at_bottom="the board is thicker at its right edge",
            every="6 months",
            undone_by=["machine moved", "knives changed", "knives turned"],
            rests_on=["knives"],
            cutter_near=True,
            lock="the column lock nuts",
            shows_in="thickness",
            sizes={"width": "[10 in|250 mm]"},
            sets={
                "screw": {
                    "name": "the left column nut",
                    "thread": "[3/4-16|M20x1.5]",
                    "arm": "[15 in|380 mm]",
                    "toward": "up at the left",
                    "away": "down at the left",
                },
            },
        ),
        point(
            "snipe",
            "Snipe at both ends",
            "snipe",
            ("[8 thou|0.2 mm]", "[4 thou|0.1 mm]", "[4 thou|0.1 mm]"),
            every="3 months",
            undone_by=["machine moved", "knives changed", "knives turned"],
            rests_on=["knives"],
            cutter_near=True,
        ),
        point(
            "belts",
            "Drive belts",
            "note",
            common=False,
            face="belts: cracks, glaze, how far they give under a thumb",
            every="6 months",
            undone_by=["belt changed"],
            cutter_near=True,
        ),
    ),
    tasks=(
        task(
            "wax-bed",
            "Clean and wax the bed",
            "15 min",
            every=["4 weeks", "20 hours"],
            cutter_near=True,
            leaves="wax",
            steps=["Wipe the bed clean", "Thin coat of wax, wait 10 min", "Buff off the haze"],
        ),
        task(
            "rollers",
            "Clean the feed rollers",
            "10 min",
            every="4 weeks",
            cutter_near=True,
            leaves="dirt",
        ),
        task(
            "oil",
            "Oil columns, chain and roller bushes",
            "10 min",
            every=["3 months", "40 hours"],
            cutter_near=True,
            leaves="dirt",
        ),
    ),
    cutters=(
        cutter("knives", "Set of knives", "knives", lasts="30 hours", away="1 week"),
        cutter(
            "knives-b",
            "Second set of knives",
            "knives",
            common=False,
            lasts="30 hours",
            away="1 week",
            spare_for="knives",
        ),
    ),
)
