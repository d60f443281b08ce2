"""What is usual on a sander with a belt, a disc or a drum: common practice, no source."""

from __future__ import annotations

from shopboard.usual.parts import UsualMachine, point, task

MACHINE = UsualMachine(
    "sander",
    "sander",
    "Sander",
    points=(
        point(
            "table",
            "Table to belt or disc",
            "square",
            ("0.4 deg", "0.2 deg", "0.15 deg"),
            datum="table",
            face="platen or disc, behind the abrasive",
            lever="[3 in|75 mm]",
            light_at_top="the table drops toward you",
            light_at_bottom="the table rises toward you",
            every="6 months",
            undone_by=["knocked", "machine moved", "stop re-set"],
            cutter_near=True,
            lock="the table tilt lock",
            sets={
                "slot": {
                    "name": "the near edge of the table",
                    "arm": "[6 in|150 mm]",
                    "toward": "up",
                    "away": "down",
                },
            },
        ),
        point(
            "drum",
            "Drum parallel to the bed",
            "thickness",
            (
                "[8 thou over 12 in|0.2 mm over 300 mm]",
                "[4 thou over 12 in|0.1 mm over 300 mm]",
                "[3 thou over 12 in|0.08 mm over 300 mm]",
            ),
            common=False,
            light_at_top="the board is thicker at its left edge",
            light_at_bottom="the board is thicker at its right edge",
            every="6 months",
            undone_by=["knocked", "machine moved", "belt changed"],
            cutter_near=True,
            shows_in="thickness",
            sizes={"width": "[10 in|250 mm]"},
        ),
        point(
            "tracking",
            "Belt tracks in the middle",
            "go-no-go",
            common=False,
            face="belt, turned by hand, then run: it stays centred",
            every="4 weeks",
            undone_by=["belt changed"],
            cutter_near=True,
        ),
    ),
    tasks=(
        task(
            "dust",
            "Clear the dust out of housing and hood",
            "10 min",
            every=["4 weeks", "2 projects"],
            cutter_near=True,
            leaves="dirt",
        ),
        task(
            "abrasive",
            "Clean the abrasive, change it if worn",
            "15 min",
            every="10 hours",
            cutter_near=True,
            leaves="dirt",
        ),
    ),
)
